"""Where does the posterior of the coefficients peak at each spread, and how wide is it there?

Damped scoring, many spread values at once, of the log likelihood plus the log prior.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from takestats.models.sampled_families import STEP

if TYPE_CHECKING:
    from collections.abc import Callable

    from numpy.typing import NDArray

    from takestats.models.sampled_design import Lines
    from takestats.models.sampled_tables import Tables

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

#: Steps of a climb that is to arrive.
ROUNDS = 40
_CLOSE = 1e-4
_LONGEST = 4.0
_MOST_GAIN = 3.0


@dataclass(frozen=True, eq=False, kw_only=True)
class Modes:
    """Peaks of the posterior of the coefficients, one per spread vector.

    Parameters
    ----------
    at : numpy.ndarray
        ``(vectors, coefficients)``.
    height : numpy.ndarray
        Log posterior there, up to a constant.
    scoring : numpy.ndarray
        ``(vectors, coefficients, coefficients)``: the information at the peak.
    log_evidence : numpy.ndarray
        Laplace's approximation, per vector.
    """

    at: FloatArray
    height: FloatArray
    scoring: FloatArray
    log_evidence: FloatArray


@dataclass(frozen=True, eq=False, kw_only=True)
class Local:
    """Height, gradient and scoring matrix of a posterior at some points."""

    height: FloatArray
    gradient: FloatArray
    scoring: FloatArray


def find_modes(
    lines: Lines,
    tables: Tables,
    level: IntArray,
    vectors: IntArray,
    icc: FloatArray,
    start: FloatArray,
) -> Modes:
    """Find the peak for every spread vector.

    Parameters
    ----------
    lines : Lines
    tables : Tables
    level : numpy.ndarray
        For each line, the level whose spread it has.
    vectors : numpy.ndarray
        ``(vectors, levels)``: indices of the spread values in the tables.
    icc : numpy.ndarray
        ``(vectors, levels)``: rough ICC, only to keep the scoring matrix from
        collapsing where a beta-binomial curve bends upwards.
    start : numpy.ndarray
        ``(vectors, coefficients)``.
    """
    block = max(1, int(4e5 / lines.size))
    parts = [
        climb(_look(lines, tables, level, vectors[some], icc[some]), lines.basis, start[some])
        for some in (slice(i, i + block) for i in range(0, vectors.shape[0], block))
    ]
    return Modes(
        at=np.concatenate([p.at for p in parts]),
        height=np.concatenate([p.height for p in parts]),
        scoring=np.concatenate([p.scoring for p in parts]),
        log_evidence=np.concatenate([p.log_evidence for p in parts]),
    )


def rough_evidence(
    lines: Lines,
    tables: Tables,
    level: IntArray,
    vectors: IntArray,
    icc: FloatArray,
    start: FloatArray,
) -> FloatArray:
    """Laplace's log evidence from one look near the peak, no climbing.

    Parameters as in :func:`find_modes`.
    """
    block = max(1, int(4e5 / lines.size))
    out = []
    for i in range(0, vectors.shape[0], block):
        some = slice(i, i + block)
        here = _look(lines, tables, level, vectors[some], icc[some])(
            start[some], np.arange(start[some].shape[0])
        )
        step = np.linalg.solve(here.scoring, here.gradient[:, :, None])[:, :, 0]
        gain = np.minimum(0.5 * np.einsum("ij,ij->i", step, here.gradient), _MOST_GAIN)
        out.append(here.height + gain - 0.5 * np.linalg.slogdet(here.scoring)[1])
    result: FloatArray = np.concatenate(out) + 0.5 * lines.coefficients * np.log(2.0 * np.pi)
    return result


def _look(
    lines: Lines, tables: Tables, level: IntArray, vectors: IntArray, icc: FloatArray
) -> Callable[[FloatArray, IntArray], Local]:
    per_line = vectors[:, level]
    base = (per_line * tables.pairs + lines.cell) * tables.cells
    row = level if tables.levels > 1 else np.zeros_like(level)
    base_information = (per_line * tables.levels + row) * tables.cells
    floor = 0.2 / (1.0 + (lines.tried - 1.0) * icc[:, level])

    def look(theta: FloatArray, some: IntArray) -> Local:
        return _around(lines, tables, theta, base[some], base_information[some], floor[some])

    return look


def climb(
    look: Callable[[FloatArray, IntArray], Local],
    basis: FloatArray,
    start: FloatArray,
    rounds: int = ROUNDS,
) -> Modes:
    """Climb from every start to its peak by damped scoring.

    Parameters
    ----------
    look : callable
        What a posterior is like at some points: called with the points and their
        places among the starts.
    basis : numpy.ndarray
        Rows x coefficients: no step moves one of these log odds by more than four.
    start : numpy.ndarray
        ``(vectors, coefficients)``.
    rounds : int
        At most so many steps.
    """
    at = start.copy()
    here = look(at, np.arange(at.shape[0]))
    height, gradient, scoring = here.height, here.gradient, here.scoring
    damping = np.ones(at.shape[0])
    moving = np.arange(at.shape[0])
    for _ in range(rounds):
        step = np.linalg.solve(scoring[moving], gradient[moving][:, :, None])[:, :, 0]
        gain = np.einsum("ij,ij->i", step, gradient[moving])
        still = gain > _CLOSE
        moving, step = moving[still], step[still]
        if moving.size == 0:
            break
        longest = np.abs(step @ basis.T).max(axis=1)
        length = damping[moving] * np.minimum(1.0, _LONGEST / np.maximum(longest, 1e-12))
        trial = at[moving] + length[:, None] * step
        there = look(trial, moving)
        better = there.height > height[moving] - 1e-9
        taken = moving[better]
        at[taken] = trial[better]
        height[taken] = there.height[better]
        gradient[taken] = there.gradient[better]
        scoring[taken] = there.scoring[better]
        damping[taken] = np.minimum(1.0, 2.0 * damping[taken])
        damping[moving[~better]] *= 0.4
        moving = moving[damping[moving] > 1e-3]
    size = at.shape[1]
    evidence = height + 0.5 * size * np.log(2.0 * np.pi) - 0.5 * np.linalg.slogdet(scoring)[1]
    return Modes(at=at, height=height, scoring=scoring, log_evidence=evidence)


def _around(
    lines: Lines,
    tables: Tables,
    theta: FloatArray,
    base: IntArray,
    base_information: IntArray,
    floor: FloatArray,
) -> Local:
    """Height, gradient and scoring matrix of the penalised log likelihood."""
    basis, size = lines.basis, lines.coefficients
    eta = theta @ basis.T
    cell, t = tables.place(eta)
    c0, c1, c2, c3 = np.moveaxis(tables.likelihood[base + cell], -1, 0)
    value = c0 + t * (c1 + t * (c2 + t * c3))
    slope = (c1 + t * (2.0 * c2 + 3.0 * t * c3)) / STEP
    bend = -(2.0 * c2 + 6.0 * t * c3) / STEP**2
    if tables.information is None:
        small = np.exp(-np.abs(eta))
        one_graft = small / (1.0 + small) ** 2
        drift = -np.sign(eta) * (1.0 - small) / (1.0 + small)
    else:
        d0, d1, d2, d3 = np.moveaxis(tables.information[base_information + cell], -1, 0)
        one_graft = np.exp(d0 + t * (d1 + t * (d2 + t * d3)))
        drift = (d1 + t * (2.0 * d2 + 3.0 * t * d3)) / STEP
    pull, held = lines.prior.pull(theta)
    height = value @ lines.weight + lines.prior.log_density(one_graft, theta)
    leverage = lines.prior.leverage(one_graft)
    gradient = (lines.weight * slope + 0.5 * leverage * drift) @ basis + pull
    curved = lines.weight * np.maximum(bend, floor * lines.tried * one_graft)
    if lines.many:
        scoring = basis.T @ (curved[:, :, None] * basis) + held
    else:
        squares = (basis[:, :, None] * basis[:, None, :]).reshape(lines.size, size * size)
        scoring = (curved @ squares).reshape(-1, size, size) + held
    return Local(height=height, gradient=gradient, scoring=scoring)


def starting_point(lines: Lines) -> FloatArray:
    """Least squares on the empirical log odds: where the climb begins."""
    odds = np.log(lines.taken + 0.5) - np.log(lines.tried - lines.taken + 0.5)
    root = np.sqrt(lines.weight * lines.tried / (1.0 + 0.05 * lines.tried))
    result: FloatArray = np.linalg.lstsq(lines.basis * root[:, None], odds * root, rcond=None)[0]
    return result
