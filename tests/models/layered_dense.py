"""Two layers by dense integration, written another way: no draws, no peaks, no tables of cubics.

Groups: one coefficient, the group's effect and the tray's by plain trapezoids. Rows
of trays: two methods, each with a take of its own, on a grid of both.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy import stats
from scipy.special import betaincinv, expit, log_expit, logsumexp, ndtr

Floats = NDArray[np.float64]

Z = np.linspace(-6.5, 6.5, 105)
DZ = stats.norm.pdf(Z) * (Z[1] - Z[0])
ROW_Z = np.linspace(-6.0, 6.0, 25)
ROW_DZ = stats.norm.pdf(ROW_Z) * (ROW_Z[1] - ROW_Z[0])
WIDE = np.linspace(-45.0, 45.0, 1801)


def _nodes(top: float, count: int) -> tuple[Floats, Floats]:
    x, w = np.polynomial.legendre.leggauss(count)
    return top * (x + 1) / 2, w * top / 2


def _half_normal(scale: float, count: int) -> tuple[Floats, Floats]:
    """Square-root-spaced values of an SD and their prior masses."""
    root, width = _nodes(np.sqrt(4.5 * scale), count)
    return root**2, width * 2 * root * 2 * stats.norm.pdf(root**2, scale=scale)


def _rho(count: int) -> tuple[Floats, Floats]:
    root, width = _nodes(0.98, count)
    return root**2, width * 2 * root * stats.beta.pdf(root**2, 1, 4)


def averaged_odds(eta: Floats, sd: float) -> tuple[Floats, Floats]:
    """Take averaged over a normal effect, and its slope along the log odds."""
    at = eta[:, None] + sd * Z
    take = expit(at)
    return take @ DZ, (take * expit(-at)) @ DZ


def _tray_curves(family: str, spread: float, k: Floats, n: Floats) -> Floats:
    if family == "beta-binomial":
        c = 1 / spread - 1
        m, f = np.maximum(expit(WIDE), 1e-300), np.maximum(expit(-WIDE), 1e-300)
        return np.stack(
            [stats.betabinom.logpmf(a, b, m * c, f * c) for a, b in zip(k, n, strict=True)]
        )
    at = WIDE[:, None] + spread * Z
    up, down = log_expit(at), log_expit(-at)
    ways = [stats.binom.logpmf(a, b, 0.5) + b * np.log(2) for a, b in zip(k, n, strict=True)]
    return np.stack(
        [
            logsumexp(a * up + (b - a) * down, axis=1, b=DZ) + w
            for a, b, w in zip(k, n, ways, strict=True)
        ]
    )


def grouped(
    groups: list[tuple[list[int], list[int]]], *, scale: float = 1.5, count: int = 14
) -> dict[str, Floats]:
    """Limits of the take over all, of each group's and of a new group's; log evidences last."""
    eta = np.linspace(-7.0, 16.0, 185)
    step = eta[1] - eta[0]
    tau, tau_mass = _half_normal(scale, count)
    pieces: list[tuple[Floats, Floats, list[tuple[Floats, Floats]]]] = []
    evidence = []
    for family in ("beta-binomial", "logit-normal"):
        spread, mass = _rho(count) if family == "beta-binomial" else _half_normal(1.5, count)
        logs, takes, inside = [], [], []
        for s, s_mass in zip(spread, mass, strict=True):
            curves = [
                _tray_curves(family, s, np.array(k, float), np.array(n, float)).sum(axis=0)
                for k, n in groups
            ]
            average = _averaged_log_odds(s) if family == "logit-normal" else WIDE
            for t, t_mass in zip(tau, tau_mass, strict=True):
                at = eta[:, None] + t * Z
                joint = [np.interp(at, WIDE, curve) + np.log(DZ) for curve in curves]
                total = sum(logsumexp(j, axis=1) for j in joint)
                sd = t if family == "beta-binomial" else np.hypot(t, s)
                m, slope = averaged_odds(eta, float(sd))
                m = np.clip(m, 1e-12, 1 - 1e-12)
                prior = np.log(np.maximum(slope, 1e-300)) - 0.5 * np.log(m * (1 - m))
                logs.append(total + prior + np.log(s_mass * t_mass * step))
                takes.append(m)
                own = np.interp(at, WIDE, average)
                inside.append([(own, np.exp(j - logsumexp(j, axis=1)[:, None])) for j in joint])
        log_p = np.array(logs)
        evidence.append(logsumexp(log_p))
        pieces.append((log_p, np.array(takes), inside))
    top = max(p[0].max() for p in pieces)
    weights = [np.exp(p[0] - top) for p in pieces]
    out = {
        "take": _limits(
            np.concatenate([p[1].ravel() for p in pieces]),
            np.concatenate([w.ravel() for w in weights]),
        ),
        "evidence": np.array(evidence),
    }
    for g in range(len(groups)):
        values = np.concatenate([i[g][0].ravel() for p in pieces for i in p[2]])
        mass = np.concatenate(
            [
                (i[g][1] * w[:, None]).ravel()
                for p, ws in zip(pieces, weights, strict=True)
                for i, w in zip(p[2], ws, strict=True)
            ]
        )
        out[f"group {g}"] = expit(_limits(values, mass))
    return out


def _averaged_log_odds(sd: float) -> Floats:
    m, _ = averaged_odds(WIDE, sd)
    rest, _ = averaged_odds(-WIDE, sd)
    return np.asarray(np.log(m) - np.log(rest))


def _limits(values: Floats, weights: Floats) -> Floats:
    """2.5 / 50 / 97.5 % points of weighted values."""
    order = np.argsort(values)
    below = np.cumsum(weights[order])
    at = np.searchsorted(below, np.array([0.025, 0.5, 0.975]) * below[-1])
    return np.asarray(values[order][at])


def paired(
    trays: list[tuple[int, int, int, int]], *, row_effect: bool = True, cells: int = 90
) -> dict[str, Floats]:
    """Limits of two methods' takes and their difference; trays of (k, n, k, n)."""
    data = np.array(trays, dtype=float)
    phi = (np.arange(cells) + 0.5) / cells * np.pi / 2
    take = np.sin(phi) ** 2
    joints, evidence = [], []
    for family in ("shared", "normal"):
        total = []
        outer, mass = _rho(16) if family == "shared" else _half_normal(1.5, 16)
        inner, inner_mass = (
            _half_normal(0.5, 7) if family == "normal" and row_effect else (np.zeros(1), np.ones(1))
        )
        for s, s_mass in zip(outer, mass, strict=True):
            for o, o_mass in zip(inner, inner_mass, strict=True):
                logs = _shared(take, s, data) if family == "shared" else _normal(take, s, o, data)
                log_l = np.zeros((cells, cells))
                for a, b in logs:
                    high_a, high_b = a.max(axis=0), b.max(axis=0)
                    whole = (np.exp(a - high_a) * DZ[:, None]).T @ np.exp(b - high_b)
                    log_l += np.log(np.maximum(whole, 1e-300)) + high_a[:, None] + high_b
                total.append(log_l + np.log(s_mass * o_mass))
        log_p = logsumexp(np.array(total), axis=0)
        joints.append(log_p)
        evidence.append(logsumexp(log_p))
    joint = np.exp(np.array(joints) - max(evidence)).sum(axis=0)
    # Sub-cells: the difference of two cells is spread as the sum of two uniforms.
    sub = np.arange(-2, 3) / 5 * (np.pi / 2 / cells)
    gaps = (
        np.sin(phi[None, :, None, None] + sub[None, None, None, :]) ** 2
        - np.sin(phi[:, None, None, None] + sub[None, None, :, None]) ** 2
    )
    mass = np.repeat(joint.ravel(), 25)
    return {
        "a": _edge_limits(joint.sum(axis=1)),
        "b": _edge_limits(joint.sum(axis=0)),
        "difference": _limits(gaps.ravel(), mass),
        "evidence": np.array(evidence),
    }


