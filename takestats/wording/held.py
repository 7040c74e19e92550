"""Does a difference hold across species, seasons or other strata? One sentence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from takestats.wording.numbers import (
    count_of,
    level_text,
    level_words,
    listing,
    points,
    points_number,
)
from takestats.wording.said import factor_words, opened

HOLDS = "holds in all"
DIFFERS = "differs"
CANNOT_TELL = "cannot tell"
#: A smaller difference is said to be none: a twentieth of a point.
_SEEN = 0.0005
_STRATA = {"season": ("season", "seasons"), "scion_species": ("species", "species")}


class Inside(NamedTuple):
    """A minus B inside one stratum (proportions)."""

    stratum: str
    difference: float
    low: float
    high: float


def strata_words(within: str, number: int) -> str:
    """Count the strata.

    Examples
    --------
    >>> strata_words("scion_species", 3), strata_words("caliper_class", 2)
    ('3 species', '2 levels of caliper class')
    """
    if within in _STRATA:
        return count_of(number, *_STRATA[within])
    return f"{count_of(number, 'level')} of {factor_words(within)}"


def strata_name(within: str) -> str:
    """Head a column of strata.

    Examples
    --------
    >>> strata_name("scion_species"), strata_name("caliper_class")
    ('species', 'caliper class')
    """
    return _STRATA.get(within, (factor_words(within),))[0]


def _in_all(within: str, number: int) -> str:
    return f"all {strata_words(within, number)}".replace("all 2 ", "both ")


def verdict_of(inside: Sequence[Inside], adjusted: Sequence[float], rare: float) -> str:
    """Say in a word whether a difference holds.

    Parameters
    ----------
    inside : sequence of Inside
    adjusted : sequence of float
        Adjusted tail area of every two strata.
    rare : float
        Below it two strata part by more than chance.

    Examples
    --------
    >>> verdict_of([Inside("x", .1, .02, .2), Inside("y", .2, .1, .3)], [0.2], 0.05)
    'holds in all'
    >>> verdict_of([Inside("x", .1, -.02, .2), Inside("y", .4, .3, .5)], [0.01], 0.05)
    'differs'
    >>> verdict_of([Inside("x", .1, -.02, .2), Inside("y", .2, .1, .3)], [0.2], 0.05)
    'cannot tell'
    """
    if all(row.low > 0.0 for row in inside) or all(row.high < 0.0 for row in inside):
        return HOLDS
    return DIFFERS if min(adjusted, default=1.0) < rare else CANNOT_TELL


def held_sentence(
    verdict: str,
    pair: tuple[str, str],
    within: str,
    inside: Sequence[Inside],
    contrasts: Sequence[Mapping[str, Any]],
    level: float,
) -> str:
    """Say whether a difference holds, with the largest difference of two differences.

    Parameters
    ----------
    verdict : str
        From :func:`verdict_of`.
    pair : two str
        A and B.
    within : str
        The column of the strata.
    inside : sequence of Inside
    contrasts : sequence of mappings
        first, second, more, wide_low, wide_high, p_adjusted; may be empty.
    level : float
    """
    ahead = sum(row.difference > _SEEN for row in inside)
    behind = sum(row.difference < -_SEEN for row in inside)
    mean = sum(row.difference for row in inside)
    turned = ahead < behind or (ahead == behind and mean < 0.0)
    upper, lower = (level_text(name) for name in (reversed(pair) if turned else pair))
    strata = strata_words(within, len(inside))
    if len(inside) < 2:
        only = level_text(inside[0].stratum)
        return (
            f"Only {only} has trays of both {upper} and {lower}: whether the difference holds "
            "elsewhere, these trays cannot tell."
        )
    sizes = sorted(-row.difference if turned else row.difference for row in inside)
    part = _largest(contrasts, turned, level)
    if verdict == HOLDS:
        apart = (
            f"but not by the same: {part}"
            if _clear(contrasts)
            else f"and how much more does not clearly differ ({part})"
        )
        return (
            f"{opened(upper)} took better than {lower} in {_in_all(within, len(inside))}, by "
            f"{points_number(sizes[0])} to {points(sizes[-1])}, each clear of zero; {apart}."
        )
    if verdict == DIFFERS:
        return f"{opened(upper)} against {lower} differs across {strata}: {part}."
    most = max(ahead, behind)
    clear = sum(row.low > 0.0 or row.high < 0.0 for row in inside)
    side = f"in all {most}".replace("all 2", "both")
    if most < len(inside):
        side = f"in {most} of {len(inside)}"
    seen = f"{upper} was ahead {side}" if most else "neither was ahead anywhere"
    return (
        f"{opened(upper)} against {lower}: these trays cannot tell whether the difference holds "
        f"across {strata} ({seen}, clear of zero in {clear}; {part})."
    )


def held_note(by: str, within: str, level: float) -> str:
    """Say how two differences were held against each other."""
    return (
        f"{opened(factor_words(by))} inside each level of {factor_words(within)}, from one model "
        "with their interaction; the difference of two differences from the same draws, its tail "
        "area adjusted over all pairs of strata (Holm), its limits in the sentence likewise "
        f"(Bonferroni, {level_words(level)} over all). In points a difference shrinks where takes "
        "near 100 %; the ratio of odds ratios need not."
    )


def empty_cells_line(cells: Sequence[tuple[str, str]], by: str, within: str) -> str | None:
    """Name the cells without trays.

    Examples
    --------
    >>> empty_cells_line([("cleft", "Carpinus betulus")], "method", "scion_species")
    'No counted tray of cleft in Carpinus betulus: method cannot be compared there.'
    """
    if not cells:
        return None
    shown = [f"{level_text(a)} in {level_text(b)}" for a, b in cells[:6]]
    if len(cells) > len(shown):
        shown.append(f"{len(cells) - len(shown)} more")
    return f"No counted tray of {listing(shown)}: {factor_words(by)} cannot be compared there."


def left_strata_line(levels: Sequence[str], strata: Sequence[str]) -> str:
    """Say inside which strata the levels are compared.

    Examples
    --------
    >>> left_strata_line(["cleft", "side veneer"], ["Hamamelis mollis"])
    'Cleft and side veneer are compared inside Hamamelis mollis.'
    """
    return (
        f"{opened(listing([level_text(x) for x in levels]))} are compared inside "
        f"{listing([level_text(x) for x in strata])}."
    )


def nested_line(columns: Sequence[str], within: str) -> str | None:
    """Say which columns stand wholly inside the strata, so that they are not held apart.

    Examples
    --------
    >>> nested_line(["combination"], "scion_species")
    'Each combination stands in one species alone: every species is averaged over its own mix of \
combination.'
    """
    if not columns:
        return None
    names = listing([factor_words(name) for name in columns])
    stratum = strata_name(within)
    return (
        f"Each {names} stands in one {stratum} alone: every {stratum} is averaged over its own mix "
        f"of {names}."
    )


def _clear(contrasts: Sequence[Mapping[str, Any]]) -> bool:
    row = _furthest(contrasts)
    return bool(row["wide_low"] > 0.0 or row["wide_high"] < 0.0)


def _furthest(contrasts: Sequence[Mapping[str, Any]]) -> Mapping[str, Any]:
    return min(contrasts, key=lambda row: (row["p_value"], -abs(row["more"])))


def _largest(contrasts: Sequence[Mapping[str, Any]], turned: bool, level: float) -> str:
    """The two strata that part most clearly, with limits that allow for all pairs."""
    row = _furthest(contrasts)
    sign = -1.0 if turned else 1.0
    more, low, high = (sign * row[name] for name in ("more", "wide_low", "wide_high"))
    low, high = min(low, high), max(low, high)
    first, second = level_text(row["first"]), level_text(row["second"])
    if more < 0.0:
        more, low, high, first, second = -more, -high, -low, second, first
    looks = f", allowing for {len(contrasts)} pairs" if len(contrasts) > 1 else ""
    limits = (
        f"{points_number(low)} to {points(high)} more"
        if low > 0.0
        else f"{points(-low)} less to {points(high)} more"
    )
    return f"{points(more)} more in {first} than in {second}, {level_words(level)} {limits}{looks}"
