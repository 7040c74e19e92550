"""How many grafts of a two-stage trial are made, counted and taken so far?"""

from __future__ import annotations

from dataclasses import dataclass

from pandas import DataFrame, Series

from takestats.errors import UnknownLevelError
from takestats.planning.so_far import Decision, StagedRule, read_so_far
from takestats.planning.two_stage import TwoStage
from takestats.records.result import Records
from takestats.records.targets import pair_name
from takestats.wording import two_stage as words
from takestats.wording.numbers import level_text, listing
from takestats.wording.said import count_name, dates_words

EARLY = ("first", "callus check")
_LOOKED_AT = ("combination", "scion", "method")


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where a two-stage trial stands.

    Parameters
    ----------
    decision : str
        As :class:`takestats.planning.so_far.SoFar` has it.
    sentences : tuple of str
        The decision first.
    taken, grafted : int
        Counted grafts.
    waiting : int
        Grafts not counted yet.
    """

    decision: Decision
    sentences: tuple[str, ...]
    taken: int
    grafted: int
    waiting: int


def standing(rule: TwoStage | StagedRule, records: Records, new: str = "") -> Standing:
    """The records so far: does the rule say go on, drop it, or wait?

    Parameters
    ----------
    rule : TwoStage or StagedRule
    records : Records
        All seasons of the trial; both stages are read together.
    new : str
        The combination (scion, method) on trial; all rows when blank.

    Raises
    ------
    UnknownLevelError
        When the records have no such combination.
    DesignError
        When more grafts were counted than the rule has.

    Notes
    -----
    A first count never decides. Where part of the first stage is not counted yet the count is not
    final; grafts of the second stage that wait do not hold up what the first has decided.
    """
    rows = _rows_of(records, new)
    counted = rows[rows["counted"].astype(bool)]
    waiting = rows[~rows["counted"].astype(bool)]
    made, left = int(_tried(counted, records).sum()), int(_tried(waiting, records).sum())
    taken = int(counted["taken"].sum())
    late = (words.waiting_so_far(left, _trays(waiting)),) if left else ()
    numbers = (rule.first, rule.drop_at_or_below, rule.total, rule.fail_at_or_below)
    told = words.rule_so_far(*numbers)
    if not made:
        return Standing(
            decision="wait",
            sentences=(words.nothing_counted(left, _trays(waiting)), told),
            taken=0,
            grafted=0,
            waiting=left,
        )
    settled = records.count not in EARLY and (not left or made >= rule.first)
    found = read_so_far(rule, taken, made, settled=settled)
    dates = dates_words([str(date) for date in counted["count_date"].dropna()])
    behind = words.behind_so_far(
        new, _trays(counted), count_name(records.count), dates, int(counted["season"].nunique())
    )
    return Standing(
        decision=found.decision,
        sentences=(found.sentence, *late, behind, told),
        taken=taken,
        grafted=made,
        waiting=left,
    )


def _rows_of(records: Records, new: str) -> DataFrame:
    trays = records.trays
    if not new:
        return trays
    names = {str(short): str(full) for short, full in records.trial.names.items()}
    wanted = level_text(pair_name(new, names)).casefold()
    known: list[str] = []
    for column in (name for name in _LOOKED_AT if name in trays):
        levels = trays[column].map(level_text, na_action="ignore")
        mine = levels.fillna("").str.casefold() == wanted
        if mine.any():
            return trays[mine]
        known += sorted(str(level) for level in levels.dropna().unique())
    raise UnknownLevelError(
        where="the combination on trial",
        what=f"no tray of {new} is recorded.",
        rule="the grafts of the combination on trial are added up by its name in the records.",
        next_step=f"name it as the records do: {listing(known[:8], 'or') or 'none is named there'}",
    )


def _tried(rows: DataFrame, records: Records) -> Series[float]:
    """Grafts that the take is a share of."""
    made: Series[float] = rows["grafted"].astype(float) - rows["missing"].astype(float).fillna(0.0)
    if records.trial.records.get("out_of") == "live_understock":
        made = made - rows["understock_dead"].astype(float).fillna(0.0)
    return made


def _trays(rows: DataFrame) -> int:
    return int(rows["tray_id"].nunique())