def _edge_limits(mass: Floats) -> Floats:
    below = np.concatenate([[0.0], np.cumsum(mass)]) / mass.sum()
    edges = np.arange(mass.size + 1) / mass.size * np.pi / 2
    return np.asarray(np.sin(np.interp([0.025, 0.5, 0.975], below, edges)) ** 2)


def _binomial(up: Floats, down: Floats, data: Floats) -> list[tuple[Floats, Floats]]:
    """Log likelihoods of both rows of each tray, ``(z, cells)``."""
    return [(k1 * up + (n1 - k1) * down, k2 * up + (n2 - k2) * down) for k1, n1, k2, n2 in data]


def _shared(take: Floats, rho: float, data: Floats) -> list[tuple[Floats, Floats]]:
    c = 1 / rho - 1
    p = np.clip(betaincinv(take * c, (1 - take) * c, ndtr(Z)[:, None]), 1e-300, 1 - 1e-16)
    return _binomial(np.log(p), np.log1p(-p), data)


def _normal(take: Floats, sigma: float, omega: float, data: Floats) -> list[tuple[Floats, Floats]]:
    average = _averaged_log_odds(float(np.hypot(sigma, omega)))
    eta = np.interp(np.log(take / (1 - take)), average, WIDE)
    at = eta + sigma * Z[:, None]
    if omega == 0.0:
        return _binomial(log_expit(at), log_expit(-at), data)
    inner = at[..., None] + omega * ROW_Z
    up, down = log_expit(inner), log_expit(-inner)
    return [
        (
            logsumexp(k1 * up + (n1 - k1) * down, axis=-1, b=ROW_DZ),
            logsumexp(k2 * up + (n2 - k2) * down, axis=-1, b=ROW_DZ),
        )
        for k1, n1, k2, n2 in data
    ]
