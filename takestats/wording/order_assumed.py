"""What does an order take for granted, and what can no record tell?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import count_of, few_names


def assumed_lines(
    *,
    records: bool,
    typed: Sequence[str],
    others: Sequence[str],
    culled: bool,
    work: bool,
    costs: str,
    one_season: Sequence[str],
) -> tuple[str, ...]:
    """What the order takes for granted, one line each."""
    lines = []
    if records:
        lines.append(
            "Next season is one more season of the kind on record: the same plants, hands, house "
            "and care. How far seasons may lie apart was assumed beforehand and then held against "
            "the records (the notes say how)."
        )
    if one_season:
        lines.append(
            f"One season only on record: {few_names(one_season)}. How much it may differ from "
            "the next is taken from the other combinations or, where these are too few, assumed."
        )
    if typed:
        lines.append(f"Takes were typed, not recorded: {few_names(typed)}.")
    if others:
        lines.append(f"Taken to resemble others of its relation: {few_names(others)}.")
    if culled:
        lines.append("The share that is culled was typed, the same in every season.")
    if work:
        lines.append(
            "The numbers under [work] (usable share, years, losses, pieces, understocks to be had, "
            "grafts a day) are marked as assumed, not taken from the nursery's books."
        )
    else:
        lines.append("The numbers under [work] are taken as they were written.")
    if costs == "all":
        lines.append("The costs are marked as assumed, not taken from the nursery's books.")
    elif costs == "some":
        lines.append("Some of the costs are marked as assumed.")
    return tuple(lines)


def cannot_lines(*, seasons: int, several: bool, typed: bool) -> tuple[str, ...]:
    """What no record tells, one line each."""
    lines = []
    if seasons:
        lines.append(
            "Whether a year is bad for every combination at once: the records have "
            f"{count_of(seasons, 'season')}, and each is one draw only."
        )
    if several:
        lines.append(
            "How often every target is met in the same season: each has a chance of its own, and "
            "all together are met less often."
        )
    if typed:
        lines.append("How often typed takes hold: no chance goes with them.")
    lines.append(
        "A poor year for seedlings, and whether wood and understock are fit to graft when the day "
        "comes: what is to be had is taken as written."
    )
    lines.append("What dies after the last count: a take is not a lasting union.")
    return tuple(lines)
