"""What stands on the page of an order beside its numbers?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    count_of,
    date_words,
    listing,
    percent,
    plain,
    whole,
)
from takestats.wording.order_chart import rest_words
from takestats.wording.order_fit import ANY_WEEK as ANY_WEEK
from takestats.wording.order_told import chance_words

PARTS = (
    ("bench", "The order"),
    ("season", "Why these numbers"),
    ("statistician", "For the statistician"),
)
TITLE = "Order for next season: understock and scion wood"
NOT_THERE = "Not recorded, so not on this sheet"
SINCE = "Since the earlier order"
BEHIND = "The takes behind it"
SURPLUS = "What to expect beyond the plants wanted"
SHORT = "What there is, and what is short"
WEEKS = "Week by week"
SEEDLINGS = "From grafts to seedlings"
PIECES = "Scion pieces of each combination"
MONEY = "Work and money"
DATES = "When the take was best"
ASSUMED = "What is assumed"
CANNOT = "What cannot be known"
LEFT_OUT = "Rows set aside"
NOTES = "Notes of the order"
AGAIN = "To make this page again"
SIGN = "Ordered by ____________________ on ____________________"
NO_COSTS = "Costs are not recorded: write what each step costs under [costs] in the settings."
NO_WEEKS = "No plan by weeks: the window, grafts a day or grafting days a week are not recorded."
CLASSES = "caliper classes"
NONE = "none"
NONE_ENOUGH = "none is enough"


def title(name: str) -> str:
    """The heading of the page.

    Examples
    --------
    >>> title("Quern Hollow")
    'Order for next season: understock and scion wood. Quern Hollow'
    """
    return f"{TITLE}. {name}" if name else TITLE


def fits_line(weeks: int) -> str:
    """Say that the order fits what there is."""
    return (
        f"It fits the wood, understock and days that were given: done in {count_of(weeks, 'week')}."
    )


def amount(number: float) -> str:
    """A number in a cell, a blank for none.

    Examples
    --------
    >>> amount(1234.0), amount(0.0), amount(float("nan"))
    ('1,234', 'none', 'not recorded')
    """
    return NONE if number == 0.0 else whole(number)


def met(chance: float, poor: float) -> str:
    """Say how surely a combination is met.

    Examples
    --------
    >>> met(0.905, 0.78), met(float("nan"), 0.6)
    ('90 %', 'at a take of 60 %')
    """
    if math.isnan(chance):
        return f"at a take of {percent(poor)}"
    return percent(chance)


def lower_limit(share: float, low: float, *, typed: bool) -> str:
    """Say a share of the season to come with its lower limit.

    Examples
    --------
    >>> lower_limit(0.83, 0.78, typed=False), lower_limit(0.7, 0.6, typed=True)
    ('83 % (78 % or more)', '70 % (poor: 60 %)')
    >>> lower_limit(float("nan"), float("nan"), typed=False)
    'not recorded'
    """
    if math.isnan(share):
        return "not recorded"
    if typed:
        return f"{percent(share)} (poor: {percent(low)})"
    return f"{percent(share)} ({percent(low)} or more)"


def behind_note(assurance: float, count: str, dates: Sequence[str]) -> str:
    """Say what the takes are, below their table."""
    if not count:
        return "Takes were typed and so assumed; no trays, grafts or count stand behind them."
    days = [date_words(day) for day in dates]
    when = "Count date not recorded"
    if days:
        when = f"Counted {days[0]}" if len(days) == 1 else f"Counted from {days[0]} to {days[-1]}"
    return (
        f"Take of a new season at the {count} count, out of grafts made less those missing; in "
        f"brackets what is reached in {chance_words(assurance)}. {when}."
    )


def surplus_header(assurance: float, *, typed: bool) -> tuple[str, ...]:
    """Columns of the surplus; of typed takes alone when all were typed."""
    if typed:
        seasons = (f"at the {kind} take" for kind in ("poor", "usual", "good"))
        return ("combination", "plants wanted", *seasons, "to spare at the usual take")
    return (
        "combination",
        "plants wanted",
        f"reached in {chance_words(assurance)}",
        "expected",
        f"passed in {rest_words(assurance)}",
        "expected to spare",
    )


def raising_line(rows: Sequence[Mapping[str, Any]]) -> str:
    """Say what the seedlings to raise rest on; understocks that are grown alike together.

    Examples
    --------
    >>> nan = float("nan")
    >>> raising_line([
    ...     {"understock": "A", "usable_share": 0.8, "years_grown": 2, "loss_a_year": 0.06},
    ...     {"understock": "B", "usable_share": 0.7, "years_grown": 2, "loss_a_year": 0.06},
    ...     {"understock": "C", "usable_share": 0.9, "years_grown": nan, "loss_a_year": nan},
    ... ])
    ... # doctest: +NORMALIZE_WHITESPACE
    'Seedlings fit to graft: 80 % of A and 70 % of B, after 2 years with 6 % lost in each; 90 % of
    C, losses while they grow not recorded.'
    """
    grown: dict[str, list[str]] = {}
    for row in rows:
        if math.isnan(row["usable_share"]):
            continue
        years, loss = row["years_grown"], row["loss_a_year"]
        how = "losses while they grow not recorded"
        if not math.isnan(years) and not math.isnan(loss):
            unit = "year" if years == 1 else "years"
            how = f"after {plain(years)} {unit} with {percent(loss)} lost in each"
        grown.setdefault(how, []).append(f"{percent(row['usable_share'])} of {row['understock']}")
    said = [f"{listing(shares)}, {how}" for how, shares in grown.items()]
    return f"Seedlings fit to graft: {'; '.join(said)}." if said else ""


SEEDLING_RULE = (
    "Grafts, divided by the usable share and by what the yearly losses leave, rounded up for each "
    "combination. These shares have no interval."
)


def how_grown(*, alone: bool, all_met: bool) -> str:
    """Say whether a limit grows by itself.

    Examples
    --------
    >>> how_grown(alone=True, all_met=True), how_grown(alone=False, all_met=True)
    ('by itself: all is met', 'together: all is met')
    """
    how = "by itself" if alone else "together"
    return f"{how}: all is met" if all_met else how


def grafts_in(weeks: int) -> str:
    """Name what the weeks of a window can hold.

    Examples
    --------
    >>> grafts_in(12)
    'grafts in 12 weeks'
    """
    return f"grafts in {count_of(weeks, 'week')}"


def first_drawn(number: int, every: int) -> str:
    """Say that only some combinations are drawn."""
    return f"The first {whole(number)} of {whole(every)} combinations are drawn; the table has all."


def gained(plants: float, *, all_met: bool) -> str:
    """Say plants that a limit brings: whole ones, and all that were short where it brings all.

    Examples
    --------
    >>> gained(62.3, all_met=False), gained(62.3, all_met=True)
    ('62', '63')
    """
    return whole(math.ceil(plants - 1e-4) if all_met else math.floor(plants + 1e-4))


def cost_caption(currency: str) -> str:
    """Caption of the money."""
    return f"Work and material, money in {currency}" if currency else "Work and material"


def cost_in_all_caption(currency: str) -> str:
    """Caption of the money in all."""
    return f"Money in all and for each plant, {currency}" if currency else "Money in all"


def exact(share: float) -> str:
    """A share as it was asked for.

    Examples
    --------
    >>> exact(0.9), exact(0.925)
    ('90 %', '92.5 %')
    """
    return f"{100.0 * share:g} %"


TYPED_SURPLUS = "Where takes were typed: plants at the poor, the usual and the good take."


def missing_words(names: Sequence[str]) -> str:
    """Say what would make the sheet whole."""
    where = "Costs belong under [costs] in the settings, the rest under [work]."
    if CLASSES in names:
        where = (
            "Caliper classes belong in the records, costs under [costs] in the settings, the rest "
            "under [work]."
        )
    said = listing(list(names))
    return f"{said[0].upper()}{said[1:]}. {where}"


def week_words(parts: Mapping[str, Sequence[tuple[float, str]]]) -> str:
    """Say what is grafted in a week: plant by plant, grafts of each wood.

    Examples
    --------
    >>> week_words({"A": [(182, "terminal"), (12, "sub-terminal")], "B": [(5, "")]})
    '194 A (182 terminal, 12 sub-terminal); 5 B'
    >>> week_words({"A": [(182, "terminal")]})
    '182 A (terminal)'
    """
    said = []
    for name, woods in parts.items():
        total = whole(sum(number for number, _ in woods))
        if len(woods) > 1:
            of = ", ".join(f"{whole(number)} {wood}" for number, wood in woods)
            said.append(f"{total} {name} ({of})")
        else:
            said.append(f"{total} {name}{f' ({woods[0][1]})' if woods[0][1] else ''}")
    return "; ".join(said)


def table_note(what: str, banner: str) -> str:
    """Say what a table holds, for the line above its header."""
    return f"{banner} takestats: {what}; ordered, not observed; shares from 0 to 1.".strip()
