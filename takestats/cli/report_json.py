"""What does a page hand on to another program?"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from takestats._version import __version__
from takestats.cli.as_json import records_parts

if TYPE_CHECKING:
    from takestats.pages.parts import SeasonReport
    from takestats.records.result import Records

SHAPE = 1
"""Of the object; raised when a key is taken away or told differently, not when one is added."""


def report_parts(
    records: Records, report: SeasonReport, paths: Sequence[Path]
) -> dict[str, object]:
    """Everything of a page in plain parts, always under the same keys.

    Parameters
    ----------
    records : Records
    report : SeasonReport
    paths : sequence of Path
        The files written.

    Returns
    -------
    dict
        ``shape`` and ``takestats`` (version), the parts of the records, ``title``,
        ``sentences``, ``sections`` (part, key, heading, words), ``report_notes``, ``tables``
        with ``table_notes``, ``charts`` (name, title, sentence, key, spoken, files) and
        ``written``. A table without rows is an empty list.
    """
    return {
        "shape": SHAPE,
        "takestats": __version__,
        **records_parts(records),
        "title": report.title,
        "sentences": list(report.sentences),
        "sections": [
            {
                "part": section.part,
                "key": section.key,
                "heading": section.heading,
                "words": list(section.words),
            }
            for section in report.sections
        ],
        "report_notes": list(report.notes),
        "table_notes": report.table_notes,
        "tables": report.tables,
        "charts": [
            {
                "name": picture.chart.name,
                "title": picture.chart.title,
                "sentence": picture.chart.sentence,
                "key": picture.chart.key,
                "spoken": picture.chart.spoken,
                "files": [path for path in paths if path.stem == picture.chart.name],
            }
            for picture in report.pictures
        ],
        "written": list(paths),
    }
