"""What does a fit say of itself: which count, how much is behind it, compared with what?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from pandas import DataFrame

from takestats.models.lines import Lines
from takestats.wording import models as words

if TYPE_CHECKING:
    from takestats.records.result import Records


def fit_notes(
    lines: Lines, records: Records, reference: dict[str, str], count: str, out_of: str
) -> tuple[str, ...]:
    """Count, denominator, trays and grafts, what was left out, reference levels, lone trays."""
    table = lines.table
    dates = count_dates(table)
    notes = [words.count_note(count, dates, out_of)]
    notes.append(words.behind_note(lines.trays, float(table["tried"].sum()), not records.no_trays))
    notes.extend(lines.notes)
    if reference:
        notes.append(words.reference_note(reference))
        if not records.no_trays:
            first = next(iter(reference))
            trays = lines.trays_by_level(first)
            single = [level for level, number in trays.items() if number == 1]
            if single:
                notes.append(words.one_tray_note(single))
    return tuple(notes)


def count_dates(table: DataFrame) -> tuple[str, ...]:
    """First and last date of the counts; one date where all are the same."""
    dates = sorted({str(d)[:10] for d in table["count_date"].dropna().unique() if str(d)})
    return (dates[0], dates[-1]) if len(dates) > 1 else tuple(dates)
