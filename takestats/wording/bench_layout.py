"""What does a bench layout say of itself when it is read aloud?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from takestats.wording.numbers import column_words, count_of, listing


@dataclass(frozen=True, kw_only=True)
class LayoutFacts:
    """The numbers of a layout; ``per_block`` is the trays of each treatment in a block."""

    trays: int
    treatments: int
    trays_each: int
    blocks: int
    per_block: int
    split: bool
    tray_size: int | None
    factors: Sequence[str]
    in_halves: Sequence[str]
    seed: int
    seed_was_made: bool
    fingerprint: str


def factors_words(factors: Sequence[str]) -> str:
    """Say what was given by lot.

    Examples
    --------
    >>> factors_words(["method", "scion_wood"])
    'method and scion wood'
    """
    return listing([column_words(name) for name in factors])


def layout_lines(facts: LayoutFacts) -> tuple[str, ...]:
    """Say how many trays stand where, and whether they are balanced."""
    each = (
        f"each in half of {count_of(facts.trays_each, 'tray')}, {facts.per_block} in each block"
        if facts.split
        else f"{count_of(facts.trays_each, 'tray')} of each, {facts.per_block} in each block"
    )
    lines = [
        f"{count_of(facts.trays, 'tray')} in {count_of(facts.blocks, 'block')}: "
        f"{count_of(facts.treatments, 'treatment')}, {each}."
    ]
    balance = "Balanced: every treatment stands equally often in each block"
    if facts.split:
        lines.append(
            f"{balance}, and each tray holds two treatments, half and half; which half gets which "
            "was drawn by lot."
        )
    else:
        lines.append(f"{balance}; which tray of the block gets which was drawn by lot.")
    if facts.tray_size is None:
        lines.append("How many grafts a tray holds is not recorded.")
    else:
        size = facts.tray_size // 2 if facts.split else facts.tray_size
        grafts = facts.trays * facts.tray_size
        a = "half a tray" if facts.split else "a tray"
        lines.append(f"{count_of(size, 'graft')} in {a}, {count_of(grafts, 'graft')} in all.")
    if facts.blocks == 1:
        lines.append(
            "One block: nothing evens out a warm end, a long day or a change of hands, except the "
            "lot."
        )
    if facts.per_block * facts.blocks < 3:
        lines.append(
            f"{count_of(facts.trays_each, 'tray')} of each is few: how much trays differ can "
            "hardly be told from them."
        )
    made = "was made, since none was given" if facts.seed_was_made else "was given"
    lines.append(f"Seed {facts.seed} {made}; it draws the same layout again.")
    return tuple(lines)


def layout_notes(facts: LayoutFacts) -> tuple[str, ...]:
    """Say how the lot was drawn and what the layout is known by."""
    whole = [name for name in facts.factors if name not in facts.in_halves]
    given = [f"{factors_words(whole)} to whole trays"] if whole else []
    if facts.in_halves:
        given.append(f"{factors_words(facts.in_halves)} to halves of trays")
    return (
        f"Given by lot: {listing(given)}.",
        "Every order of the trays of a block was equally likely; each block was drawn by itself.",
        f"Fingerprint {facts.fingerprint}: of each tray, its block and its treatment.",
        "The lot says nothing of places that were changed after it; keep trays where they were "
        "laid out, or write down where they went.",
    )
