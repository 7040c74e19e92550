"""Groups of trays worked out by brute force: slow, plain, and by other means.

Independent of the package: both spreads at the middle quantiles of equal pieces
of their priors, a dense grid of phi = asin sqrt(take averaged over everything),
both normal layers by the trapezoid rule in z, log likelihoods by interpolation.
Run it as a script to remake grouped_dense_cases.json (two minutes); the
tests read that file.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special, stats

Floats = NDArray[np.float64]
Groups = list[list[tuple[int, int]]]

SHARES = (0.025, 0.05, 0.1, 0.5, 0.9, 0.95, 0.975)
PIECES = 40
PHI_CELLS = 160
TAKE_BINS = 4000
THETA = np.linspace(-60.0, 60.0, 4801)
Z = np.linspace(-7.0, 7.0, 71)
WEIGHT = np.exp(-0.5 * Z * Z) / np.exp(-0.5 * Z * Z).sum()

CASES: list[tuple[float, Groups]] = [
    (
        1.5,
        [
            [(35, 40), (38, 40), (31, 40)],
            [(39, 40), (40, 40)],
            [(28, 40), (33, 40), (30, 40)],
            [(37, 40), (36, 40)],
        ],
    ),
    (1.5, [[(12, 12), (12, 12)], [(20, 20), (24, 24)], [(15, 15), (12, 12), (12, 12)]]),
    (
        0.5,
        [
            [(3, 12), (6, 20)],
            [(0, 12), (1, 20)],
            [(10, 15), (5, 12), (12, 12)],
            [(4, 12)],
            [(7, 12), (2, 9)],
        ],
    ),
]


def _tray(k: int, n: int, family: str, spread: float) -> Floats:
    """Log likelihood of a tray along THETA, the middle tray of its group."""
    choose = float(np.log(special.comb(n, k)))
    if family == "logit-normal":
        inner = THETA[:, None] + spread * Z
        curve = np.exp(k * special.log_expit(inner) + (n - k) * special.log_expit(-inner))
        return np.asarray(np.log(curve @ WEIGHT + 1e-300) + choose)
    size = (1.0 - spread) / spread
    a = np.maximum(size * special.expit(THETA), 1e-300)
    b = np.maximum(size * special.expit(-THETA), 1e-300)
    rise = special.gammaln(a + k) - special.gammaln(a)
    rise += special.gammaln(b + (n - k)) - special.gammaln(b)
    return np.asarray(rise - special.gammaln(size + n) + special.gammaln(size) + choose)


def _middle(phi: Floats, spread: float) -> Floats:
    """The middle whose take averaged over this spread is sin(phi) ** 2, by Newton steps."""
    wanted = 2.0 * np.log(np.tan(phi))
    theta = wanted * np.sqrt(1.0 + 0.346 * spread * spread)
    for _ in range(60):
        inner = theta[:, None] + spread * Z
        take, fail = special.expit(inner) @ WEIGHT, special.expit(-inner) @ WEIGHT
        slope = (special.expit(inner) * special.expit(-inner)) @ WEIGHT
        step = (np.log(take / fail) - wanted) * take * fail / slope
        theta = theta - np.clip(step, -3.0, 3.0)
        if np.abs(step).max() < 1e-10:
            break
    return theta


def dense(groups: Groups, between_scale: float) -> dict[str, Any]:
    """Quantiles of every group's take, a new group's and the mean; the evidence and its halves."""
    piece = (np.arange(PIECES) + 0.5) / PIECES
    betweens = stats.halfnorm(scale=between_scale).ppf(piece)
    phi = (np.arange(PHI_CELLS) + 0.5) / PHI_CELLS * np.pi / 2.0
    names = [*(str(g) for g in range(len(groups))), "new"]
    found: list[tuple[float, Floats, Floats, float]] = []
    for family in ("beta-binomial", "logit-normal"):
        prior = stats.beta(1, 4) if family == "beta-binomial" else stats.halfnorm(scale=1.5)
        for spread in prior.ppf(piece).tolist():
            within = spread if family == "logit-normal" else 0.0
            logs = [sum(_tray(k, n, family, spread) for k, n in trays) for trays in groups]
            averaged = special.expit(THETA[:, None] + within * Z) @ WEIGHT
            for between in betweens.tolist():
                middle = _middle(phi, float(np.hypot(between, within)))
                theta = middle[:, None] + between * Z
                inner = np.array([np.interp(theta, THETA, np.asarray(log)) for log in logs])
                top = inner.max(axis=(1, 2), keepdims=True)
                likely = np.exp(inner - top)
                group = likely @ WEIGHT
                summed = np.log(group + 1e-300).sum(axis=0)
                post = np.exp(summed - summed.max())
                evidence = float(np.log(post.mean()) + summed.max() + top.sum())
                post /= post.sum()
                take = np.interp(theta, THETA, averaged)
                place = np.arcsin(np.sqrt(take)) / (np.pi / 2.0) * TAKE_BINS
                bins = np.minimum(place.astype(int), TAKE_BINS - 1).ravel()
                rows = [
                    (post / np.maximum(one, 1e-300))[:, None] * mine * WEIGHT
                    for one, mine in zip(group, likely, strict=True)
                ]
                rows.append(post[:, None] * WEIGHT)
                counted = [np.bincount(bins, row.ravel(), TAKE_BINS) for row in rows]
                found.append((evidence, np.array(counted), post, between))
    evidences = np.array([item[0] for item in found])
    weight = special.softmax(evidences)
    takes = np.tensordot(weight, np.array([item[1] for item in found]), axes=1)
    mean = weight @ np.array([item[2] for item in found])
    answers: dict[str, Any] = {}
    for name, row in zip(names, takes, strict=True):
        edges = np.sin((np.arange(TAKE_BINS) + 1) / TAKE_BINS * np.pi / 2.0) ** 2
        answers[name] = np.interp(SHARES, np.cumsum(row) / row.sum(), edges).tolist()
    edges = np.sin(np.arange(PHI_CELLS + 1) / PHI_CELLS * np.pi / 2.0) ** 2
    below = np.concatenate([[0.0], np.cumsum(mean)]) / mean.sum()
    answers["mean"] = np.interp(SHARES, below, edges).tolist()
    by_between = [weight[[item[3] == value for item in found]].sum() for value in betweens]
    ends = stats.halfnorm(scale=between_scale).ppf(np.arange(PIECES) / PIECES)
    # The last piece has no upper end: quantiles up to the median only.
    below = np.concatenate([[0.0], np.cumsum(by_between)[:-1]])
    answers["between"] = np.interp(SHARES[:4], below, ends).tolist()
    answers["log_evidence"] = float(special.logsumexp(evidences) - np.log(evidences.size))
    answers["beta_binomial"] = float(weight[: weight.size // 2].sum())
    return answers


if __name__ == "__main__":
    made = [
        {
            "between_scale": scale,
            "groups": groups,
            "shares": list(SHARES),
            "answers": dense(groups, scale),
        }
        for scale, groups in CASES
    ]
    target = Path(__file__).with_name("grouped_dense_cases.json")
    lines = ",\n".join(json.dumps(case) for case in made)
    target.write_text(f"[\n{lines}\n]\n", encoding="utf-8")
