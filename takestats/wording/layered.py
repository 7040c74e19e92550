"""How a fit of two layers says what it averaged over."""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import count_of, percent

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
