"""Which factors can this season's page compare, and which were left out and why?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from takestats.answers.rates import take_rates
from takestats.errors import DesignError
from takestats.models.fit import fit_take
from takestats.pages.asked import OutOf
from takestats.wording.compared import (
    blank_factor_line,
    dropped_line,
    empty_cell_reason,
    not_recorded_line,
    only_level_line,
)
from takestats.wording.numbers import column_words, level_text

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.rates import TakeRates
    from takestats.models.take_model import TakeModel
    from takestats.records.result import Records

DEFAULT_FACTORS = ("method", "combination", "scion_wood", "caliper_class")
MOST_BLANK = 0.05
Say = Callable[[str], None]


@dataclass(frozen=True, eq=False, kw_only=True)
class ChosenModel:
    """The model of a page with the factors that stayed out of it.

    Parameters
    ----------
    model : TakeModel
        ``factors`` side by side, each shifting the take by itself.
    factors : tuple of str
        In it, the first one the main question.
    rates : dict of str to TakeRates
        The takes of each factor in it.
    apart : tuple of str
        Factors with two levels or more that could not stand beside the others; each is
        shown on its own.
    said : tuple of str
        A sentence for every factor that was wanted and is not in the model.
    """

    model: TakeModel
    factors: tuple[str, ...]
    rates: dict[str, TakeRates]
    apart: tuple[str, ...]
    said: tuple[str, ...]


class _Dropped(NamedTuple):
    """Factors dropped for one reason."""

    factors: list[str]
    reason: str
    rule: str


def usable_factors(
    trays: DataFrame, wanted: Sequence[str]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Sort the wanted factors into those that can be compared and sentences on the others.

    Parameters
    ----------
    trays : pandas.DataFrame
        Counted trays of one season.
    wanted : sequence of str
        Column names in order of interest.

    Returns
    -------
    tuple
        Factors with at least two levels and few blanks; a sentence for each other one.
    """
    kept: list[str] = []
    said: list[str] = []
    for factor in wanted:
        if factor not in trays.columns or trays[factor].isna().all():
            if factor in ("method", "combination"):
                said.append(not_recorded_line(factor))
            continue
        levels = trays[factor].dropna().unique()
        blank = float(trays[factor].isna().mean())
        if len(levels) < 2:
            said.append(only_level_line(factor, level_text(levels[0])))
        elif blank > MOST_BLANK and factor != wanted[0]:
            said.append(blank_factor_line(factor, blank))
        else:
            kept.append(factor)
    return tuple(kept), tuple(said)


def choose_model(
    records: Records,
    trays: DataFrame,
    wanted: Sequence[str],
    *,
    season: str,
    out_of: OutOf,
    shown_apart: bool = True,
    say: Say,
) -> ChosenModel:
    """Fit the most factors that the layout can carry, dropping the later ones first.

    Parameters
    ----------
    records : Records
    trays : pandas.DataFrame
        Counted trays of the season.
    wanted : sequence of str
        Column names, the main question first.
    season : str
        The season to analyse.
    out_of : str
        "made" or "live_understock".
    shown_apart : bool
        Whether the page shows the dropped factors on their own.
    say : callable
        Told what is being done.

    Returns
    -------
    ChosenModel

    Raises
    ------
    DesignError
        When not even one factor, or the season as a whole, can be fitted.
    """
    factors, said = usable_factors(trays, wanted)
    dropped: list[_Dropped] = []
    apart: list[str] = []
    while True:
        names = ", ".join(column_words(factor) for factor in factors) or "the season as a whole"
        say(f"fitting {names}")
        try:
            model = fit_take(records, list(factors), season=season or "auto", out_of=out_of)
            rates = {factor: take_rates(model, factor) for factor in factors}
        except DesignError as error:
            if not factors:
                raise
            reason, rule = f"{error.what}; {error.rule}", error.rule
        else:
            reason = rule = _not_estimable(model, rates)
            if not reason:
                break
        if dropped and dropped[-1].rule == rule:
            dropped[-1].factors.insert(0, factors[-1])
        else:
            dropped.append(_Dropped([factors[-1]], reason, rule))
        apart.insert(0, factors[-1])
        factors = factors[:-1]
    told = (dropped_line(d.factors, d.reason, shown=shown_apart) for d in dropped)
    return ChosenModel(
        model=model, factors=factors, rates=rates, apart=tuple(apart), said=(*said, *told)
    )


def _not_estimable(model: TakeModel, rates: dict[str, TakeRates]) -> str:
    for factor, result in rates.items():
        table = result.table
        told = set(table.loc[table["take_rate"].notna(), factor].astype(str))
        gone = [level for level in model.levels(factor) if level not in told]
        if gone:
            return empty_cell_reason(factor, [level_text(level) for level in gone])
    return ""
