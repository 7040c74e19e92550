"""What does every JSON answer of a command hold?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.pages.json_text import NO_LOWER as NO_LOWER
from takestats.pages.json_text import NO_UPPER as NO_UPPER
from takestats.pages.json_text import json_text as json_text
from takestats.pages.json_text import plain as plain

if TYPE_CHECKING:
    from takestats.records.result import Records


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
