"""How do the tables of an order stand on its page?"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from takestats.order.ordered_rows import TYPED
from takestats.pages.parts import Cells
from takestats.pages.rows import rows_of
from takestats.wording import order_page as words
from takestats.wording.costs import money, money_interval
from takestats.wording.numbers import (
    level_text,
    percent,
    plain,
    trays_words,
    whole,
)
from takestats.wording.order_told import side_words, some

if TYPE_CHECKING:
    from takestats.order.changed import OrderChange
    from takestats.order.order_result import UnderstockOrder

Row = dict[str, Any]


def behind_cells(order: UnderstockOrder) -> Cells:
    """Takes of a new season with what stands behind them."""
    rows = []
    for row in rows_of(order.table):
        typed = row["rests_on"] == TYPED
        rows.append(
            (
                str(row["combination"]),
                str(row["rests_on"]),
                words.lower_limit(row["expected_take"], row["take_low"], typed=typed),
                words.lower_limit(row["kept"], row["kept_low"], typed=bool(row["kept_typed"]))
                if not row["kept_typed"]
                else f"{percent(row['kept'])} (typed)",
                "typed" if typed else whole(row["past_seasons"]),
                "typed" if typed else trays_words(row["past_trays"]).removesuffix(" trays"),
                "typed" if typed else whole(row["past_grafts"]),
            )
        )
    return Cells(
        caption="Take to expect in a new season",
        header=(
            "combination",
            "rests on",
            "take",
            "saleable of those that took",
            "seasons",
            "trays",
            "grafts",
        ),
        rows=tuple(rows),
        numbers=(False, False, True, True, True, True, True),
        after=words.behind_note(order.assurance, order.origin.count, order.origin.count_dates),
    )


def surplus_cells(order: UnderstockOrder) -> Cells:
    """Plants to come beside the plants wanted."""
    typed = order.table["rests_on"] == TYPED
    return Cells(
        caption="Plants to come",
        header=words.surplus_header(order.assurance, typed=bool(typed.all())),
        rows=tuple(
            (
                str(row["combination"]),
                whole(row["wanted"]),
                some(row["low_plants"]),
                some(row["expected_plants"]),
                some(row["high_plants"]),
                some(row["expected_surplus"]),
            )
            for row in rows_of(order.surplus)
        ),
        numbers=(False, True, True, True, True, True),
        after=words.TYPED_SURPLUS if typed.any() and not typed.all() else "",
    )


def limit_cells(order: UnderstockOrder) -> Cells:
    """What there is of wood, understock and days, and what is left of it."""
    assert order.fitted is not None
    table = rows_of(order.fitted.limits)
    shown = [row for row in table if row["kind"] != "days"]
    weeks = [row for row in table if row["kind"] == "days" and row["name"] != words.ANY_WEEK]
    if weeks:
        sums = {name: sum(row[name] for row in weeks) for name in ("most", "used", "left")}
        shown.append({"kind": "days", "name": words.grafts_in(len(weeks)), "wood": "", **sums})
    return Cells(
        caption="Wood, understock and days: what there is, and what the plan uses",
        header=("limit", "of", "there is", "used", "left"),
        rows=tuple(
            (
                str(row["kind"]),
                _named(row),
                whole(row["most"]),
                words.amount(float(row["used"])),
                words.amount(float(row["left"])),
            )
            for row in shown
        ),
        numbers=(False, False, True, True, True),
    )


def _named(row: Row) -> str:
    name = str(row["name"]).removeprefix("week of ")
    return f"{name}, {level_text(row['wood'])}" if row["wood"] else name


def lifted_cells(order: UnderstockOrder) -> Cells:
    """Which limit would have to grow, and what that would bring.

    Where one limit alone brings all, what would do so together is left to the tables.
    """
    assert order.fitted is not None
    rows = rows_of(order.fitted.lifted)
    if any(row["alone"] and row["meets_all"] for row in rows):
        rows = [row for row in rows if row["alone"]]
    return Cells(
        caption="Which limit would have to grow",
        header=("limit", "of", "more of it", "plants it brings", "grown"),
        rows=tuple(
            (
                str(row["kind"]),
                ", ".join(part for part in (_named(row), str(row["weeks"])) if part),
                whole(row["more"]),
                words.gained(row["plants_gained"], all_met=bool(row["meets_all"])),
                words.how_grown(alone=bool(row["alone"]), all_met=bool(row["meets_all"])),
            )
            for row in rows
        ),
        numbers=(False, False, True, True, False),
    )


def week_cells(order: UnderstockOrder) -> Cells:
    """Every graft of every week."""
    return Cells(
        caption="Grafts by week, combination and wood",
        header=("week of", "combination", "wood", "understock", "grafts", "plants to count on"),
        rows=tuple(
            (
                str(row["week"]).removeprefix("week of "),
                str(row["combination"]),
                level_text(row["wood"]),
                str(row["understock"]),
                whole(row["grafts"]),
                some(row["saleable"]),
            )
            for row in rows_of(order.weeks)
        ),
        numbers=(False, False, False, False, True, True),
    )


def seedling_cells(order: UnderstockOrder) -> Cells:
    """From grafts to seedlings, step by step."""
    return Cells(
        caption="From grafts to seedlings",
        header=(
            "understock",
            "grafts",
            "usable share",
            "years grown",
            "loss in each year",
            "seedlings to raise",
        ),
        rows=tuple(
            (
                str(row["understock"]),
                whole(row["grafts"]),
                percent(row["usable_share"]),
                whole(math.nan) if math.isnan(row["years_grown"]) else plain(row["years_grown"]),
                percent(row["loss_a_year"]),
                words.NONE_ENOUGH if math.isinf(row["seedlings"]) else whole(row["seedlings"]),
            )
            for row in rows_of(order.seedlings)
        ),
        numbers=(False, True, True, True, True, True),
        after=words.SEEDLING_RULE,
    )


def piece_cells(order: UnderstockOrder) -> Cells:
    """Scion pieces, and what the second wood costs in plants and in training."""
    return Cells(
        caption="Scion pieces",
        header=(
            "combination",
            "pieces",
            "terminal",
            "sub-terminal",
            "not to be had",
            "fewer or more that take than with all terminal (limits)",
            "training",
        ),
        rows=tuple(
            (
                str(row["combination"]),
                whole(row["pieces"]),
                *(words.amount(row[name]) for name in ("terminal", "sub_terminal", "short")),
                _fewer(row),
                money(row["training"], order.currency) if row["sub_terminal"] else words.NONE,
            )
            for row in rows_of(order.wood)
        ),
        numbers=(False, True, True, True, True, True, True),
    )


def _fewer(row: Row) -> str:
    if row["sub_terminal"] == 0.0:
        return words.NONE
    if math.isnan(row["fewer_plants"]):
        return whole(row["fewer_plants"])
    ends = f"{side_words(row['fewer_low'])} to {side_words(row['fewer_high'])}"
    return f"{side_words(row['fewer_plants'])} ({ends})"


def work_cells(order: UnderstockOrder) -> Cells:
    """Hours, labour and material of each combination and of all, with the limits."""
    return Cells(
        caption=words.cost_caption(order.currency),
        header=("combination", "grafts", "hours", "labour", "material"),
        rows=tuple(
            (
                str(row["combination"]),
                whole(row["grafts"]),
                f"{some(row['hours'])} ({some(row['hours_low'])} to {some(row['hours_high'])})",
                *(_money(row, name) for name in ("labour", "material")),
            )
            for row in rows_of(order.costs)
        ),
        numbers=(False, True, True, True, True),
    )


def cost_cells(order: UnderstockOrder) -> Cells:
    """Money in all and for each plant, with the limits."""
    return Cells(
        caption=words.cost_in_all_caption(order.currency),
        header=("combination", "in all", "each plant"),
        rows=tuple(
            (
                str(row["combination"]),
                *(_money(row, name) for name in ("cost", "cost_per_plant")),
            )
            for row in rows_of(order.costs)
        ),
        numbers=(False, True, True),
    )


def _money(row: Row, name: str) -> str:
    return money_interval(row[name], row[f"{name}_low"], row[f"{name}_high"], "")


def change_cells(change: OrderChange) -> Cells:
    """The earlier order beside this one."""
    return Cells(
        caption="The earlier order, and this one",
        header=("combination", "understocks before", "now", "wanted before", "now wanted"),
        rows=tuple(
            (
                str(row["combination"]),
                *(
                    words.NONE if math.isnan(row[name]) else whole(row[name])
                    for name in ("grafts_before", "grafts", "wanted_before", "wanted")
                ),
            )
            for row in rows_of(change.table)
        ),
        numbers=(False, True, True, True, True),
    )
