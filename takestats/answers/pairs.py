"""Which pairs of levels are compared, and over which strata of the other factors?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from takestats.answers.population import (
    Levels,
    Question,
    comparable,
    level_sets,
    levels_inside,
    own_lines,
    population,
)
from takestats.errors import CountsError, UnknownLevelError
from takestats.models.belief import Population
from takestats.models.lines import nearest
from takestats.models.take_model import TakeModel

Pairs = Literal["all", "reference"] | Sequence[tuple[Any, Any]]


@dataclass(frozen=True, eq=False, kw_only=True)
class ComparedPair:
    """Two levels, the lines each is averaged over, and the lines of its own.

    Parameters
    ----------
    names : dict of str to str
        The levels of the within columns, then level_a and level_b in words.
    populations : pair of Population
        Only strata in which both levels have trays.
    own : pair of ndarray of bool
        Which lines are each level's own.
    """

    names: dict[str, str]
    populations: tuple[Population, Population]
    own: tuple[NDArray[np.bool_], NDArray[np.bool_]]


def chosen_pairs(
    model: TakeModel, by: tuple[str, ...], sets: list[Levels], pairs: Pairs
) -> list[tuple[Levels, Levels]]:
    """Pairs of levels to compare.

    Raises
    ------
    UnknownLevelError, CountsError
    """
    if isinstance(pairs, str):
        if pairs == "all":
            return list(combinations(sets, 2))
        if pairs == "reference":
            base = tuple(model.reference[column] for column in by)
            return [(levels, base) for levels in sets if levels != base]
        raise CountsError(
            where="pairs",
            what=f"{pairs!r}",
            rule='"all", "reference" or a list of pairs of levels',
            next_step='use pairs="all"',
        )
    found = []
    for pair in pairs:
        both = [(x,) if isinstance(x, str) else tuple(map(str, x)) for x in pair]
        for levels in both:
            if levels not in sets:
                raise UnknownLevelError(
                    where=f"pairs, {', '.join(by)}",
                    what=f"{', '.join(levels)!r}",
                    rule="a level that has trays",
                    next_step=nearest(", ".join(levels), [", ".join(s) for s in sets]),
                )
        found.append((both[0], both[1]))
    return found


def compared_pairs(
    model: TakeModel, question: Question, pairs: Pairs
) -> tuple[list[ComparedPair], list[str]]:
    """Pairs that share a stratum of the other factors; and the cells without trays, named."""
    columns = [*question.within, *question.by]
    found: list[ComparedPair] = []
    lacking: list[str] = []
    for inside in level_sets(model, question.within):
        sets = levels_inside(model, question, inside)
        for a, b in chosen_pairs(model, question.by, sets, pairs):
            shared, empty = comparable(
                model, question, [population(question, x, inside) for x in (a, b)]
            )
            lacking.extend(text for text in empty if text not in lacking)
            if not shared[0].weights:
                continue
            own = [own_lines(model, columns, (*inside, *levels)) for levels in (a, b)]
            found.append(
                ComparedPair(
                    names=dict(zip(question.within, inside, strict=True))
                    | {"level_a": ", ".join(a), "level_b": ", ".join(b)},
                    populations=(shared[0], shared[1]),
                    own=(own[0], own[1]),
                )
            )
    return found, lacking
