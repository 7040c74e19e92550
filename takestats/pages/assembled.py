"""What stands on a page, part after part?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from takestats.pages.bench_part import bench_groups, bench_sections
from takestats.pages.page_tables import page_tables
from takestats.pages.parts import SeasonReport
from takestats.pages.season_part import season_sections
from takestats.pages.statistician_part import result_notes, statistician_sections
from takestats.wording.sections import chart_marker

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered
    from takestats.pages.topic import Topic


def assembled(
    found: Gathered,
    page_name: str,
    title: str,
    topics: Mapping[str, Topic] | None = None,
    *,
    command: Sequence[str] = (),
) -> SeasonReport:
    """The bench sheet, the season in detail, the statistician's part, and the tables.

    Parameters
    ----------
    found : Gathered
    page_name, title : str
    topics : dict of str to Topic, optional
    command : sequence of str
        What was asked for at the command line, without files and settings.
    """
    records = found.records
    topics = topics or {}
    tables, table_notes = page_tables(found, topics)
    groups = bench_groups(found, topics)
    further = (note for topic in topics.values() for note in topic.notes)
    return SeasonReport(
        page_name=page_name,
        title=title,
        banner=records.banner,
        sentences=tuple(line for _, lines in groups for line in lines),
        sections=(
            *bench_sections(found, groups),
            *season_sections(found, chart_marker(records.invented, records.banner), topics),
            *statistician_sections(found, topics, command),
        ),
        tables=tables,
        table_notes=table_notes,
        notes=tuple(dict.fromkeys((*result_notes(found), *further))),
    )
