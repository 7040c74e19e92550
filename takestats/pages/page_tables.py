"""Which tables go beside a page as CSV, and what does each hold?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.pages.bench_part import count_dates
from takestats.pages.rows import same_direction, slug
from takestats.wording.sections import table_note

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.pages.gathered import Gathered


def page_tables(found: Gathered) -> tuple[dict[str, DataFrame], dict[str, str]]:
    """Every number of the page at full precision, with a note for each table.

    Parameters
    ----------
    found : Gathered

    Returns
    -------
    tuple of dict
        Tables by name, notes by the same name.
    """
    named: list[tuple[str, str, DataFrame]] = [
        ("take_overall", "overall take", found.overall.table)
    ]
    for factor, rates in found.rates.items():
        named.append((f"take_by_{_file(factor)}", f"take by {factor}", rates.table))
    for factor, gaps in found.gaps.items():
        named.append((f"difference_by_{_file(factor)}", f"differences by {factor}", gaps.table))
    for factor, ratios in found.odds.items():
        named.append(
            (
                f"odds_ratio_by_{_file(factor)}",
                f"odds ratios averaged over trays, by {factor}",
                same_direction(ratios, found.gaps[factor]),
            )
        )
    if found.looks is not None:
        what = "second looks at the first difference, by other methods"
        named.append(("second_looks", what, found.looks.table))
    if found.missing is not None:
        for how, result in (("failed", found.missing.failed), ("taken", found.missing.taken)):
            what = f"first differences with every missing graft counted as {how}"
            named.append((f"difference_if_missing_{how}", what, result.table))
    named.append(
        ("intra_tray_correlation", "intra-tray correlation", found.model.tray_variation.table)
    )
    named.append(("trays_to_look_at", "trays far from their group", found.odd.table))
    for factor, history in found.history.items():
        named.append(
            (f"history_by_{_file(factor)}", f"raw take per season, {factor}", history.table)
        )
    named.append(("given_together", "what was given together", found.confounded.table))
    named.append(("trays", "trays of the season", found.trays))
    optional = (
        ("not_counted_yet", "trays not counted yet", found.waiting),
        ("problems", "faults and queries", found.records.problems),
        ("set_aside", "rows set aside", found.records.set_aside),
        ("left_out", "lines left out of the comparison", found.model.left_out),
        ("changes", "changes made in reading", found.records.changes),
    )
    named.extend((name, what, table) for name, what, table in optional if not table.empty)
    said = (found.season, found.model.count or "", count_dates(found), found.records.banner)
    return (
        {name: table for name, _, table in named},
        {name: table_note(what, *said) for name, what, _ in named},
    )


def _file(factor: str) -> str:
    return slug(factor).replace("-", "_")
