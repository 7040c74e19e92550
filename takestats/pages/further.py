"""Which factors beyond those of the page can be compared, and beside what?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from takestats.answers.grafter_spread import GRAFTER
from takestats.errors import DesignError
from takestats.models.fit import fit_take
from takestats.models.lines import as_level
from takestats.pages.along import MANY_TRAYS
from takestats.pages.factors import MOST_BLANK, refused_together
from takestats.wording.further import not_recorded_words, one_level_words, too_many_levels_words
from takestats.wording.grafters import grafters_refused

if TYPE_CHECKING:
    from takestats.models.take_model import TakeModel
    from takestats.pages.gathered import Gathered

FURTHER = (
    "union_height_mm",
    "sealed",
    "healing",
    "caliper_class",
    "caliper_match",
    "relation",
)
RELATION = "relation"
COMBINATION = "combination"
MOST_LEVELS = 6
FEWEST_GROUPS = 3


@dataclass(frozen=True, kw_only=True)
class Further:
    """Factors to compare beyond those of the page.

    Parameters
    ----------
    factors : tuple of str
        With two levels or more.
    said : tuple of str
        Why the others are not compared.
    """

    factors: tuple[str, ...]
    said: tuple[str, ...]


@dataclass(frozen=True, eq=False, kw_only=True)
class FurtherModels:
    """The fits behind them.

    Parameters
    ----------
    models : dict of str to TakeModel
        By factor, in order; several share one model where the layout carries it.
    said : tuple of str
        Why a factor has none.
    """

    models: dict[str, TakeModel]
    said: tuple[str, ...] = field(default=())


def further_factors(found: Gathered) -> Further:
    """Sort what the page does not compare yet.

    Parameters
    ----------
    found : Gathered
    """
    kept: list[str] = []
    said: list[str] = []
    lacking: list[str] = []
    for factor in FURTHER:
        if factor in found.rates:
            continue
        levels = _levels(found, factor)
        if not levels:
            lacking.append(factor)
        elif len(levels) == 1:
            said.append(one_level_words(factor, levels[0]))
        elif len(levels) > MOST_LEVELS:
            said.append(too_many_levels_words(factor, len(levels)))
        else:
            kept.append(factor)
    if lacking:
        said.append(not_recorded_words(lacking))
    return Further(factors=tuple(kept), said=tuple(said))


def further_models(found: Gathered, factors: Sequence[str]) -> FurtherModels:
    """Fit them side by side with the page's factors where the layout carries it, else each alone.

    Parameters
    ----------
    found : Gathered
    factors : sequence of str
        From :func:`further_factors`.

    Notes
    -----
    A relation belongs to a whole combination: where three combinations or more are recorded
    they are its units, a grouping above the trays. A factor with many blanks, or that cannot
    be told apart from the others, stands beside the main factor alone. In a big season each
    factor stands beside the main factor alone, every cell of the two with its own take on
    the exact grid, trays counted as independent.
    """
    many = len(found.trays) > MANY_TRAYS
    by_units = RELATION in factors and len(_levels(found, COMBINATION)) >= FEWEST_GROUPS
    apart = [name for name in factors if by_units and name == RELATION]
    together: list[str] = []
    for factor in factors:
        beside = [*found.chosen.factors, *together, factor]
        blank = float(found.trays[factor].isna().mean())
        if factor in apart:
            continue
        if many or blank > MOST_BLANK or _refused(found, beside):
            apart.append(factor)
        else:
            together.append(factor)
    fitted: dict[str, TakeModel] = {}
    if together:
        joint = _fit(found, [*found.chosen.factors, *together])
        fitted = dict.fromkeys(together, joint)
    said: list[str] = []
    for factor in apart:
        try:
            fitted[factor] = _alone(found, factor, by_units=by_units, many=many)
        except DesignError as error:
            said.append(f"{error.where}: {error.what}")
    return FurtherModels(
        models={name: fitted[name] for name in factors if name in fitted}, said=tuple(said)
    )


def grafter_model(found: Gathered) -> TakeModel | str | None:
    """The page's factors with grafters as blocks; why not, or None where there is one alone.

    Parameters
    ----------
    found : Gathered
    """
    if GRAFTER in found.rates or len(_levels(found, GRAFTER)) < 2:
        return None
    main = [found.main] if found.main else []
    beside = main if len(found.trays) > MANY_TRAYS else list(found.chosen.factors)
    for factors in dict.fromkeys((tuple(beside), tuple(main))):
        try:
            return _fit(found, list(factors), grouping=GRAFTER)
        except DesignError as error:
            refused = error
    return grafters_refused(refused.what)


def _alone(found: Gathered, factor: str, *, by_units: bool, many: bool) -> TakeModel:
    """One factor beside the main one; by itself where even that is refused."""
    both = [name for name in (found.main, factor) if name]
    tries: list[tuple[list[str], str | None, bool]] = []
    if factor == RELATION and by_units:
        tries += [(both, COMBINATION, False), ([factor], COMBINATION, False)]
    layer = None if many else "auto"
    if many and len(both) > 1:
        tries.append((both, layer, True))
    tries += [(both, layer, False), ([factor], layer, False)]
    for names, grouping, crossed in tries:
        try:
            return _fit(found, names, grouping=grouping, crossed=crossed)
        except DesignError as error:
            refused = error
    raise refused


def _fit(
    found: Gathered,
    factors: list[str],
    *,
    grouping: str | None = "auto",
    crossed: bool = False,
) -> TakeModel:
    return fit_take(
        found.records,
        factors,
        interactions=[factors] if crossed else (),
        grouping=grouping,
        season=found.season or "auto",
        out_of=found.asked.out_of,
    )


def _refused(found: Gathered, factors: list[str]) -> bool:
    season, out_of = found.season, found.asked.out_of
    return refused_together(found.records, factors, season, out_of) is not None


def _levels(found: Gathered, factor: str) -> list[str]:
    if factor not in found.trays.columns:
        return []
    return list(dict.fromkeys(x for x in map(as_level, found.trays[factor]) if x is not None))
