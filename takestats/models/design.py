"""Which columns does a model of several factors and curves get?

Factors by their levels against a reference, curves by their shape, named
interactions by products. A column the user named is never dropped silently.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from takestats.errors import DesignError
from takestats.models.belief import Pattern
from takestats.models.sampled_rank import check_full_rank
from takestats.models.splines import Curve
from takestats.wording.models import interaction_words
from takestats.wording.numbers import column_words, listing

Floats = NDArray[np.float64]

MOST_ALIKE = 0.95


@dataclass(frozen=True, eq=False, kw_only=True)
class Design:
    """How patterns become rows of a design matrix.

    Parameters
    ----------
    factors : tuple of str
    levels : mapping of str to tuple of str
        The reference level first.
    curves : tuple of Curve
    interactions : tuple of tuple of str
    """

    factors: tuple[str, ...]
    levels: Mapping[str, tuple[str, ...]]
    curves: tuple[Curve, ...]
    interactions: tuple[tuple[str, ...], ...]

    @property
    def columns(self) -> tuple[str, ...]:
        """The fitted columns, in the order of a pattern."""
        return (*self.factors, *(curve.name for curve in self.curves))

    @property
    def terms(self) -> list[tuple[str, list[int]]]:
        """Each term in words with its columns of the matrix; the intercept is column 0."""
        found: list[tuple[str, list[int]]] = []
        at = 1
        for name, width in self._widths():
            found.append((name, list(range(at, at + width))))
            at += width
        return found

    def _widths(self) -> list[tuple[str, int]]:
        width = {name: len(self.levels[name]) - 1 for name in self.factors}
        width |= {curve.name: curve.columns for curve in self.curves}
        singles = [(column_words(name), width[name]) for name in self.columns]
        several = [
            (interaction_words(names), int(np.prod([width[name] for name in names])))
            for names in self.interactions
        ]
        return singles + several

    def matrix(self, patterns: Sequence[Pattern]) -> Floats:
        """Rows of the design matrix, shape (patterns, coefficients)."""
        blocks: dict[str, Floats] = {}
        for place, name in enumerate(self.factors):
            values = np.array([str(pattern[place]) for pattern in patterns], dtype=object)
            others = self.levels[name][1:]
            blocks[name] = np.column_stack(
                [(values == level).astype(float) for level in others]
                or [np.empty((len(patterns), 0))]
            )
        for place, curve in enumerate(self.curves, start=len(self.factors)):
            blocks[curve.name] = curve.basis([float(pattern[place]) for pattern in patterns])
        matrix = [np.ones((len(patterns), 1)), *(blocks[name] for name in self.columns)]
        for names in self.interactions:
            block = np.ones((len(patterns), 1))
            for name in names:
                block = (block[:, :, None] * blocks[name][:, None, :]).reshape(len(patterns), -1)
            matrix.append(block)
        return np.concatenate(matrix, axis=1)


def check_interactions(
    interactions: Sequence[tuple[str, ...]],
    factors: Sequence[str],
    curves: Sequence[str],
    patterns: Sequence[Pattern],
    levels: Mapping[str, Sequence[str]],
) -> None:
    """Refuse interactions of unknown columns or with an empty cell.

    Raises
    ------
    DesignError
    """
    known = [*factors, *curves]
    for names in interactions:
        unknown = [name for name in names if name not in known]
        if unknown or len(names) < 2 or len(set(names)) != len(names):
            raise DesignError(
                where="interactions",
                what=interaction_words(names) if names else "an empty list",
                rule="an interaction names two or more different factors or curves of this fit",
                next_step=f"name some of {listing(known)}",
            )
        places = [known.index(name) for name in names if name in factors]
        seen = {tuple(pattern[i] for i in places) for pattern in patterns}
        sets = [levels[name] for name in names if name in factors]
        empty = [cell for cell in product(*sets) if cell not in seen]
        if empty:
            raise DesignError(
                where=f"interactions, {interaction_words(names)}",
                what="no trays of " + "; ".join(", ".join(cell) for cell in empty[:5]),
                rule="an interaction needs trays in every cell",
                next_step="leave the interaction out, or set the lines of one level aside",
            )


def empty_pairs(design: Design, patterns: Sequence[Pattern]) -> list[tuple[str, str]]:
    """Pairs of levels of two factors that no tray shows together."""
    found = []
    for (i, a), (j, b) in combinations(enumerate(design.factors), 2):
        seen = {(pattern[i], pattern[j]) for pattern in patterns}
        found += [
            (str(x), str(y))
            for x, y in product(design.levels[a], design.levels[b])
            if (x, y) not in seen
        ]
    return found


def check_curves(curves: Sequence[Curve], values: Mapping[str, Floats]) -> None:
    """Refuse two curves that run side by side.

    Raises
    ------
    DesignError
    """
    for a, b in combinations(curves, 2):
        alike = float(np.corrcoef(values[a.name], values[b.name])[0, 1])
        if abs(alike) > MOST_ALIKE:
            raise DesignError(
                where=f"curves, {column_words(a.name)} and {column_words(b.name)}",
                what="they rise and fall together (correlation over .95)",
                rule="two curves that run side by side cannot be told apart",
                next_step="fit one of them",
            )


def check_rank(design: Design, patterns: Sequence[Pattern], lines: Sequence[int]) -> None:
    """Refuse columns that cannot be told apart, with their cross-table.

    ``patterns`` are the distinct ones, ``lines`` how many lines have each.

    Raises
    ------
    DesignError
    """
    try:
        check_full_rank(design.matrix(patterns), design.terms)
    except DesignError as error:
        raise DesignError(
            where="factors and curves",
            what=error.what + _cross_table(design, error.what, patterns, lines),
            rule=error.rule,
            next_step=error.next_step,
        ) from None


def _cross_table(
    design: Design, told: str, patterns: Sequence[Pattern], lines: Sequence[int]
) -> str:
    """Trays by the levels of the factors that the message names."""
    named = [i for i, name in enumerate(design.factors) if column_words(name) in told][:2]
    if len(named) < 2:
        return ""
    counts: dict[tuple[str, ...], int] = {}
    for pattern, number in zip(patterns, lines, strict=True):
        cell = tuple(str(pattern[i]) for i in named)
        counts[cell] = counts.get(cell, 0) + number
    said = "; ".join(f"{' with '.join(cell)} {number}" for cell, number in counts.items())
    return f" (lines: {said})"
