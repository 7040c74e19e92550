"""Is this a number, a share, a window or a cost that an order can be made with?"""

from __future__ import annotations

import math
import numbers
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from takestats.errors import CountsError
from takestats.wording import order_limit_refusals as refusals

if TYPE_CHECKING:
    from takestats.order.given_limits import Source


def number_of(value: object) -> float:
    """Give a number back, nan where it is none."""
    if isinstance(value, bool) or not isinstance(value, numbers.Real):
        return math.nan
    return float(value)


def check_whole(where: str, value: object, least: int, most: int, rule: str, next_step: str) -> int:
    """Give a whole number back.

    Raises
    ------
    CountsError
        When it is none, below ``least`` or above ``most``.
    """
    number = number_of(value)
    if not math.isfinite(number) or number != math.floor(number) or not least <= number:
        raise CountsError(where=where, what=f"{value!r}", rule=rule, next_step=next_step)
    if number > most:
        raise CountsError(**refusals.too_many(where, number, most))
    return int(number)


def check_labels(weeks: Sequence[str], grafts: Sequence[int]) -> None:
    """Weeks must be named, once each, and each must have its grafts.

    Raises
    ------
    CountsError
    """
    if not weeks:
        raise CountsError(**refusals.no_weeks())
    if len(weeks) != len(grafts):
        raise CountsError(**refusals.weeks_without_grafts(len(weeks), len(grafts)))
    twice = [week for i, week in enumerate(weeks) if week in weeks[:i]]
    if twice:
        raise CountsError(**refusals.week_twice(twice[0]))


def check_share_of_plants(where: str, share: object) -> None:
    """Plants to count on from one graft are a share.

    Raises
    ------
    CountsError
    """
    number = number_of(share)
    if not 0.0 <= number <= 1.0:
        raise CountsError(**refusals.not_a_share(where, share, number))


def check_costs(where: str, cost: object) -> None:
    """A cost is a number, not below zero.

    Raises
    ------
    CountsError
    """
    number = number_of(cost)
    if not math.isfinite(number) or number < 0.0:
        raise CountsError(**refusals.not_a_cost(where, cost))


def check_week(where: str, first: object, last: object, weeks: int) -> None:
    """A window lies within the weeks and does not end before it starts.

    Raises
    ------
    CountsError
    """
    for value in (first, last):
        number = number_of(value)
        if not 0 <= number < weeks or number != math.floor(number):
            raise CountsError(**refusals.no_such_week(where, value, weeks))
    if number_of(last) < number_of(first):
        raise CountsError(**refusals.window_backwards(where, first, last))


def check_each_can_be_made(names: Iterable[str], sources: Sequence[Source]) -> None:
    """Each combination wanted needs one source that gives plants.

    Raises
    ------
    CountsError
    """
    made = {source.combination for source in sources}
    for name in names:
        if name not in made:
            raise CountsError(**refusals.no_way_to_make(name))
