"""Trays differ, nobody knows by how much: which two-stage rule holds over the whole range?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.planning.checks import check_iccs
from takestats.planning.past import PastTrays, past_trays
from takestats.planning.two_stage import TwoStage, two_stage
from takestats.wording import plan_page as page_words
from takestats.wording import plan_steps as steps
from takestats.wording import planning as words

if TYPE_CHECKING:
    from takestats.planning.two_stage_rules import Objective
    from takestats.records.result import Records

_COLUMNS = (
    "icc",
    "first",
    "drop_at_or_below",
    "total",
    "fail_at_or_below",
    "first_trays",
    "total_trays",
    "size",
    "power",
    "stops_early",
    "expected_grafts",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class StagePlans(TableResult):
    """Two-stage rules over a range of how much trays differ.

    ``table``: one row per intra-tray correlation: icc, first, drop_at_or_below,
    total, fail_at_or_below (grafts), first_trays, total_trays, size, power,
    stops_early (proportions), expected_grafts.

    Parameters
    ----------
    rules : tuple of TwoStage
        By rising correlation.
    chosen : TwoStage
        Of the most uneven trays looked at.
    past : PastTrays or None
        Where the correlations come from.
    """

    rules: tuple[TwoStage, ...]
    chosen: TwoStage
    past: PastTrays | None


def stage_plans(
    floor: float,
    promising: float,
    *,
    alpha: float = 0.05,
    power: float = 0.8,
    objective: Objective = "least_expected",
    icc: Sequence[float] | None = None,
    tray_size: int | None = None,
    past: Records | None = None,
    progress: Callable[[str], None] | None = None,
) -> StagePlans:
    """When may a first batch stop the trial, however much trays turn out to differ?

    Parameters
    ----------
    floor, promising, alpha, power, objective, tray_size
        As for :func:`takestats.two_stage`. Without a tray size every graft stands by itself.
    icc : sequence of float, optional
        How much trays differ; what ``past`` shows, or 0.02 to 0.20, when not given.
    past : Records, optional
        Past seasons, for the correlation.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    StagePlans

    Raises
    ------
    CountsError, DesignError
        As for :func:`takestats.two_stage`.

    Examples
    --------
    >>> found = stage_plans(0.7, 0.9, tray_size=12)
    >>> found.table["icc"].tolist(), found.chosen.icc
    ([0.02, 0.05, 0.1, 0.2], 0.2)
    """
    seen = past_trays(past) if past is not None and icc is None and tray_size is not None else None
    if seen is not None:
        iccs: tuple[float, ...] = seen.iccs
    elif icc is not None:
        iccs = check_iccs(icc)
    else:
        iccs = check_iccs(None) if tray_size is not None else (0.0,)
    rules = []
    for value in sorted(iccs):
        if progress is not None:
            progress(steps.stages(floor, promising))
        rules.append(
            two_stage(
                floor,
                promising,
                alpha=alpha,
                power=power,
                objective=objective,
                icc=value,
                tray_size=tray_size,
            )
        )
    chosen = rules[-1]
    notes = list(chosen.notes)
    if chosen.tray_size is not None:
        notes.append(page_words.worst_stages_line(chosen.icc, len(rules) == 1))
    if seen is not None:
        notes = [seen.banner, *notes, words.past_note(
            seen.icc, seen.low, seen.high, seen.trays, seen.grafts, seen.seasons)]  # fmt: skip
    elif icc is None and tray_size is not None:
        notes.append(words.ASSUMED_ICC_NOTE)
    return StagePlans(
        _table=DataFrame([{name: getattr(rule, name) for name in _COLUMNS} for rule in rules]),
        notes=tuple(note for note in notes if note),
        sentences=chosen.sentences,
        rules=tuple(rules),
        chosen=chosen,
        past=seen,
    )
