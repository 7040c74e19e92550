"""Which comparisons of single patterns are a model's coefficients?"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

from takestats.models.belief import Pattern, Population, single
from takestats.models.design import Design
from takestats.wording.models import interaction_words
from takestats.wording.numbers import column_words


@dataclass(frozen=True, eq=False, kw_only=True)
class LevelContrast:
    """A level against its reference; or how much an effect depends on another.

    Parameters
    ----------
    factor, level, against : str
        In words; an interaction reads "method by scion wood".
    signs : tuple of (sign, Population)
    """

    factor: str
    level: str
    against: str
    signs: tuple[tuple[float, Population], ...]


def _pattern(design: Design, levels: dict[str, str]) -> Pattern:
    factors = tuple(levels.get(name, design.levels[name][0]) for name in design.factors)
    return (*factors, *(curve.centre for curve in design.curves))


def level_contrasts(design: Design) -> list[LevelContrast]:
    """Every level of every factor and interaction, the others at their reference.

    Curves stand at their middle; an interaction with a curve is left to the
    curve itself.
    """
    columns = design.columns
    base = _pattern(design, {})
    found = []
    for name in design.factors:
        reference, *others = design.levels[name]
        for level in others:
            found.append(
                LevelContrast(
                    factor=column_words(name),
                    level=level,
                    against=reference,
                    signs=(
                        (1.0, single(columns, _pattern(design, {name: level}))),
                        (-1.0, single(columns, base)),
                    ),
                )
            )
    for names in design.interactions:
        if any(name not in design.factors for name in names):
            continue
        for levels in product(*(design.levels[name][1:] for name in names)):
            signs = []
            for chosen in product((False, True), repeat=len(names)):
                picked = {n: x for n, x, c in zip(names, levels, chosen, strict=True) if c}
                sign = 1.0 if (len(names) - sum(chosen)) % 2 == 0 else -1.0
                signs.append((sign, single(columns, _pattern(design, picked))))
            found.append(
                LevelContrast(
                    factor=interaction_words(names),
                    level=", ".join(levels),
                    against=", ".join(design.levels[name][0] for name in names),
                    signs=tuple(signs),
                )
            )
    return found
