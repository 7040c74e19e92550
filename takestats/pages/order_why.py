"""What does an order rest on? The second and third part of its page."""

from __future__ import annotations

import math
from functools import partial
from typing import TYPE_CHECKING

from takestats.charts.plants_to_come import plants_chart
from takestats.order.ordered_rows import OTHERS, TYPED
from takestats.pages.again import versions
from takestats.pages.order_cells import (
    behind_cells,
    change_cells,
    cost_cells,
    lifted_cells,
    limit_cells,
    piece_cells,
    seedling_cells,
    surplus_cells,
    week_cells,
    work_cells,
)
from takestats.pages.order_form import has_weeks, lines_of
from takestats.pages.parts import Block, Cells, Picture, Points, Section, Words
from takestats.pages.records_part import problem_blocks
from takestats.pages.rows import rows_of
from takestats.wording import order_page as words
from takestats.wording.order_assumed import assumed_lines, cannot_lines
from takestats.wording.order_chart import Plants
from takestats.wording.order_told import difference_sentence, money_sentences
from takestats.wording.sections import chart_marker

if TYPE_CHECKING:
    from collections.abc import Sequence

    from takestats.order.changed import OrderChange
    from takestats.order.order_result import UnderstockOrder

_LIBRARIES = ("numpy", "pandas", "scipy", "matplotlib", "jinja2")
CHART = "plants-to-come"
_MOST_DRAWN = 20


def why_sections(order: UnderstockOrder, change: OrderChange | None) -> list[Section]:
    """What the numbers rest on, what is assumed and what cannot be known."""
    typed, others = lines_of(order, [TYPED]), lines_of(order, [OTHERS])
    table = rows_of(order.table)
    recorded = len(typed) < len(table)
    made: list[tuple[str, str, list[Block]]] = []
    if change is not None:
        said = (*change.sentences[1:], *change.notes)
        made.append(("since", words.SINCE, [Points(items=said), change_cells(change)]))
    made.append(("behind", words.BEHIND, [behind_cells(order)]))
    drawn: list[Block] = [_picture(order), surplus_cells(order)]
    if len(table) > _MOST_DRAWN:
        drawn.insert(1, Words(text=words.first_drawn(_MOST_DRAWN, len(table))))
    made.append(("surplus", words.SURPLUS, drawn))
    made += _limits(order)
    made.append(("seedlings", words.SEEDLINGS, [seedling_cells(order)]))
    pieces: list[Block] = [piece_cells(order)]
    if order.wood_difference is not None:
        pieces.append(Words(text=difference_sentence(vars(order.wood_difference))))
    made.append(("pieces", words.PIECES, pieces))
    made.append(("money", words.MONEY, _money(order)))
    if order.window_words:
        made.append(("dates", words.DATES, [Points(items=order.window_words)]))
    assumed = assumed_lines(
        records=recorded,
        typed=typed,
        others=others,
        culled=any(row["kept_typed"] for row in table),
        work=order.origin.work_assumed,
        costs=order.costs_assumed,
        one_season=[str(row["combination"]) for row in table if row["past_seasons"] == 1],
    )
    most = max((row["past_seasons"] for row in table if row["past_seasons"] > 0), default=0)
    cannot = cannot_lines(seasons=int(most), several=len(table) > 1, typed=bool(typed))
    made.append(("assumed", words.ASSUMED, [Points(items=assumed)]))
    made.append(("cannot", words.CANNOT, [Points(items=cannot)]))
    left_out = problem_blocks(order.origin.set_aside.iloc[0:0], order.origin.set_aside)
    if left_out:
        made.append(("left-out", words.LEFT_OUT, left_out))
    return [
        Section(key=key, heading=heading, part="season", blocks=tuple(blocks))
        for key, heading, blocks in made
    ]


def _picture(order: UnderstockOrder) -> Picture:
    plants = [
        Plants(
            name=str(row["combination"]),
            wanted=float(row["wanted"]),
            low=float(row["low_plants"]),
            expected=float(row["expected_plants"]),
            high=float(row["high_plants"]),
            kind=str(row["plants"]),
        )
        for row in rows_of(order.table)
    ][:_MOST_DRAWN]
    typed = len(lines_of(order, [TYPED]))
    return Picture(
        draw=partial(
            plants_chart,
            plants,
            name=CHART,
            assurance=order.assurance,
            typed=typed > 0,
            recorded=typed < len(order.table),
            marker=chart_marker(order.origin.invented, order.banner),
        )
    )


def _limits(order: UnderstockOrder) -> list[tuple[str, str, list[Block]]]:
    fitted = order.fitted
    if fitted is None:
        return []
    blocks: list[Block] = [limit_cells(order)]
    if not fitted.lifted.empty:
        blocks.append(lifted_cells(order))
    made: list[tuple[str, str, list[Block]]] = [("short", words.SHORT, blocks)]
    if has_weeks(order):
        made.append(("weeks", words.WEEKS, [week_cells(order)]))
    return made


def _money(order: UnderstockOrder) -> list[Block]:
    if order.costs.empty:
        return [Words(text=words.NO_COSTS)]
    rows = rows_of(order.costs)
    unpriced = math.isnan(rows[-1]["cost"])
    said = money_sentences(
        rows, order.currency, order.costs_assumed, ("hour",) if unpriced else (), order.assurance
    )
    return [Points(items=said), work_cells(order), cost_cells(order)]


def statistician_sections(
    order: UnderstockOrder, command: Sequence[tuple[str, str]]
) -> list[Section]:
    """Notes, and what is needed to make the page again."""
    origin = order.origin
    rows = [
        *command,
        *((f"input {name}", f"sha256 {digest}") for name, digest in origin.sources),
    ]
    if origin.settings_file:
        rows.append((f"settings {origin.settings_file}", f"sha256 {origin.settings_sha256}"))
    rows += [
        ("assurance", words.exact(order.assurance)),
        *versions(_LIBRARIES),
    ]
    again = Cells(
        caption="Versions and inputs",
        header=("what", "value"),
        rows=tuple(rows),
        numbers=(False, False),
    )
    return [
        Section(
            key="notes",
            heading=words.NOTES,
            part="statistician",
            blocks=(Points(items=order.notes),),
        ),
        Section(key="again", heading=words.AGAIN, part="statistician", blocks=(again,)),
    ]
