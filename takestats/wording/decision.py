"""How is the planned question answered by the rule that was set beforehand?"""

from __future__ import annotations

from typing import Literal, NamedTuple

from takestats.wording.numbers import (
    count_of,
    level_words,
    percent,
    percent_number,
    points,
    points_range,
    whole,
)
from takestats.wording.said import count_name

Verdict = Literal["yes", "no", "not decided", "not yet"]

OPENINGS: dict[str, str] = {
    "yes": "Yes, by the rule set beforehand",
    "no": "No, by the rule set beforehand",
    "not decided": "Not decided, by the rule set beforehand",
    "not yet": "Not decided yet",
}


class Behind(NamedTuple):
    """What stands behind an answer: trays and grafts of either side, count and its dates."""

    trays: tuple[float, ...]
    grafts: tuple[float, ...]
    counted: str
    dates: str


def behind_words(behind: Behind) -> str:
    """Say what stands behind an answer.

    Examples
    --------
    >>> behind_words(Behind((9, 8), (270, 240), "settled", "16 June 2026"))
    '9 trays against 8, 270 grafts against 240; settled count of 16 June 2026'
    """
    trays = " against ".join([count_of(behind.trays[0], "tray"), *map(whole, behind.trays[1:])])
    grafts = " against ".join([count_of(behind.grafts[0], "graft"), *map(whole, behind.grafts[1:])])
    count = count_name(behind.counted) if behind.counted else "count"
    dates = f"of {behind.dates}" if behind.dates else "with its date not recorded"
    parts = [grafts] if behind.trays[0] != behind.trays[0] else [f"{trays}, {grafts}"]
    return f"{parts[0]}; {count} {dates}"


def asked_line(question: str, answer: str, *, randomised: bool) -> str:
    """Put the question before its answer.

    Examples
    --------
    >>> asked_line("Is veneer better?", "Yes.", randomised=True)
    'Is veneer better? Yes.'
    """
    care = "" if randomised else " This was seen together, not shown to cause."
    return f"{question} {answer}{care}".strip()


def apart_answer(
    verdict: Verdict, new: str, standard: str, gap: tuple[float, float, float], behind: Behind
) -> str:
    """Answer whether two takes differ.

    Examples
    --------
    >>> apart_answer("yes", "veneer", "cleft", (0.09, 0.02, 0.16),
    ...              Behind((9, 8), (270, 240), "settled", ""))[:69]
    'Yes, by the rule set beforehand: veneer took 9 points more than cleft'
    """
    difference, low, high = gap
    limits = f"{level_words(0.95)} {points_range(low, high)}; {behind_words(behind)}"
    opening = OPENINGS[verdict]
    if verdict == "yes":
        return f"{opening}: {new} took {points(difference)} more than {standard} ({limits})."
    if verdict == "no":
        return f"{opening}: {new} took {points(-difference)} less than {standard} ({limits})."
    return (
        f"{opening}: {new} minus {standard} is {points(difference)} ({limits}). That interval "
        "holds 0, which does not show that the two are equal."
    )


def no_worse_answer(
    verdict: Verdict,
    new: str,
    standard: str,
    margin: float,
    gap: tuple[float, float, float],
    behind: Behind,
) -> str:
    """Answer whether the new one is worse by no more than the margin."""
    difference, low, high = gap
    said = {
        "yes": f"less than {points(margin)} worse than {standard}",
        "no": f"more than {points(margin)} worse than {standard}",
        "not decided": f"not shown to be less than {points(margin)} worse than {standard}, nor to "
        "be worse",
    }[verdict]
    return (
        f"{OPENINGS[verdict]}: {new} is {said}; {new} minus {standard} is {points(difference)} "
        f"({level_words(0.95)} {points_range(low, high)}; {behind_words(behind)})."
    )


def floor_answer(
    verdict: Verdict, new: str, floor: float, take: tuple[float, float, float], behind: Behind
) -> str:
    """Answer whether a take lies above the lowest one worth having.

    Examples
    --------
    >>> floor_answer("yes", "all grafts", 0.7, (0.9, 0.8, 0.95),
    ...              Behind((9,), (270,), "settled", "")).split(" (")[0]
    'Yes, by the rule set beforehand: the take of all grafts is 90 %, above the floor of 70 %'
    """
    rate, low, high = take
    side = {"yes": "above", "no": "below", "not decided": "on neither side for certain of"}[verdict]
    return (
        f"{OPENINGS[verdict]}: the take of {new} is {percent(rate)}, {side} the floor of "
        f"{percent(floor)} ({level_words(0.95)} {percent_number(low)} to {percent_number(high)}; "
        f"{behind_words(behind)})."
    )


def width_answer(
    verdict: Verdict, new: str, margin: float, take: tuple[float, float, float], behind: Behind
) -> str:
    """Answer whether a take is known well enough."""
    rate, low, high = take
    known = "known to within" if verdict == "yes" else "not known to within"
    return (
        f"{OPENINGS[verdict]}: the take of {new} is {known} {points(margin)} either way; it is "
        f"{percent(rate)} ({level_words(0.95)} {percent_number(low)} to {percent_number(high)}; "
        f"{behind_words(behind)})."
    )


def stages_answer(new: str, sentence: str, behind: Behind) -> str:
    """Answer a rule in two stages."""
    return f"By the rule of the stages set beforehand, {new}: {sentence} ({behind_words(behind)})"


def early_answer(count: str) -> str:
    """Say that the count that decides is not there.

    Examples
    --------
    >>> early_answer("first")
    'Not decided yet: only a first count is recorded, and the settled count decides.'
    """
    return (
        f"{OPENINGS['not yet']}: only a {count_name(count)} is recorded, and the settled count "
        "decides."
    )


def not_found_answer(names: list[str]) -> str:
    """Say that what was asked about has no counted tray."""
    told = " and ".join(names)
    return f"{OPENINGS['not yet']}: no counted tray of {told} stands in this season's records."


def own_rule_answer(rule: str) -> str:
    """Say that a rule in words of one's own is left to the reader."""
    return (
        f'The rule set beforehand is in words of its own ("{rule.rstrip(".")}"): read it beside '
        "the numbers below."
    )


def not_followed_answer(what: str) -> str:
    """Say that a rule in two stages was not kept to.

    Examples
    --------
    >>> not_followed_answer("144 grafts, the rule has 108")[-40:]
    'Read the take with its interval instead.'
    """
    return (
        f"The rule of the stages was not followed: {what}. Read the take with its interval instead."
    )
