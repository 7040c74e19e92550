"""What does a plan within limits rest on?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from takestats.wording.numbers import count_of, listing

_SHOWN = 5


def method_notes(
    least: str, *, ranked: bool, several: bool, tray_size: int | None
) -> tuple[str, ...]:
    """Say how the plan was found and what its plants are."""
    return tuple(_method(least, ranked=ranked, several=several, tray_size=tray_size))


def _method(least: str, *, ranked: bool, several: bool, tray_size: int | None) -> Iterator[str]:
    ranks = ", the first priority first" if ranked else ""
    saved = "least cost, then fewest grafts" if least == "cost" else "fewest grafts"
    yield (
        f"Found by whole-number programming: most plants up to the targets{ranks}; with these, "
        f"{saved}; then terminal wood before sub-terminal, then the combination first listed; then "
        "each graft as early as its window allows."
    )
    yield (
        "Plants to count on are grafts times the lower limit that the order was given for each "
        "source; in a usual season there are more."
    )
    if several:
        yield (
            "Most plants in all: a combination that takes less may be left with few or none, "
            "unless it is given priority."
        )
        yield (
            "Each combination has a lower limit of its own: that all of them are met in the same "
            "season is less certain than that any one is."
        )
    if tray_size is None:
        yield "Trays: not recorded, for want of a tray size."
    else:
        yield (
            f"Trays of {count_of(tray_size, 'graft')}, one combination, wood and understock to a "
            "tray, over the whole season; the last of each may be part full."
        )


def together_notes(*, told: bool) -> tuple[str, ...]:
    """Say how near the least is what has to grow together."""
    if not told:
        return ()
    return (
        "What has to grow together is the least in all, pieces, understocks and grafts a week "
        "added up, every graft in its window; it is found to within 2 in 1,000.",
    )


def given_notes(
    open_wood: Sequence[str],
    open_stock: Sequence[str],
    idle_wood: Sequence[str],
    idle_stock: Sequence[str],
) -> tuple[str, ...]:
    """Say which limits were not given, and which belong to nothing that is wanted."""
    notes = []
    if open_wood:
        notes.append(f"Not recorded, taken as enough: {_some(open_wood)}.")
    if open_stock:
        notes.append(f"Not recorded, taken as enough: understock {_some(open_stock)}.")
    idle = [*idle_wood, *(f"understock {name}" for name in idle_stock)]
    if idle:
        notes.append(f"Given, but for nothing that is wanted, so not used: {_some(idle)}.")
    return tuple(notes)


def useless_notes(sources: Sequence[str]) -> tuple[str, ...]:
    """Say which sources give no plant to count on."""
    if not sources:
        return ()
    return (f"Left aside, under 1 plant to count on in 1,000 grafts: {_some(sources)}.",)


def _some(names: Sequence[str]) -> str:
    shown = [*names[:_SHOWN]]
    if len(names) > _SHOWN:
        shown.append(f"{len(names) - _SHOWN} more")
    return listing(shown)
