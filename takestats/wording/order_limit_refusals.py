"""Why can these targets, sources or limits not be used, and what would do?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import count_of, listing, plain, whole

Refused = dict[str, str]

_WHOLE = "a whole number, 0 or more"


def refused(where: str, what: str, rule: str, next_step: str) -> Refused:
    """Name the four parts of an error."""
    return {"where": where, "what": what, "rule": rule, "next_step": next_step}


def plants_wanted() -> tuple[str, str]:
    """Rule and next step for a target."""
    return "A target is a whole number of plants, 1 or more.", "Write it like 200, or take it out."


def grafts_in_week() -> tuple[str, str]:
    """Rule and next step for the grafts of a week."""
    return f"The grafts that a week can hold are {_WHOLE}.", "Write it like 500; 0 for a week off."


def pieces_at_hand() -> tuple[str, str]:
    """Rule and next step for scion pieces."""
    return f"Scion pieces at hand are {_WHOLE}.", "Count the sticks again, or leave it out."


def understocks_at_hand() -> tuple[str, str]:
    """Rule and next step for understocks."""
    return f"Understocks at hand are {_WHOLE}.", "Count them again, or leave it out."


def tray_of() -> tuple[str, str]:
    """Rule and next step for the size of a tray."""
    return (
        "A tray holds a whole number of grafts, 1 or more.",
        "Give the grafts in one tray, as tray_size=24, or leave it out.",
    )


def priority_words() -> tuple[str, str]:
    """Rule and next step for a priority."""
    return "A priority is a whole number: 1 is served first.", "Write 1 for what must not be short."


def too_many(where: str, number: float, most: int) -> Refused:
    """Say that a number is beyond any nursery."""
    return refused(
        where,
        whole(number),
        f"More than {whole(most)} is taken for a slip of the pen.",
        "Check the number; several nurseries are planned one by one.",
    )


def nothing_wanted() -> Refused:
    """Say that there are no targets."""
    return refused(
        "wanted",
        "no plants of any combination",
        "What can be made is held against what is wanted.",
        "Give the plants wanted, as {\"Acer rubrum 'Ember' on Acer rubrum\": 200}.",
    )


def not_wanted(where: str, name: str, names: Sequence[str]) -> Refused:
    """Say that a source makes something that is not wanted."""
    return refused(
        where,
        f"no plants of {name} are wanted",
        "Every source makes one of the combinations that are wanted.",
        f"Wanted are: {listing(names)}. Take the source out, or give its target.",
    )


def priority_of_nothing(name: str, names: Sequence[str]) -> Refused:
    """Say that a priority is given to something that is not wanted."""
    return refused(
        "priorities",
        f"no plants of {name} are wanted",
        "A priority belongs to a combination that is wanted.",
        f"Wanted are: {listing(names)}.",
    )


def source_twice(where: str) -> Refused:
    """Say that a source stands twice."""
    return refused(
        where,
        "stands twice",
        "A combination, a wood and an understock make one source.",
        "Keep the one that is right and take the other out.",
    )


def not_a_share(where: str, share: object, number: float) -> Refused:
    """Say that plants to count on are no share."""
    ask = "Write a proportion, as 0.7."
    if 1.0 < number <= 100.0:
        ask = f"Did you mean {plain(number)} %? Then write {plain(number / 100.0)}."
    return refused(
        where,
        f"saleable_per_graft {share!r}",
        "Plants to count on from one graft are a proportion between 0 and 1.",
        ask,
    )


def not_a_cost(where: str, cost: object) -> Refused:
    """Say that a cost is none."""
    return refused(
        where,
        f"cost_per_graft {cost!r}",
        "A cost is a number of money, not below 0.",
        "Give the money for one graft, or leave it out.",
    )


def no_weeks() -> Refused:
    """Say that there are no weeks."""
    return refused(
        "weeks",
        "no week",
        "Grafting needs at least one week.",
        "Give the window of grafting with its weeks.",
    )


def weeks_without_grafts(weeks: int, grafts: int) -> Refused:
    """Say that weeks and their grafts do not match."""
    return refused(
        "weeks, grafts_a_week",
        f"{count_of(weeks, 'week')}, grafts for {count_of(grafts, 'week')}",
        "Every week has the grafts it can hold.",
        "Give one number for each week.",
    )


def week_twice(week: str) -> Refused:
    """Say that a week stands twice."""
    return refused(
        "weeks", f"{week} stands twice", "Every week has its own name.", "Name the other one."
    )


def no_graft_at_all() -> Refused:
    """Say that no week holds a graft."""
    return refused(
        "grafts_a_week",
        "0 in every week",
        "Without a grafting day nothing can be made.",
        "Give the grafts that can be made in a week, as 500.",
    )


def no_such_week(where: str, week: object, weeks: int) -> Refused:
    """Say that a window lies outside the weeks."""
    return refused(
        where,
        f"week {week!r} of its window",
        f"A window is given by places among the weeks: 0 is the first, {weeks - 1} the last.",
        "Give first_week and last_week within these.",
    )


def window_backwards(where: str, first: object, last: object) -> Refused:
    """Say that the window of a source ends before it starts."""
    return refused(
        where,
        f"first_week {first!r}, last_week {last!r}",
        "A window does not end before it starts.",
        "Turn the two round.",
    )


def no_way_to_make(name: str) -> Refused:
    """Say that no number of grafts is enough."""
    return refused(
        f"wanted, {name}",
        "no source gives a plant that can be counted on",
        "With no take to count on, no number of grafts is enough.",
        "Take it out, or make a small trial of it first: ask how many trays show a take above "
        "the lowest worth having.",
    )


def least_of_what(least: object) -> Refused:
    """Say what can be saved."""
    return refused(
        "least",
        f"{least!r}",
        "Among plans with equally many plants either grafts or cost is saved.",
        'Write least="grafts" or least="cost".',
    )
