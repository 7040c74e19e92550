"""How is a share or a number of points read, as a grower types it: `90%`, `0.9`, `10 points`?"""

from __future__ import annotations

import math
import re
from typing import Literal, NamedTuple

from takestats.errors import CountsError
from takestats.wording import plan_refusals as words

Unit = Literal["percent", "points", "bare"]
_UNIT = re.compile(r"(%|per ?cent|points?)$")


class Typed(NamedTuple):
    """A number with the unit that was typed behind it; nan where there is no number."""

    number: float
    unit: Unit


def typed_number(text: object) -> Typed:
    """Read a number and its unit; a decimal comma is read as well.

    Examples
    --------
    >>> typed_number("90 %"), typed_number("10 points").unit, typed_number("0,9").number
    (Typed(number=90.0, unit='percent'), 'points', 0.9)
    """
    said = str(text).strip().lower()
    found = _UNIT.search(said)
    unit: Unit = "bare"
    if found is not None:
        said = said[: found.start()].strip()
        unit = "points" if found.group(1).startswith("point") else "percent"
    try:
        number = float(said.replace(",", "."))
    except ValueError:
        number = math.nan
    return Typed(math.nan if isinstance(text, bool) or not math.isfinite(number) else number, unit)


def read_share(text: str, where: str) -> float:
    """Read a take, a floor or a power; a bare 90 is asked about.

    Parameters
    ----------
    text : str
        `90%`, `0.9` or `0,9`.
    where : str
        What is being read, as an option.

    Raises
    ------
    CountsError
        For anything else.

    Examples
    --------
    >>> read_share("90%", "--floor"), read_share("0.9", "--floor")
    (0.9, 0.9)
    """
    number, unit = typed_number(text)
    share = number / 100.0 if unit == "percent" else number
    if unit != "points" and 0.0 <= share <= 1.0:
        return share
    raise CountsError(
        where=where,
        what=repr(text),
        rule="it is a share between 0 and 1, typed as 90% or as 0.9.",
        next_step=words.share_question(number, bare=unit == "bare"),
    )


def read_points(text: str, where: str) -> float:
    """Read a margin; a bare 10 is asked about.

    Parameters
    ----------
    text : str
        `10 points`, `10%` or `0.1`.
    where : str
        What is being read, as an option.

    Returns
    -------
    float
        A proportion; whether it can be a margin is for the question to say.

    Raises
    ------
    CountsError
        For what is no number, and for a bare number of 1 or more.

    Examples
    --------
    >>> read_points("10 points", "--margin"), read_points("0.1", "--margin")
    (0.1, 0.1)
    """
    number, unit = typed_number(text)
    if math.isnan(number) or (unit == "bare" and number >= 1.0):
        raise CountsError(
            where=where,
            what=repr(text),
            rule="it is a number of points, typed as 10points or as 0.1.",
            next_step=words.margin_question(number),
        )
    return number if unit == "bare" else number / 100.0
