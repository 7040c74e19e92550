"""How do faults, rows set aside and changes made in reading stand on a page?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takestats.pages.cells import text_cells
from takestats.pages.parts import Block, Points, Section, Words
from takestats.wording.sections import NOTHING_CHANGED

if TYPE_CHECKING:
    from pandas import DataFrame

_PROBLEM_COLUMNS = ("kind", "file", "sheet", "row", "column", "value", "rule", "next_step")


def problem_blocks(problems: DataFrame, set_aside: DataFrame) -> list[Block]:
    """Faults and queries, then the rows that were left out; none when there are none."""
    blocks: list[Block] = []
    if not problems.empty:
        blocks.append(
            text_cells(problems, _PROBLEM_COLUMNS, caption="Faults and queries", where="problems")
        )
    if not set_aside.empty:
        kept = [str(name) for name in set_aside.columns]
        first = [name for name in ("file", "row", "tray", "reason") if name in kept]
        blocks.append(
            text_cells(set_aside, first or kept[:6], caption="Rows set aside", where="set_aside")
        )
    return blocks


def changes_section(changes: DataFrame, notes: Sequence[str]) -> Section:
    """What was read as something else than typed, each kind once, and the notes."""
    blocks: list[Block] = []
    if notes:
        blocks.append(Points(items=tuple(notes)))
    if changes.empty:
        blocks.append(Words(text=NOTHING_CHANGED))
    else:
        blocks.append(
            text_cells(
                changes.groupby(["column", "typed", "became", "why"], sort=True, dropna=False)
                .size()
                .rename("rows")
                .reset_index(),
                ("column", "typed", "became", "why", "rows"),
                caption="As typed, and as read",
                where="changes",
            )
        )
    return Section(
        key="changes", heading="Changes made in reading", part="season", blocks=tuple(blocks)
    )
