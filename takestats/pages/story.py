"""What carried over from season to season, and what is the next one likely to bring?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from takestats.answers.expected_take import expected_take
from takestats.answers.held import held_difference
from takestats.errors import DesignError, TakeError
from takestats.models.fit import fit_take
from takestats.models.lines import as_level
from takestats.pages.strata import find_strata
from takestats.records.derive import NOT_RECORDED

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.expected_take import ExpectedTake
    from takestats.answers.held import HeldDifference
    from takestats.models.take_model import TakeModel
    from takestats.pages.asked import OutOf
    from takestats.records.result import Records

LEVEL = 0.9
MOST_LEVELS = 4
Say = Callable[[str], None]


@dataclass(frozen=True, eq=False, kw_only=True)
class SeasonStory:
    """Several seasons, never pooled.

    Parameters
    ----------
    seasons : int
        How many have a counted tray.
    overall : ExpectedTake
        The next season, all grafts.
    by_combination : ExpectedTake or None
        The same for each combination; None where fewer than two are recorded.
    held : HeldDifference or None
        The main factor's difference season by season; None where one season alone has both
        levels, or there are many levels.
    said : tuple of str
        Seasons in which the levels cannot be compared.
    """

    seasons: int
    overall: ExpectedTake
    by_combination: ExpectedTake | None
    held: HeldDifference | None
    said: tuple[str, ...]


def has_story(records: Records) -> bool:
    """Whether two seasons or more have a counted tray."""
    return len(_seasons(records)) > 1


def season_story(
    records: Records,
    model: TakeModel,
    main: str,
    pairs: Sequence[tuple[str, str]],
    *,
    out_of: OutOf,
    say: Say,
) -> SeasonStory | None:
    """Tell the story of several seasons; None when one is recorded.

    Parameters
    ----------
    records : Records
    model : TakeModel
        Of the newest season: its count and denominator are used.
    main : str
        The main question's factor; blank for none.
    pairs : sequence of pairs of levels
        As compared in the newest season.
    out_of : str
    say : callable
        Told what is being done.
    """
    known = _seasons(records)
    if len(known) < 2:
        return None
    say("what the next season may bring")
    overall = expected_take(model, None, level=LEVEL)
    combinations = None
    counted = records.trays[records.trays["counted"].astype(bool)]
    if counted["combination"].nunique() > 1:
        combinations = expected_take(model, "combination", level=LEVEL)
    held: HeldDifference | None = None
    said: tuple[str, ...] = ()
    if main and main not in ("season", "combination"):
        say(f"{main.replace('_', ' ')} season by season")
        held, said = _held(records, counted, main, pairs, out_of)
    return SeasonStory(
        seasons=len(known), overall=overall, by_combination=combinations, held=held, said=said
    )


def _seasons(records: Records) -> list[str]:
    trays = records.trays
    seasons = trays.loc[trays["counted"].astype(bool), "season"].dropna().astype(str)
    return sorted(season for season in seasons.unique() if season != NOT_RECORDED)


def _held(
    records: Records,
    counted: DataFrame,
    main: str,
    pairs: Sequence[tuple[str, str]],
    out_of: OutOf,
) -> tuple[HeldDifference | None, tuple[str, ...]]:
    """The main difference inside each season, from one model with their interaction."""
    levels = list(dict.fromkeys(level for pair in pairs for level in pair))
    known = {as_level(value) for value in counted[main]}
    if not 2 <= len(levels) <= MOST_LEVELS or not set(levels) <= known:
        return None, ()
    try:
        strata = find_strata(counted, main, "season", levels)
    except DesignError:
        return None, ()
    if len(strata.kept) < 2:
        return None, strata.said[:1]
    asked = [pair for pair in pairs if set(pair) <= set(strata.levels)]
    try:
        joint = fit_take(
            strata.inside(_only(records, main, strata.levels)),
            [main, "season"],
            interactions=[[main, "season"]],
            out_of=out_of,
        )
        return held_difference(joint, main, "season", pairs=asked), strata.said
    except TakeError:  # an earlier season does not carry the question
        return None, strata.said


def _only(records: Records, column: str, levels: Sequence[str]) -> Records:
    """Without the trays of other levels: they may lack in some season."""
    trays = records.trays
    keep = trays[column].map(as_level).isin(levels) | trays[column].isna()
    return replace(records, trays=trays[keep])
