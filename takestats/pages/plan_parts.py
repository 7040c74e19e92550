"""What do the pages of all plans share: the bench sheet, the versions, the shape of a report?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from takestats.pages.again import versions
from takestats.pages.parts import Block, Cells, Points, Section, Words
from takestats.wording import plan_page as words

if TYPE_CHECKING:
    from pandas import DataFrame

_LIBRARIES = ("numpy", "pandas", "scipy", "matplotlib")


@dataclass(frozen=True, eq=False, kw_only=True)
class PlanTold:
    """A plan as its page tells it.

    Parameters
    ----------
    title : str
    answer : tuple of str
        The recommendation first.
    rule : str
        By which the trial will be read.
    aside : str
        Grafts, scions and understocks to set aside.
    cannot : tuple of str
        What the trial cannot show.
    before : tuple of str
        Cautions of a combination not yet tried.
    size : str
        The plan in a few words.
    range_line : str
        What the settings rest on where the plan is a range; blank else.
    pair : bool
        Whether the question is about a new one and a standard.
    numbers : tuple of Section
        The second part of the page.
    method : tuple of str
        How the numbers were made.
    notes : tuple of str
    tables : tuple of (name, what, DataFrame)
    seed : int
    """

    title: str
    answer: tuple[str, ...]
    rule: str
    aside: str
    cannot: tuple[str, ...]
    size: str
    pair: bool
    numbers: tuple[Section, ...]
    method: tuple[str, ...]
    notes: tuple[str, ...]
    tables: tuple[tuple[str, str, DataFrame], ...]
    before: tuple[str, ...] = ()
    range_line: str = ""
    seed: int = field(default=1)


def bench_sections(told: PlanTold, answer: Sequence[str], after: Sequence[str]) -> list[Section]:
    """The plan in sentences, on one sheet."""
    groups: list[tuple[str, str, Block]] = [
        ("plan", "", Points(items=tuple(answer))),
        ("rule", words.GROUP_RULE, Words(text=told.rule)),
        ("set-aside", words.GROUP_ASIDE, Words(text=told.aside)),
        ("cannot", words.GROUP_CANNOT, Points(items=told.cannot)),
    ]
    if told.before:
        groups.append(("before", words.GROUP_BEFORE, Points(items=told.before)))
    groups.append(("then", words.GROUP_NEXT, Points(items=tuple(after))))
    return [section(key, heading, "bench", [block]) for key, heading, block in groups]


def statistician_sections(told: PlanTold, sources: Sequence[tuple[str, str]]) -> list[Section]:
    """How the numbers were made, the notes, and what the page was made with."""
    rows = [
        *versions(_LIBRARIES),
        *((f"past {name}", f"sha256 {digest}") for name, digest in sources),
        ("seed", str(told.seed)),
    ]
    again = Cells(
        caption="Versions and inputs",
        header=("what", "value"),
        rows=tuple(rows),
        numbers=(False, False),
    )
    return [
        section("how", "How the numbers were made", "statistician",
                [Words(text=text) for text in told.method]),
        section("notes", "Notes of the plan", "statistician", [Points(items=told.notes)]),
        section("again", "To make this page again", "statistician", [again]),
    ]  # fmt: skip


def section(
    key: str,
    heading: str,
    part: Literal["bench", "season", "statistician"],
    blocks: Sequence[Block],
) -> Section:
    """A section of a plan's page."""
    return Section(key=key, heading=heading, part=part, blocks=tuple(blocks))
