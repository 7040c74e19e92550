"""What is handed to the seedling grower and the buyer? One sheet of an order."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from takestats.pages.parts import Block, Cells, Points, Section, Words
from takestats.pages.rows import rows_of
from takestats.wording import order_page as words
from takestats.wording.numbers import level_text, plain, whole
from takestats.wording.order_fit import ANY_WEEK
from takestats.wording.order_told import days_sentence

if TYPE_CHECKING:
    from takestats.order.changed import OrderChange
    from takestats.order.order_result import UnderstockOrder

Row = dict[str, Any]


def form_sections(order: UnderstockOrder, change: OrderChange | None) -> list[Section]:
    """The order as it is handed on, in order."""
    head = [order.sentences[0]]
    if change is not None:
        head.append(change.sentences[0])
    made: list[tuple[str, str, list[Block]]] = [
        ("order", "", [Points(items=(*head, *fit_words(order)))]),
        ("understock", "", [understock_cells(order)]),
        ("wood", "", [wood_cells(order)]),
        ("grafts", "", [grafts_cells(order)]),
        ("days", "", _bench(order)),
    ]
    lacking = not_recorded(order)
    if lacking:
        made.append(("lacking", words.NOT_THERE, [Words(text=words.missing_words(lacking))]))
    made.append(("sign", "", [Words(text=words.SIGN)]))
    return [
        Section(key=key, heading=heading, part="bench", blocks=tuple(blocks))
        for key, heading, blocks in made
    ]


def fit_words(order: UnderstockOrder) -> tuple[str, ...]:
    """Whether it fits what there is, and what is short."""
    fitted = order.fitted
    if fitted is None:
        return order.sentences[1:2]
    if not fitted.met or fitted.stopped:
        return fitted.sentences
    if has_weeks(order):
        return (words.fits_line(int(fitted.table["week"].nunique())),)
    return fitted.sentences


def has_weeks(order: UnderstockOrder) -> bool:
    """Whether the plan knows weeks."""
    return order.fitted is not None and ANY_WEEK not in set(order.weeks["week"])


def understock_cells(order: UnderstockOrder) -> Cells:
    """Understock by class, with the seedlings to raise for it."""
    rows = []
    seedlings = rows_of(order.seedlings)
    classes = rows_of(order.understocks)
    for whole_row in seedlings:
        stock = str(whole_row["understock"])
        own = [row for row in classes if row["understock"] == stock and row["caliper_class"]]
        had = whole_row["to_be_had"]
        rows.append(
            (
                stock,
                whole(whole_row["grafts"]),
                _raised(whole_row["seedlings"]),
                whole(had),
                _short(float(whole_row["grafts"]) - had),
            )
        )
        for row in own:
            union = f" ({row['union']} union)" if row["union"] else ""
            rows.append(
                (
                    f"{stock}, {row['caliper_class']}{union}",
                    whole(row["understocks"]),
                    "",
                    "" if math.isnan(row["to_be_had"]) else whole(row["to_be_had"]),
                    "" if math.isnan(row["short"]) else _short(row["short"]),
                )
            )
    return Cells(
        caption="Understock to line up: number of plants",
        header=("understock", "understocks to graft", "seedlings to raise", "to be had", "short"),
        rows=tuple(rows),
        numbers=(False, True, True, True, True),
        after=words.raising_line(seedlings),
    )


def wood_cells(order: UnderstockOrder) -> Cells:
    """Scion wood by scion."""
    by_scion: dict[str, list[Row]] = {}
    for row in rows_of(order.wood):
        by_scion.setdefault(str(row["scion"]), []).append(row)
    rows = []
    for scion, own in by_scion.items():
        parts = {
            name: sum(float(row[name]) for row in own)
            for name in ("pieces", "terminal", "sub_terminal", "short", "sticks")
        }
        each = own[0]["pieces_a_stick"]
        sticks = whole(parts["sticks"])
        if not math.isnan(parts["sticks"]):
            sticks += f" of {plain(each)} pieces"
        rows.append(
            (
                scion,
                whole(parts["pieces"]),
                *(words.amount(parts[name]) for name in ("terminal", "sub_terminal", "short")),
                sticks,
            )
        )
    return Cells(
        caption="Scion wood to cut or buy: number of pieces",
        header=("scion", "pieces", "terminal", "sub-terminal", "not to be had", "sticks"),
        rows=tuple(rows),
        numbers=(False, True, True, True, True, True),
    )


def grafts_cells(order: UnderstockOrder) -> Cells:
    """What each combination gets, and how surely it is met."""
    fitted = None if order.fitted is None else rows_of(order.fitted.combinations)
    rows = []
    for index, row in enumerate(rows_of(order.table)):
        kind = "" if row["plants"] == "saleable" else " that take"
        cells = [
            str(row["combination"]),
            f"{whole(row['wanted'])}{kind}",
            whole(row["grafts"]),
            whole(row["trays"]),
            words.met(row["chance_met"], row["take_low"]),
        ]
        if fitted is not None:
            plan = fitted[index]
            cells += [whole(plan["grafts"]), _short(plan["short"])]
        rows.append(tuple(cells))
    beside = () if fitted is None else ("can be made", "plants short")
    return Cells(
        caption="Plants, grafts and trays: one understock for each graft",
        header=("combination", "plants wanted", "grafts", "trays", "chance met", *beside),
        rows=tuple(rows),
        numbers=(False, *(True,) * (4 + len(beside))),
    )


def _bench(order: UnderstockOrder) -> list[Block]:
    planned = has_weeks(order)
    day = rows_of(order.days)[0]
    blocks: list[Block] = [Words(text=days_sentence(day, window=not planned))]
    if not planned:
        return [*blocks, Words(text=words.NO_WEEKS)] if order.fitted is not None else blocks
    scions = [str(scion) for scion in order.table["scion"]]
    names = {
        str(row["combination"]): str(row["scion"])
        if scions.count(str(row["scion"])) == 1
        else str(row["combination"])
        for row in rows_of(order.table)
    }
    weeks: dict[str, list[Row]] = {}
    for row in rows_of(order.weeks):
        weeks.setdefault(str(row["week"]), []).append(row)
    rows = tuple(
        (
            week.removeprefix("week of "),
            whole(sum(row["grafts"] for row in own)),
            words.week_words(_by_plant(own, names)),
        )
        for week, own in weeks.items()
    )
    return [
        *blocks,
        Cells(
            caption="Grafts of each week, as early as the window allows",
            header=("week of", "grafts", "of which"),
            rows=rows,
            numbers=(False, True, False),
        ),
    ]


def _by_plant(own: Sequence[Row], names: Mapping[str, str]) -> dict[str, list[tuple[float, str]]]:
    found: dict[str, list[tuple[float, str]]] = {}
    for row in own:
        woods = found.setdefault(names[str(row["combination"])], [])
        woods.append((float(row["grafts"]), _wood(str(row["wood"]))))
    return found


def not_recorded(order: UnderstockOrder) -> list[str]:
    """What is not recorded that the sheet would show."""
    lacking = []
    if order.seedlings["usable_share"].isna().any():
        lacking.append("the usable share of seedlings")
    if (order.understocks["caliper_class"] == "").any():
        lacking.append(words.CLASSES)
    if order.wood["pieces_a_stick"].isna().any():
        lacking.append("pieces a stick")
    if order.wood["terminal"].isna().any():
        lacking.append("terminal pieces to be had")
    if order.seedlings["to_be_had"].isna().any():
        lacking.append("understocks to be had")
    if order.days["days"].isna().any():
        lacking.append("grafts a day")
    if order.costs.empty:
        lacking.append("costs")
    return lacking


def _wood(wood: str) -> str:
    return "" if wood == "not recorded" else level_text(wood)


def _raised(seedlings: float) -> str:
    return words.NONE_ENOUGH if math.isinf(seedlings) else whole(seedlings)


def _short(number: float) -> str:
    if math.isnan(number):
        return whole(number)
    return words.amount(float(math.ceil(max(0.0, number) - 1e-4)))


def lines_of(order: UnderstockOrder, kinds: Sequence[str]) -> list[str]:
    """Combinations that rest on one of these kinds of past."""
    return [str(r["combination"]) for r in rows_of(order.table) if r["rests_on"] in kinds]
