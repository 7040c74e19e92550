"""Which factors can this season's page compare, and which were left out and why?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from takestats.answers.rates import take_rates
from takestats.errors import DesignError
from takestats.models.fit import fit_take
from takestats.models.layered_rows import MANY
from takestats.models.side_by_side import shared_out
from takestats.pages.asked import OutOf
from takestats.pages.missing import many_missing
from takestats.wording.compared import (
    blank_reason,
    dropped_line,
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
MOST_FITS = 6
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
        Factors with two levels or more that could not stand beside the others and are
        shown on their own, as far as six fits go.
    said : tuple of str
        A sentence for every factor that was wanted and is not in the model.
    """

    model: TakeModel
    factors: tuple[str, ...]
    rates: dict[str, TakeRates]
    apart: tuple[str, ...]
    said: tuple[str, ...]

    @property
    def main(self) -> str:
        """The main question's factor; blank when there is nothing to compare."""
        return self.factors[0] if self.factors else ""


def usable_factors(
    trays: DataFrame, wanted: Sequence[str], needed: Sequence[str] = ()
) -> tuple[tuple[str, ...], dict[str, str], tuple[str, ...]]:
    """Sort the wanted factors: side by side, on their own, not at all.

    Parameters
    ----------
    trays : pandas.DataFrame
        Counted trays of one season.
    wanted : sequence of str
        Column names in order of interest.
    needed : sequence of str
        Never left to stand on their own, whatever they have blank; as the first one.

    Returns
    -------
    tuple
        Factors with at least two levels and few blanks; the reason of each one with many
        blanks, which would cost the others too many trays; a sentence for each one that
        cannot be compared.
    """
    kept: list[str] = []
    blanks: dict[str, str] = {}
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
        elif blank > MOST_BLANK and factor not in (wanted[0], *needed):
            blanks[factor] = blank_reason(blank)
        else:
            kept.append(factor)
    return tuple(kept), blanks, tuple(said)


def choose_model(
    records: Records,
    trays: DataFrame,
    wanted: Sequence[str],
    *,
    season: str,
    out_of: OutOf,
    only: str = "",
    within: str = "",
    reserved: int = 0,
    say: Say,
) -> ChosenModel:
    """Fit the wanted factors side by side; of two that cannot be told apart the earlier stays.

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
    only : str
        The one factor that the page answers; nothing else is then shown on its own.
    within : str
        A factor that ``only`` is also compared inside of: they get their interaction.
    reserved : int
        Fits that the page needs for something else.
    say : callable
        Told what is being done.

    Returns
    -------
    ChosenModel

    Raises
    ------
    DesignError
        When ``only``, or the season as a whole, cannot be fitted.
    """
    usable, reasons, said = usable_factors(trays, wanted, (within,))
    factors: list[str] = []
    for factor in usable:
        joint = _joint(only, within, [*factors, factor])
        refused = refused_together(records, [*factors, factor], season, out_of, joint)
        if refused is None:
            factors.append(factor)
        elif factor in (only, within):
            raise refused
        else:
            reasons[factor] = _reason(refused)
    names = ", ".join(column_words(factor) for factor in factors) or "the season as a whole"
    say(f"fitting {names}")
    model = fit_take(
        records,
        factors,
        interactions=_joint(only, within, factors),
        season=season or "auto",
        out_of=out_of,
    )
    rates = dict(zip(factors, _rates(model, factors), strict=True))
    # The season as a whole is one more fit; missing grafts, when they are many, two more.
    misses = any(_misses(trays, name) for name in (*factors, *reasons))
    spare = max(MOST_FITS - 2 - reserved - 2 * misses, 0)
    apart = [
        factor
        for factor in dict.fromkeys(wanted)
        if factor in reasons
        and not only
        and refused_together(records, [factor], season, out_of) is None
    ][:spare]
    return ChosenModel(
        model=model,
        factors=tuple(factors),
        rates=rates,
        apart=tuple(apart),
        said=(*said, *_dropped_lines(reasons, apart)),
    )


def _rates(model: TakeModel, factors: Sequence[str]) -> list[TakeRates]:
    """The takes of every factor; of many trays on both cores, the most levels first."""
    work = partial(take_rates, model)
    if model.trays <= MANY:
        return [work(factor) for factor in factors]
    order = sorted(factors, key=lambda factor: -len(model.levels(factor)))
    found = dict(zip(order, shared_out(work, order), strict=True))
    return [found[factor] for factor in factors]


def _joint(only: str, within: str, factors: Sequence[str]) -> list[list[str]]:
    """The interaction of the question and its strata, once both are there."""
    return [[only, within]] if within and {only, within} <= set(factors) else []


def _misses(trays: DataFrame, factor: str) -> bool:
    """Whether so many grafts are missing that the extremes are fitted too."""
    return many_missing(trays.groupby(factor)[["missing", "grafted"]].sum(min_count=1))


def _dropped_lines(reasons: dict[str, str], apart: Sequence[str]) -> list[str]:
    """A sentence for each reason, with all factors that have it."""
    together: dict[tuple[str, bool], list[str]] = {}
    for factor, reason in reasons.items():
        together.setdefault((reason, factor in apart), []).append(factor)
    return [dropped_line(names, reason, shown=shown) for (reason, shown), names in together.items()]


def refused_together(
    records: Records,
    factors: list[str],
    season: str,
    out_of: OutOf,
    interactions: Sequence[Sequence[str]] = (),
) -> DesignError | None:
    """Why these factors cannot stand side by side; None when they can.

    Asked of the quick closed form, which refuses what every engine refuses, at once.
    """
    try:
        fit_take(
            records,
            factors,
            interactions=interactions,
            season=season or "auto",
            out_of=out_of,
            engine="quick",
        )
    except DesignError as error:
        return error
    return None


def _reason(error: DesignError) -> str:
    return f"{error.where} {error.what}" if error.where.startswith("tray ") else error.what
