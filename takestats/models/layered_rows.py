"""Which rows stand in which group, and which of them say the same?

A unit is a group of trays (a block, a combination, a season) with one row per
tray, or one tray with several rows (two methods, two caliper classes). Rows of a
unit with the same design row share every curve, so their curves are added once.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal

import numpy as np

from takestats.errors import DesignError
from takestats.models.sampled_design import merge_lines
from takestats.models.sampled_prior import CoefficientPrior, coefficient_prior

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

Layer = Literal["grouping", "rows"]

#: Rows from which on a posterior is near normal, and trays a unit for fewer points.
MANY, MANY_EACH = 400, 6
POINTS, FEW_POINTS = 9, 5
#: So few are quick, and their spread is known so badly that draws lie far apart.
FEW_UNITS = 10


@dataclass(frozen=True, eq=False, kw_only=True)
class LayeredRows:
    """Merged rows of a fit with two layers, sorted by unit.

    Parameters
    ----------
    names : numpy.ndarray
        Label of each unit, as passed.
    patterns : numpy.ndarray
        ``(patterns, coefficients)``: distinct design rows, in the log odds of
        a few chosen lines.
    to_coefficients : numpy.ndarray
        ``coefficients = to_coefficients @ chosen log odds``.
    pattern_tried, pattern_level : numpy.ndarray
        Grafts with each pattern, and its level of the first factor.
    pattern, unit, curve : numpy.ndarray
        Of each merged row: its pattern, its unit, its curve.
    tried : numpy.ndarray
        Grafts of each merged row.
    start : numpy.ndarray
        First row of each unit.
    curve_pairs : numpy.ndarray
        ``(curves, pairs)``: how often each pair of counts is in each curve.
    pair_taken, pair_tried : numpy.ndarray
        The distinct pairs of counts.
    taken_by_unit, failed_by_unit : numpy.ndarray
        ``(patterns, units)``: sums of counts.
    """

    names: NDArray[np.object_]
    patterns: FloatArray
    to_coefficients: FloatArray
    pattern_tried: FloatArray
    pattern_level: IntArray
    pattern: IntArray
    unit: IntArray
    curve: IntArray
    tried: FloatArray
    start: IntArray
    curve_pairs: FloatArray
    pair_taken: FloatArray
    pair_tried: FloatArray
    taken_by_unit: FloatArray
    failed_by_unit: FloatArray

    @property
    def rows(self) -> int:
        """How many merged rows there are."""
        return int(self.unit.size)

    @cached_property
    def lines(self) -> int:
        """How many lines they were merged from: trays, where units are groups of trays."""
        return int(self.curve_pairs[self.curve].sum())

    @property
    def units(self) -> int:
        """How many groups, or trays with rows of their own."""
        return int(self.start.size)

    @property
    def coefficients(self) -> int:
        """How many coefficients the design has."""
        return int(self.patterns.shape[1])

    @property
    def largest(self) -> float:
        """Grafts of the largest unit."""
        return float((self.taken_by_unit + self.failed_by_unit).sum(axis=0).max())

    @cached_property
    def prior(self) -> CoefficientPrior:
        """The prior on the coefficients."""
        return coefficient_prior(self.patterns, self.pattern_tried, self.pattern_level)

    @property
    def basis(self) -> FloatArray:
        """Design row of each merged row."""
        return self.patterns[self.pattern]

    @property
    def many(self) -> bool:
        """Whether there are so many rows that the posterior is near normal."""
        return self.rows > MANY

    @property
    def points(self) -> int:
        """Points of the sum over a unit's effect: fewer where each of many has many trays."""
        many = self.lines > MANY and self.lines > MANY_EACH * self.units
        return FEW_POINTS if many and self.units > FEW_UNITS else POINTS

    def scores(self, slope: FloatArray) -> FloatArray:
        """Slopes ``(nodes, rows, points)`` as scores ``(nodes, units, points, coefficients)``."""
        basis = self.basis
        if not self.many:
            return self.by_unit(slope[..., None] * basis[:, None, :], axis=1)
        nodes, _, points = slope.shape
        out = np.empty((nodes, self.units, points, self.coefficients))
        ends = np.append(self.start[1:], self.rows)
        for i, (first, last) in enumerate(zip(self.start, ends, strict=True)):
            mine = np.swapaxes(slope[:, first:last], 1, 2)
            out[:, i] = mine @ basis[first:last]
        return out

    def by_unit(self, values: FloatArray, axis: int) -> FloatArray:
        """Sum something known per row over the rows of each unit."""
        if self.rows == self.units:
            return values
        result: FloatArray = np.add.reduceat(values, self.start, axis=axis)
        return result


