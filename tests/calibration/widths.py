"""How wide are the limits, beside a closed form and beside knowing the spread?

Two yardsticks on the very same trials: the effective number (with which the
quick engine answers), and the same grid of takes with one spread node at the
truth and the true family alone, as if the intra-tray correlation were known.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from takestats.models.batched import BatchedPosterior, batched_posterior
from takestats.models.likelihoods import likelihood_table
from takestats.models.phi_grid import usual_grid
from takestats.models.spread import SpreadNodes
from tests.calibration.truths import BETA_BINOMIAL, spreads_of
from tests.calibration.two_arms import CHUNK, TAILS, Setting, draw_counts

Floats = NDArray[np.float64]


def effective_number_widths(a: NDArray[np.int64], b: NDArray[np.int64], size: int) -> Floats:
    """Width of the quick difference of two arms of equal trays, one per trial.

    The closed form of ``takestats.models.quick`` for many trials at once; a test holds the two
    against each other.
    """
    trays = a.shape[1] + b.shape[1]
    df = float(trays - 2)
    rates = [arm.mean(axis=1) / size for arm in (a, b)]
    chance = [rate * (1.0 - rate) for rate in rates]
    between = [np.var(arm / size, axis=1, ddof=1) for arm in (a, b)]
    some = chance[0] + chance[1] > 0.0
    raw = np.ones(a.shape[0])
    raw[some] = size * (between[0] + between[1])[some] / (chance[0] + chance[1])[some]
    phi = np.maximum(1.0, (df * raw + 4.0 * (1.0 + 0.1 * (size - 1.0))) / (df + 4.0))
    quantile = float(stats.t.ppf(TAILS[2], df + 4.0))
    below, above = [], []
    for rate, arm in zip(rates, (a, b), strict=True):
        number = arm.shape[1] * size / phi
        z2 = quantile * quantile
        middle = 2.0 * number * rate + z2
        spread = quantile * np.sqrt(z2 + 4.0 * number * rate * (1.0 - rate))
        low = np.where(rate <= 0.0, 0.0, (middle - spread) / (2.0 * (number + z2)))
        high = np.where(rate >= 1.0, 1.0, (middle + spread) / (2.0 * (number + z2)))
        below.append(rate - low)
        above.append(high - rate)
    gap = rates[0] - rates[1]
    low = np.maximum(-1.0, gap - np.hypot(below[0], above[1]))
    high = np.minimum(1.0, gap + np.hypot(above[0], below[1]))
    return np.asarray(high - low)


def _known_node(setting: Setting) -> SpreadNodes:
    takes = (setting.take_a, setting.take_b)
    spread = spreads_of(setting.truth, takes, (setting.icc_a, setting.icc_b))[0]
    if setting.icc_a <= 0.0:
        none = np.zeros(1)
        return SpreadNodes(family="binomial", values=none, edges=np.zeros(2), log_mass=none)
    return SpreadNodes(
        family="beta_binomial" if setting.truth == BETA_BINOMIAL else "logit_normal",
        values=np.array([spread]),
        edges=np.array([0.0, np.inf]),
        log_mass=np.zeros(1),
    )


def known_posterior(
    a: NDArray[np.int64], b: NDArray[np.int64], setting: Setting
) -> BatchedPosterior:
    """Takes when the family and the intra-tray correlation are known."""
    grid, nodes = usual_grid(), _known_node(setting)
    k = np.arange(setting.size + 1, dtype=float)
    table = likelihood_table(k, np.full(k.size, float(setting.size)), nodes, grid)[:, 0, :]
    masses = []
    for counts in (a, b):
        histogram = np.zeros((counts.shape[0], k.size))
        np.add.at(histogram, (np.arange(counts.shape[0])[:, None], counts), 1.0)
        logs = histogram @ table
        mass = np.exp(logs - logs.max(axis=1, keepdims=True))
        masses.append((mass / mass.sum(axis=1, keepdims=True))[:, None, :])
    return BatchedPosterior(grid=grid, mass_a=masses[0], mass_b=masses[1])


def judge_widths(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Median width of the difference: the tray model, the effective number, the known spread."""
    rng = np.random.default_rng(seed)
    model, quick, known, held = [], [], [], []
    for start in range(0, trials, CHUNK):
        a, b = draw_counts(rng, setting, min(CHUNK, trials - start))
        limits = batched_posterior(a, b, setting.size, setting.size).difference_limits(TAILS)
        model.append(limits[:, -1] - limits[:, 0])
        quick.append(effective_number_widths(a, b, setting.size))
        limits = known_posterior(a, b, setting).difference_limits(TAILS)
        known.append(limits[:, -1] - limits[:, 0])
        truth = setting.take_a - setting.take_b
        held.append((limits[:, 0] <= truth) & (truth <= limits[:, -1]))
    widths = [float(np.median(np.concatenate(item))) for item in (model, quick, known)]
    return asdict(setting) | {
        "gap_width": widths[0],
        "quick_width": widths[1],
        "known_width": widths[2],
        "known_coverage": float(np.mean(np.concatenate(held))),
        "to_quick": widths[0] / widths[1],
        "to_known": widths[0] / widths[2],
    }
