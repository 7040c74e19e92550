"""The tray model worked out by brute force: slow, plain, and by other means.

Independent of the package: densities from scipy, a dense midpoint grid, the
logit-normal integral by the trapezoid rule in z, theta by interpolation.
Two levels. Used as the yardstick of the exact grid and of the sampled engine.
Run it as a script to remake dense_grid_cases.json; the tests read that file.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy import special, stats

Floats = NDArray[np.float64]

Trays = list[tuple[int, int]]

PHI_CELLS = 360
RHO_CELLS = 60
SIGMA_CELLS = 60
TAILS = np.array([0.025, 0.5, 0.975])


@dataclass(frozen=True)
class Dense:
    """Limits (2.5 %, 50 %, 97.5 %) of both takes and of A minus B."""

    a: list[float]
    b: list[float]
    gap: list[float]
    shares: list[float]


def _beta_binomial(k: int, n: int, takes: Floats, rhos: Floats) -> Floats:
    size = ((1 - rhos) / rhos)[:, None]
    return np.asarray(stats.betabinom.logpmf(k, n, takes * size, (1 - takes) * size))


def _theta(takes: Floats, sigma: float) -> Floats:
    z = np.linspace(-9, 9, 361)
    weight = stats.norm.pdf(z)
    weight /= weight.sum()
    theta = np.linspace(-40, 40, 6001)
    lost = special.expit(-(theta[:, None] + sigma * z)) @ weight
    kept = special.expit(theta[:, None] + sigma * z) @ weight
    return np.interp(special.logit(takes), np.log(kept) - np.log(lost), theta)


def _logit_normal(k: int, n: int, thetas: Floats, sigmas: Floats) -> Floats:
    z = np.linspace(-9, 9, 361)
    logit = thetas[..., None] + sigmas[:, None, None] * z
    inner = k * special.log_expit(logit) + (n - k) * special.log_expit(-logit)
    inner += stats.norm.logpdf(z) + np.log(z[1] - z[0])
    return np.asarray(special.logsumexp(inner, axis=-1) + np.log(special.comb(n, k)))


def _log_level(trays: Trays, family: int, takes: Floats, spreads: Floats) -> Floats:
    """Log likelihood of one level, shape (spreads, takes)."""
    total = np.zeros((spreads.size, takes.size))
    thetas = np.array([_theta(takes, s) for s in spreads]) if family else np.empty(0)
    for taken, tried in sorted(set(trays)):
        one = (
            _logit_normal(taken, tried, thetas, spreads)
            if family
            else _beta_binomial(taken, tried, takes, spreads)
        )
        total += trays.count((taken, tried)) * one
    return total


def dense_limits(a: Trays, b: Trays) -> Dense:
    """Average the four parts on a dense grid; trays are (taken, tried)."""
    step = (np.pi / 2) / PHI_CELLS
    takes = np.sin((np.arange(PHI_CELLS) + 0.5) * step) ** 2
    root = (np.arange(RHO_CELLS) + 0.5) / RHO_CELLS
    sigmas = (np.arange(SIGMA_CELLS) + 0.5) * (6.5 / SIGMA_CELLS)
    spreads = (root**2, sigmas)
    priors = (stats.beta(1, 4).pdf(root**2) * root, stats.halfnorm(scale=1.5).pdf(sigmas))
    parts, scales = [], []
    for family in range(2):
        prior = priors[family] / priors[family].sum()
        logs = [_log_level(list(trays), family, takes, spreads[family]) for trays in (a, b)]
        level_a, level_b = (np.exp(item - item.max()) for item in logs)
        parts.append((level_a * prior[:, None]).T @ level_b)
        parts.append(np.multiply.outer(prior @ level_a, prior @ level_b))
        scales += [float(logs[0].max() + logs[1].max())] * 2
    # Own spreads: prior odds (trays a level / 5) squared against one spread for both.
    odds = ((len(a) + len(b)) / 2.0 / 5.0) ** 2
    parts[1], parts[3] = parts[1] * odds, parts[3] * odds
    weighed = [
        part * np.exp(scale - max(scales)) for part, scale in zip(parts, scales, strict=True)
    ]
    shares = np.array([item.sum() for item in weighed])
    joint = np.sum(weighed, axis=0) / shares.sum()
    edges = np.sin(np.arange(PHI_CELLS + 1) * step) ** 2

    def limits(mass: Floats) -> list[float]:
        return np.interp(TAILS, np.concatenate([[0], np.cumsum(mass)]), edges).tolist()

    gaps = (takes[:, None] - takes[None, :]).ravel()
    order = np.argsort(gaps)
    below = np.cumsum(joint.ravel()[order]) - 0.5 * joint.ravel()[order]
    return Dense(
        a=limits(joint.sum(axis=1)),
        b=limits(joint.sum(axis=0)),
        gap=np.interp(TAILS, below, gaps[order]).tolist(),
        shares=(shares / shares.sum()).tolist(),
    )


def cases() -> list[tuple[Trays, Trays]]:
    """Data sets of many shapes; in every fourth all of A took."""
    rng = np.random.default_rng(20251)
    found = []
    for index in range(20):
        trays = (3, 5, 8, 12)[index % 4] if index < 16 else 20
        take_a, take_b = ((1.0, 0.9), (0.8, 0.9), (0.95, 0.95), (0.5, 0.3))[(index // 2) % 4]
        size = rng.integers(6, 41, (2, trays)) if index % 2 else np.full((2, trays), 20)
        takes_b = rng.beta(take_b * 12, (1 - take_b) * 12, trays)
        arms = (rng.binomial(size[0], take_a), rng.binomial(size[1], takes_b))
        found.append(
            tuple(
                list(zip(arm.tolist(), sizes.tolist(), strict=True))
                for arm, sizes in zip(arms, size, strict=True)
            )
        )
    return found


def main() -> None:
    """Remake dense_grid_cases.json (minutes)."""
    rows = []
    for a, b in cases():
        rows.append({"a": a, "b": b, "limits": asdict(dense_limits(a, b))})
        sys.stdout.write(f"{len(rows)} of 20\n")
    target = Path(__file__).with_name("dense_grid_cases.json")
    target.write_text(json.dumps(rows, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
