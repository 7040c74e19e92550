"""How is a number said aloud?

Tables keep full precision; only this room rounds. A take below 100 % is never
shown as 100 %, one above 0 % never as 0 %.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

NOT_RECORDED = "not recorded"
NO_UPPER_BOUND = "no upper bound"
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_NEAR_THE_END = 0.01
_SMALL_COUNT = 10
_HANDFUL = 5


def percent_number(share: float) -> str:
    """Say a share as a percent without its sign: whole, one decimal near 0 and 100.

    Examples
    --------
    >>> percent_number(0.912), percent_number(0.9962), percent_number(0.99999)
    ('91', '99.6', 'over 99.9')
    """
    if math.isnan(share):
        return NOT_RECORDED
    if share <= 0.0 or share >= 1.0:
        return f"{100.0 * share:.0f}"
    if share < 0.001:
        return "under 0.1"
    if share > 0.999:
        return "over 99.9"
    if share < _NEAR_THE_END or share > 1.0 - _NEAR_THE_END:
        return f"{100.0 * share:.1f}"
    return f"{100.0 * share:.0f}"


def percent(share: float) -> str:
    """Say a share as a percent.

    Examples
    --------
    >>> percent(0.912)
    '91 %'
    """
    said = percent_number(share)
    return said if said == NOT_RECORDED else f"{said} %"


def percent_range(low: float, high: float) -> str:
    """Say two limits as percents.

    Examples
    --------
    >>> percent_range(0.87, 0.94)
    '87 to 94 %'
    """
    return f"{percent_number(low)} to {percent_number(high)} %"


def percent_interval(share: float, low: float, high: float, level: float = 0.95) -> str:
    """Say a take with its interval.

    Examples
    --------
    >>> percent_interval(0.91, 0.87, 0.94)
    '91 % (95 % confidence interval 87 to 94)'
    """
    limits = f"{percent_number(low)} to {percent_number(high)}"
    return f"{percent(share)} ({level_words(level)} {limits})"


def level_words(level: float = 0.95) -> str:
    """Name the interval.

    Examples
    --------
    >>> level_words(0.9)
    '90 % confidence interval'
    """
    return f"{100.0 * level:g} % confidence interval"


def points_number(difference: float) -> str:
    """Say a difference of shares in points, whole; one decimal under one point.

    Examples
    --------
    >>> points_number(0.042), points_number(-0.004), points_number(0.0)
    ('4', '-0.4', '0')
    """
    if math.isnan(difference):
        return NOT_RECORDED
    value = 100.0 * difference
    if value == 0.0:
        return "0"
    if abs(value) < 0.05:
        return "under 0.1" if value > 0 else "over -0.1"
    if abs(value) < 1.0:
        text = f"{value:.1f}"
        return text[:-2] if text.endswith(".0") else text
    return f"{value:.0f}"


def points(difference: float) -> str:
    """Say a difference in points.

    Examples
    --------
    >>> points(0.042), points(0.01)
    ('4 points', '1 point')
    """
    said = points_number(difference)
    return f"{said} point" if said in ("1", "-1") else f"{said} points"


def points_range(low: float, high: float) -> str:
    """Say two limits in points.

    Examples
    --------
    >>> points_range(-0.02, 0.11)
    '-2 to 11 points'
    """
    return f"{points_number(low)} to {points_number(high)} points"


def points_interval(difference: float, low: float, high: float, level: float = 0.95) -> str:
    """Say a difference with its interval.

    Examples
    --------
    >>> points_interval(0.05, -0.02, 0.11)
    '5 points (95 % confidence interval -2 to 11)'
    """
    limits = f"{points_number(low)} to {points_number(high)}"
    return f"{points(difference)} ({level_words(level)} {limits})"


def odds(ratio: float) -> str:
    """Say an odds ratio.

    Examples
    --------
    >>> odds(2.345), odds(float("inf")), odds(0.0123)
    ('2.3', 'no upper bound', '0.012')
    """
    if math.isinf(ratio):
        return NO_UPPER_BOUND
    if math.isnan(ratio):
        return NOT_RECORDED
    return f"{ratio:.2g}" if ratio < 100.0 else f"{ratio:.0f}"


def small(value: float) -> str:
    """Say a correlation or another number of about 0 to 1.

    Examples
    --------
    >>> small(0.0712), small(0.00012)
    ('0.071', 'under 0.001')
    """
    if math.isnan(value):
        return NOT_RECORDED
    if 0.0 < value < 0.001:
        return "under 0.001"
    return f"{value:.3f}"


def chance(p_value: float) -> str:
    """Say a tail area.

    Examples
    --------
    >>> chance(0.0312), chance(0.00002)
    ('0.031', 'under 0.001')
    """
    return "under 0.001" if p_value < 0.001 else f"{p_value:.3f}"


def whole(value: float) -> str:
    """Say a count.

    Examples
    --------
    >>> whole(1234.0), whole(float("nan"))
    ('1,234', 'not recorded')
    """
    return NOT_RECORDED if math.isnan(value) else f"{value:,.0f}"


def plain(value: float) -> str:
    """Say a number as it was typed, without a useless point.

    Examples
    --------
    >>> plain(12.0), plain(9.525)
    ('12', '9.525')
    """
    return f"{value:g}"


def count_of(number: float, thing: str, things: str | None = None) -> str:
    """Say how many of a thing.

    Examples
    --------
    >>> count_of(1, "tray"), count_of(3, "tray"), count_of(2, "batch", "batches")
    ('1 tray', '3 trays', '2 batches')
    """
    plural = things if things is not None else f"{thing}s"
    return f"{whole(number)} {thing if number == 1 else plural}"


def trays_words(trays: float) -> str:
    """Say how many trays, or that they were not recorded.

    Examples
    --------
    >>> trays_words(3), trays_words(float("nan"))
    ('3 trays', 'trays not recorded')
    """
    return "trays not recorded" if math.isnan(trays) else count_of(trays, "tray")


def listing(words: Sequence[str], last: str = "and") -> str:
    """Say a list.

    Examples
    --------
    >>> listing(["a", "b", "c"]), listing(["a", "b"], "or"), listing(["a"])
    ('a, b and c', 'a or b', 'a')
    """
    items = [str(word) for word in words]
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def few_names(names: Sequence[str], thing: str = "combination") -> str:
    """Say a list of names; more than a handful are counted.

    Examples
    --------
    >>> few_names(["A on B", "C on D"]), few_names(["A on B"] * 9)
    ('A on B and C on D', '9 combinations')
    """
    return listing(names) if len(names) <= _HANDFUL else count_of(len(names), thing)


def date_words(iso: str) -> str:
    """Say an ISO date, month precision allowed.

    Examples
    --------
    >>> date_words("2026-06-15"), date_words("2026-06"), date_words("")
    ('15 June 2026', 'June 2026', 'not recorded')
    """
    parts = iso.split("T")[0].split(" ")[0].split("-") if iso else []
    if len(parts) < 2 or not all(part.isdigit() for part in parts):
        return iso or NOT_RECORDED
    month = MONTHS[int(parts[1]) - 1]
    if len(parts) == 2:
        return f"{month} {parts[0]}"
    return f"{int(parts[2])} {month} {parts[0]}"


def column_words(name: str) -> str:
    """Say a column's name.

    Examples
    --------
    >>> column_words("scion_wood"), column_words("understock_caliper_mm")
    ('scion wood', 'understock caliper (mm)')
    """
    words = name.replace("_", " ")
    return f"{words[:-3]} (mm)" if words.endswith(" mm") else words


def level_text(value: object) -> str:
    """Say a level of a factor.

    Examples
    --------
    >>> level_text("sub_terminal")
    'sub-terminal'
    """
    return str(value).replace("sub_terminal", "sub-terminal")
