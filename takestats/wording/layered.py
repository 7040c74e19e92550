"""How a fit of two layers says what it averaged over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takestats.wording.numbers import column_words, count_of, listing, percent

_FEW = 5


def layered_notes(parts: Sequence[tuple[str, float]], units: int, called: str) -> tuple[str, ...]:
    """Say how a fit with a layer above the trays was worked out.

    Parameters
    ----------
    parts : sequence of (family, probability)
    units : int
        How many groups.
    called : str
        What one group is called: block, season, combination.
    """
    weights = ", ".join(f"{name} {percent(share)}" for name, share in parts)
    notes = [
        f"Tray model with a layer of {count_of(units, called)} above the trays, by importance "
        f"sampling with a fixed seed, averaged over two models with weak priors (weights: "
        f"{weights}).",
        f"Population: a new tray of a new {called} like those observed, averaged over the spread "
        f"from {called} to {called} and from tray to tray.",
    ]
    if units < _FEW:
        notes.append(
            f"With {count_of(units, called)} the spread from {called} to {called} rests on an "
            "assumed range."
        )
    return tuple(notes)


def crossed_notes(groups: Mapping[str, int]) -> tuple[str, ...]:
    """Say how a fit with two groupings that cross was worked out.

    Examples
    --------
    >>> crossed_notes({"grafter": 3, "donor": 6})[1]
    'Population: a new tray of a new grafter and a new donor like those observed.'
    """
    counted = listing([count_of(number, column_words(name)) for name, number in groups.items()])
    new = listing([f"a new {column_words(name)}" for name in groups])
    few = [column_words(name) for name, number in groups.items() if number < _FEW]
    notes = [
        f"Tray model with {counted} that cross, logit-normal only, the effects of groups and trays "
        "by Laplace's approximation: the limits are approximate.",
        f"Population: a new tray of {new} like those observed.",
    ]
    notes += [f"The spread from {name} to {name} rests on an assumed range." for name in few]
    return tuple(notes)


def rows_notes(parts: Sequence[tuple[str, float]], *, row_effect: bool) -> tuple[str, ...]:
    """Say how a fit with several rows in one tray was worked out."""
    weights = ", ".join(f"{name} {percent(share)}" for name, share in parts)
    own = (
        "rows of one tray may differ beyond chance"
        if row_effect
        else "grafts were drawn one by one, so rows of one tray differ by chance alone"
    )
    return (
        "Several rows in one tray: what the tray shares is taken out of their difference "
        f"({own}), by importance sampling with a fixed seed, averaged over two models with weak "
        f"priors (weights: {weights}).",
        "Population: a new tray like those observed, averaged over tray-to-tray spread.",
    )


LONE_TRAYS = "no two blocks have two trays or more"
ROWS_FIRST = "rows that share a tray are modelled first, and one layer at a time"


def blank_reason(lines: int) -> str:
    """Say that a layer is not recorded everywhere."""
    return f"it is blank on {count_of(lines, 'line')}"


def unit_words(column: str) -> str:
    """What one level of a layer is called.

    Examples
    --------
    >>> unit_words("graft_date"), unit_words("block")
    ('day', 'block')
    """
    return "day" if column == "graft_date" else column_words(column)


def unused_note(column: str, why: str) -> str:
    """Say that a recorded layer is not in the model.

    Examples
    --------
    >>> unused_note("block", "it was switched off")
    'The recorded block is not a layer of this model: it was switched off. Trays of one block are \
counted as independent.'
    """
    unit = unit_words(column)
    return (
        f"The recorded {unit} is not a layer of this model: {why}. "
        f"Trays of one {unit} are counted as independent."
    )


def whole_units_note(factor: str, counts: Mapping[str, int], column: str) -> str:
    """Say that a treatment was given to whole blocks, and how many.

    Examples
    --------
    >>> whole_units_note("method", {"cleft": 3, "side veneer": 4}, "block")
    'Each block has one level of method, so the block is its unit: 3 blocks of cleft and 4 blocks \
of side veneer.'
    """
    unit = unit_words(column)
    held = listing([f"{count_of(n, unit)} of {level}" for level, n in counts.items()])
    return (
        f"Each {unit} has one level of {column_words(factor)}, so the {unit} is its unit: {held}."
    )


def cannot_tell_note(factor: str, column: str) -> str:
    """Say that so few blocks cannot tell the treatment from the block."""
    unit = unit_words(column)
    return (
        f"With fewer than three {count_of(2, unit).split(' ', 1)[1]} a level, these "
        f"{count_of(2, unit).split(' ', 1)[1]} cannot tell {column_words(factor)} from the {unit}."
    )


def few_levels_note(grouping: str, levels: int) -> str:
    """Say that a grouping became a factor."""
    return (
        f"{column_words(grouping)} has {count_of(levels, 'level')}: taken as a factor, because a "
        "spread between groups needs three."
    )


def unlayered_notes(engine: str, column: str, rows: bool) -> tuple[str, ...]:
    """Say what an engine without layers does not see.

    Examples
    --------
    >>> unlayered_notes("quick", "", False)
    ()
    """
    notes = []
    if column:
        notes.append(unused_note(column, f"engine {engine} has none"))
    if rows and engine in ("quick", "quasi"):
        notes.append(
            "Some trays hold several rows: this engine counts each as a tray of its own, so that "
            "what the rows of a tray share is not taken out of their difference."
        )
    return tuple(notes)
