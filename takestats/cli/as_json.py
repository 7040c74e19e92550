"""What does every JSON answer of a command hold?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.pages.json_text import NO_LOWER as NO_LOWER
from takestats.pages.json_text import NO_UPPER as NO_UPPER
from takestats.pages.json_text import json_text as json_text
from takestats.pages.json_text import plain as plain

if TYPE_CHECKING:
    from takestats.models.result import TableResult
    from takestats.records.result import Records


def result_parts(result: TableResult) -> dict[str, object]:
    """Give a result's table, notes and sentences to JSON."""
    return {
        "table": result.table,
        "notes": list(result.notes),
        "in_words": result.in_words(),
    }


def records_parts(records: Records) -> dict[str, object]:
    """Say what every JSON answer says first: where the numbers come from."""
    return {
        "banner": records.banner,
        "invented": records.invented,
        "sources": [{"file": name, "sha256": digest} for name, digest in records.sources],
        "count": records.count,
        "notes": list(records.notes),
        "problems": records.problems,
        "set_aside": records.set_aside,
    }
