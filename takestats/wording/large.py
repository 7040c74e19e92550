"""What is said of a large file whose rows were gathered before they were read?"""

from __future__ import annotations

from takestats.wording.numbers import whole


def gathered_note(label: str, grafts: int, lines: int) -> str:
    """What the table of rows holds in place of the rows."""
    return (
        f"{label}: {whole(grafts)} rows of single grafts were gathered to {whole(lines)} lines of "
        "trays; the table of rows holds these lines, not the grafts."
    )
