"""Which tables go beside a page as CSV, and what does each hold?"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from takestats.pages.rows import same_direction, slug
from takestats.pages.statistician_part import contrasts_name
from takestats.wording.said import dates_words
from takestats.wording.sections import table_note

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.pages.gathered import Gathered
    from takestats.pages.topic import Topic


def page_tables(
    found: Gathered, topics: Mapping[str, Topic]
) -> tuple[dict[str, DataFrame], dict[str, str]]:
    """Every number of the page at full precision, with a note for each table.

    Parameters
    ----------
    found : Gathered
    topics : dict of str to Topic

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
    named += _layers(found)
    named.append(
        ("intra_tray_correlation", "intra-tray correlation", found.model.tray_variation.table)
    )
    named.append(("trays_to_look_at", "trays far from their group", found.odd.table))
    for factor, history in found.history.items():
        named.append(
            (f"history_by_{_file(factor)}", f"raw take per season, {factor}", history.table)
        )
    if found.before is not None:
        named.append(("history_of_all_grafts", "raw take per season", found.before.table))
    named += [table for topic in topics.values() for table in topic.tables]
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
    count, banner = found.model.count or "", found.records.banner
    here = (found.season, count, dates_words(found.whole.count_dates), banner)
    every = (_seasons(found), count, dates_words(_dates(found)), banner)
    return (
        {name: table for name, _, table in named},
        {
            name: table_note(what, *(every if _of_all_seasons(name) else here))
            for name, what, _ in named
        },
    )


_EVERY_SEASON = ("history", "next_season", "stages", "first_against", "later_failures")


def _of_all_seasons(name: str) -> bool:
    return name.startswith(_EVERY_SEASON) or name.endswith("within_season")


def _seasons(found: Gathered) -> str:
    """The seasons that are recorded, first and last."""
    known = sorted(found.records.trays["season"].dropna().astype(str).unique())
    return " to ".join(dict.fromkeys((known[0], known[-1]))) if known else ""


def _dates(found: Gathered) -> list[str]:
    """First and last date of the count in all seasons."""
    dates = sorted(str(date)[:10] for date in found.records.trays["count_date"].dropna())
    return [dates[0], dates[-1]] if dates else []


def _layers(found: Gathered) -> list[tuple[str, str, DataFrame]]:
    """Strata, groups, seasons and the layer of the model."""
    named: list[tuple[str, str, DataFrame]] = []
    story = found.story
    for held in (found.held, None if story is None else story.held):
        if held is not None:
            what = f"{_file(held.by)}_within_{_file(held.within)}"
            said = f"{held.by} inside each {held.within}"
            named.append((f"difference_by_{what}", f"differences by {said}", held.table))
            name = contrasts_name(held.by, held.within)
            named.append((name, f"differences of two differences by {said}", held.contrasts))
    if found.shrunk is not None:
        what = "take by combination, shrunk to the mean of all and unshrunk"
        named.append(("take_by_combination_shrunk", what, found.shrunk.table))
        new = "take of a combination not yet tried"
        named.append(("take_of_a_new_combination", new, found.shrunk.new_group))
    if story is not None:
        named.append(("next_season", "expected take of the next season", story.overall.table))
        if story.by_combination is not None:
            what = "expected take of the next season by combination"
            named.append(("next_season_by_combination", what, story.by_combination.table))
    if found.layer is not None:
        spread = "spread of the layer beside the trays, log odds"
        named.append(("layer_spread", spread, found.layer.spread))
        if not found.layer.table.empty:
            what = f"{found.layer.column} and trays behind each level"
            named.append(("layer_units", what, found.layer.table))
    return named


def _file(factor: str) -> str:
    return slug(factor).replace("-", "_")
