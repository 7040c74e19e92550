"""Is a plan dear, or as small as a plan can be, and what would buy more power?"""

from __future__ import annotations

from takestats.wording.numbers import count_of, whole
from takestats.wording.planning import of_hundred

_NEARLY_AS_MUCH = 0.6
_EASIER = {
    "tell_apart": "A larger step",
    "no_worse": "A wider margin",
    "above_floor": "A lower floor",
    "estimate": "A wider margin",
}


def _of_each(kind: str, *, within: bool) -> str:
    return "" if within or kind in ("above_floor", "estimate") else " of each"


def more_buys_tail(power: float, size: float, trays: float) -> str:
    """Say whether trays or grafts in a tray buy power, by what either would raise it to.

    Examples
    --------
    >>> more_buys_tail(0.80, 0.83, 0.98)
    'trays buy power, more grafts in a tray soon stop doing so'
    >>> more_buys_tail(0.83, 0.98, 0.99)
    'here more grafts in a tray buy nearly as much as more trays'
    """
    if size - power >= _NEARLY_AS_MUCH * (trays - power):
        return "here more grafts in a tray buy nearly as much as more trays"
    return "trays buy power, more grafts in a tray soon stop doing so"


def trays_buy_sentence(power: float, size: float, trays: float, tray_size: int) -> str:
    """Say what twice the grafts in a tray, and twice the trays, would do."""
    return (
        f"Twice the grafts in each tray ({whole(2 * tray_size)}) would raise the "
        f"{of_hundred(power)} to {of_hundred(size)}; twice the trays, the same number of grafts in "
        f"all, to {of_hundred(trays)}: {more_buys_tail(power, size, trays)}."
    )


def very_many_sentence(kind: str, aim: str, trays: int, grafts: int, *, within: bool) -> str:
    """Say that a question is dear."""
    return (
        f"That is very many: {count_of(trays, 'tray')}{_of_each(kind, within=within)}, "
        f"{whole(grafts)} grafts, are what it takes to {aim}. {_EASIER[kind]} would ask for fewer."
    )


def fewest_sentence(kind: str, trays: int, *, within: bool) -> str:
    """Say that the fewest trays that show tray variation are enough."""
    return (
        f"{count_of(trays, 'tray')}{_of_each(kind, within=within)} are the fewest that show how "
        "trays differ at all; for a step as large as this no more are needed."
    )