def layered_rows(
    taken: ArrayLike,
    tried: ArrayLike,
    design: ArrayLike,
    unit: ArrayLike,
    *,
    layer: Layer,
    level: ArrayLike | None = None,
) -> LayeredRows:
    """Bring rows into units, in a coding of the design that no choice of the caller moves.

    Parameters
    ----------
    taken, tried : array_like
        One entry per row. Rows with no graft at risk say nothing and are left out.
    design : array_like
        Rows x coefficients, of full rank.
    unit : array_like
        Label of the group (``layer="grouping"``) or of the tray (``"rows"``).
    layer : {"grouping", "rows"}
        In a tray, rows with one design row are one row: their counts are summed.
        In a group they are separate trays.
    level : array_like, optional
        Level of the first factor per row, 0, 1, ...; all one level when left out.

    Raises
    ------
    CountsError, DesignError
        Counts or a design that cannot be used; labels that do not match.

    Examples
    --------
    >>> rows = layered_rows([9, 8, 7], [10, 10, 10], [[1.0]] * 3, ["a", "b", "a"], layer="rows")
    >>> rows.units, rows.taken_by_unit.tolist()
    (2, [[16.0, 8.0]])
    """
    k = np.asarray(taken, dtype=float).ravel()
    n = np.asarray(tried, dtype=float).ravel()
    x = np.asarray(design, dtype=float)
    labels = np.asarray(unit, dtype=object).ravel()
    first_factor = np.zeros(k.size, dtype=np.intp)
    if level is not None:
        first_factor = np.asarray(level, dtype=np.intp).ravel()
    lines = merge_lines(k, n, x)
    if labels.size != k.size:
        raise DesignError(
            where="the lines of the fit",
            what=f"{labels.size} labels of groups for {k.size} lines",
            rule="every line stands in one group",
            next_step="pass one label per line",
        )
    kept = n > 0
    k, n, x, labels = k[kept], n[kept], x[kept], labels[kept]
    first_factor = first_factor[kept]
    place = {name: i for i, name in enumerate(dict.fromkeys(labels.tolist()))}
    at = np.array([place[name] for name in labels.tolist()], dtype=np.intp)
    rounded = np.column_stack([first_factor, np.round(x / np.abs(x).max(axis=0), 11)])
    _, first, pattern = np.unique(rounded, axis=0, return_index=True, return_inverse=True)
    pattern = pattern.ravel()
    if layer == "rows":
        keys, back = np.unique(np.column_stack([at, pattern]), axis=0, return_inverse=True)
        back = back.ravel()
        k, n = np.bincount(back, weights=k), np.bincount(back, weights=n)
        at, pattern = keys[:, 0].astype(np.intp), keys[:, 1].astype(np.intp)
        lines = merge_lines(k, n, x[first][pattern], spread_group=first_factor[first][pattern])
    pairs, pair = np.unique(np.column_stack([n, k]), axis=0, return_inverse=True)
    keys, row = np.unique(np.column_stack([at, pattern]), axis=0, return_inverse=True)
    held = np.zeros((keys.shape[0], pairs.shape[0]))
    np.add.at(held, (row.ravel(), pair.ravel()), 1.0)
    curves, curve = np.unique(held, axis=0, return_inverse=True)
    shape = (first.size, len(place))
    taken_by_unit, failed_by_unit = np.zeros(shape), np.zeros(shape)
    np.add.at(taken_by_unit, (pattern, at), k)
    np.add.at(failed_by_unit, (pattern, at), n - k)
    names = np.empty(len(place), dtype=object)
    names[:] = list(place)
    return LayeredRows(
        names=names,
        patterns=x[first] @ lines.to_coefficients,
        to_coefficients=lines.to_coefficients,
        pattern_level=first_factor[first],
        pattern_tried=(taken_by_unit + failed_by_unit).sum(axis=1),
        pattern=keys[:, 1].astype(np.intp),
        unit=keys[:, 0].astype(np.intp),
        curve=curve.ravel().astype(np.intp),
        tried=held @ pairs[:, 0],
        start=np.flatnonzero(np.r_[True, np.diff(keys[:, 0]) > 0]).astype(np.intp),
        curve_pairs=curves,
        pair_taken=pairs[:, 1],
        pair_tried=pairs[:, 0],
        taken_by_unit=taken_by_unit,
        failed_by_unit=failed_by_unit,
    )
