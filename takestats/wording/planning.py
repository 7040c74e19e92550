"""What does a plan say: how many trays, by what rule, and what it cannot show?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from takestats.wording.numbers import (
    count_of,
    level_words,
    listing,
    percent,
    plain,
    points,
    points_number,
    whole,
)

MANY_TRAYS, MANY_GRAFTS = 40, 1500

LAST_SEASON_NOTE = (
    "One trial speaks of its own season, lots and hands: it cannot show what another season brings."
)
HALF_AND_HALF_NOTE = (
    "Simulated trays are drawn half from the beta-binomial and half from the logit-normal model."
)
BASIS_NOTES = {
    "normal": "A textbook formula (normal approximation, every graft by itself, times the design "
    "effect of trays): not judged with the interval that the report shows.",
    "arcsine": "A textbook formula (arcsine scale, every graft by itself, times the design effect "
    "of trays): not judged with the interval that the report shows.",
    "exact": "Exact counts, every graft by itself and no trays: not judged with the interval that "
    "the report shows.",
}


def of_hundred(share: float) -> str:
    """Say a share of trials.

    Examples
    --------
    >>> of_hundred(0.814), of_hundred(0.9996), of_hundred(0.031)
    ('81 of 100', 'over 99 of 100', '3.1 of 100')
    """
    number = 100.0 * share
    if 99.0 < number < 100.0:
        return "over 99 of 100"
    if 0.0 < number < 0.1:
        return "under 0.1 of 100"
    if number < 10.0 and share > 0.0:
        return f"{number:.1f} of 100"
    return f"{math.floor(number + 1e-9):d} of 100"


def icc_words(icc: float) -> str:
    """Say an intra-tray correlation.

    Examples
    --------
    >>> icc_words(0.05), icc_words(0.0)
    ('0.05', '0')
    """
    return plain(float(f"{icc:.3f}"))


def lots(kind: str, arms: int) -> str:
    """Say which trays are counted: of the one take, or of each of so many."""
    return "" if kind in ("estimate", "above_floor") else f" for each of {arms} methods"


def aim_words(kind: str, take_a: float, take_b: float, margin: float) -> str:
    """Say what a trial is to do."""
    if kind == "tell_apart":
        return f"tell {percent(take_a)} from {percent(take_b)}"
    if kind == "no_worse":
        return (
            f"show that a take of {percent(take_b)} is less than {points(margin)} below a standard "
            f"of {percent(take_a)}"
        )
    if kind == "above_floor":
        return f"show that a take of {percent(take_b)} lies above {percent(take_a)}"
    return f"know a take of about {percent(take_b)} to within {points(margin)} either way"


def rule_words(
    kind: str, take_a: float, margin: float, level: float, arms: int, *, within: bool
) -> str:
    """Say by which rule the trial will be read."""
    interval = level_words(level)
    if kind == "tell_apart":
        rule = (
            f"The two differ if the {interval} of the difference lies wholly on one side of 0; "
            "else the trial has not told them apart, which does not show that they are equal."
        )
        if arms > 2:
            rule += (
                f" Each of {count_of(arms - 1, 'method')} is held against one standard; the limits "
                "allow for so many looks (first step of Holm's rule)."
            )
    elif kind == "no_worse":
        rule = (
            f"No worse if the lower limit of the {interval} of new minus standard lies above "
            f"-{points_number(margin)} points; worse if its upper limit lies below; else undecided."
        )
    elif kind == "above_floor":
        rule = (
            f"Above the floor if the lower limit of the {interval} of the take lies above "
            f"{percent(take_a)}; below it if the upper limit does; else undecided."
        )
    else:
        rule = (
            f"The take is known well enough if its {interval} reaches no further than "
            f"{points(margin)} either way (half its width)."
        )
    where = (
        " Both methods stand in every tray, drawn by lot within it."
        if within
        else ""
        if kind in ("above_floor", "estimate")
        else " Trays are drawn by lot."
    )
    return f"{rule}{where} The settled count decides, counted once."


def size_words(kind: str, trays: int, tray_size: int, grafts: int, arms: int, within: bool) -> str:
    """Say how large a trial is."""
    if tray_size == 1:
        return f"{count_of(trays, 'graft')}{lots(kind, arms)}"
    size = f"{count_of(trays, 'tray')} of {count_of(tray_size, 'graft')}"
    if within:
        return f"{size}, both methods in each, {whole(grafts)} grafts in all"
    each = lots(kind, arms)
    total = f", {whole(grafts)} grafts in all"
    return f"{size}{each}{total}"


def plan_sentence(
    size: str, aim: str, power: float, icc: float, *, reached: bool, wanted: float, one_icc: bool
) -> str:
    """Say the plan."""
    worst = f"if trays differ as much as an intra-tray correlation of {icc_words(icc)}"
    if not one_icc:
        worst += " (the worst looked at)"
    if icc <= 0.0:
        worst = "if trays do not differ beyond chance"
    if math.isnan(power):
        return f"Plan {size}: by the formula that many {aim}."
    if reached:
        return f"Plan {size}: that many {aim} in {of_hundred(power)} such trials, {worst}."
    return (
        f"With {size} you would {aim} in only {of_hundred(power)} such trials, {worst}; "
        f"{of_hundred(wanted)} were asked for."
    )


def range_sentence(rows: Sequence[tuple[float, int, float, bool]], cap: bool) -> str:
    """Say how the trays hang on how much trays differ.

    Parameters
    ----------
    rows : sequence of (icc, trays, power, reached)
    cap : bool
        Whether the grafts were limited.
    """
    if len(rows) < 2:
        return ""
    ordered = sorted(rows)
    enough = [row for row in ordered if row[3]]
    if not enough and cap:
        low, high = min(r[2] for r in ordered), max(r[2] for r in ordered)
        return (
            f"Over intra-tray correlations of {icc_words(ordered[0][0])} to "
            f"{icc_words(ordered[-1][0])} that is {of_hundred(low)} to {of_hundred(high)}."
        )
    parts = [f"{count_of(row[1], 'tray')} at {icc_words(row[0])}" for row in enough]
    return (
        "How many depends on how much trays differ, which nobody knows beforehand: "
        f"{listing(parts)}."
    )


def false_positive_sentence(kind: str, rates: Sequence[float]) -> str:
    """Say how often such a trial finds what is not there."""
    known = [rate for rate in rates if not math.isnan(rate)]
    if not known:
        return ""
    what = {
        "tell_apart": "If the two were equal, such a trial would still call them different in",
        "no_worse": "If the new one were worse by the whole margin, such a trial would still call "
        "it no worse in",
        "above_floor": "If the take were just at the floor, such a trial would still call it above "
        "in",
    }[kind]
    low, high = min(known), max(known)
    if of_hundred(low) == of_hundred(high):
        return f"{what} {of_hundred(high)}."
    return f"{what} {of_hundred(low).removesuffix(' of 100')} to {of_hundred(high)}."


def too_sure_sentence(kind: str, rates: Sequence[float], level: float) -> str:
    """Say it when a trial finds what is not there clearly more often than its level promises."""
    promised = (1.0 - level) * (1.0 if kind == "tell_apart" else 0.5)
    known = [rate for rate in rates if not math.isnan(rate)]
    if not known or max(known) <= 1.3 * promised + 0.005:
        return ""
    return (
        f"That is more than the {of_hundred(promised)} that the level promises: few and very "
        "uneven trays do not show how uneven they are. More trays than planned here mend it."
    )


def unequal_note(low: float, high: float, powers: tuple[float, float], trays: int) -> str:
    """Say what uneven trays of one method only would do."""
    one, two = sorted(powers)
    return (
        f"If one method's trays are more uneven than the other's (correlations {icc_words(low)} "
        f"and {icc_words(high)}, either way round), {count_of(trays, 'tray')} of each give "
        f"{of_hundred(one)} to {of_hundred(two)}."
    )


def trials_note(trials: int) -> str:
    """Say how a plan was confirmed."""
    return (
        f"Judged with the interval that the report will show, in {whole(trials)} simulated trials "
        f"for each line; {HALF_AND_HALF_NOTE[0].lower()}{HALF_AND_HALF_NOTE[1:]}"
    )


PAIRED_NOTE = (
    "Both methods in each tray: trials are judged on a grid of the two takes with the tray's "
    "place shared (two models, averaged), whose limits lie within about one part in fifty of those "
    "of the report's own engine. The simulated trays favour no method: where one does better in "
    "some trays than in others, more trays are needed."
)


def past_note(icc: float, low: float, high: float, trays: int, grafts: float, seasons: int) -> str:
    """Say where the intra-tray correlations come from."""
    return (
        f"Intra-tray correlation from past records: {icc_words(icc)} (95 % confidence interval "
        f"{icc_words(low)} to {icc_words(high)}; {count_of(trays, 'tray')}, {whole(grafts)} "
        f"grafts, {count_of(max(1, seasons), 'season')})."
    )


ASSUMED_ICC_NOTE = (
    "No past records were given: how much trays differ is assumed, over a range, not measured."
)
TYPED_ICC_NOTE = (
    "How much trays differ was typed, not read off records: trays that differ more need more of "
    "them."
)
NO_ASSURANCE_NOTE = (
    "Assurance (power averaged over what a new combination may turn out to be) needs three past "
    "combinations of its relation: see plan_new_combination."
)


def steady_note(first: int, steady: int) -> str:
    """Say that exact power saws."""
    return (
        f"Exact power saws up and down: {whole(first)} grafts is the first number that does, "
        f"{whole(steady)} the first from which every larger one does."
    )


def can_tell_sentence(kind: str, take: float | None, take_a: float, wanted: float) -> str:
    """Say what so many grafts can and cannot do."""
    if take is None:
        return "No question of this kind is answered as often as asked with so few grafts."
    how = f"in {of_hundred(wanted)} such trials"
    if kind == "tell_apart":
        return f"What they can do {how}: tell {percent(take_a)} from {percent(take)}."
    if kind == "above_floor":
        return f"What they can do {how}: show that the take lies above {percent(take)}."
    if kind == "no_worse":
        return f"What they can do {how}: show that it is less than {points(take)} below."
    return f"What they can do {how}: know the take to within {points(take)} either way."


def gain_note(trays_paired: int, grafts_paired: int, trays_whole: int, grafts_whole: int) -> str:
    """Compare both methods in each tray with whole trays of either."""
    return (
        f"Both methods in each tray: {count_of(trays_paired, 'tray')}, {whole(grafts_paired)} "
        f"grafts. Whole trays of one method would need {count_of(trays_whole, 'tray')} of each, "
        f"{whole(grafts_whole)} grafts, at the same correlation."
    )


def spares_note(grafts: int, spare: int) -> str:
    """Say how many scions and understocks to set aside."""
    return (
        f"Set aside {whole(grafts + spare)} understocks and as many scions: {whole(grafts)} for "
        f"the trial and {whole(spare)}, a tray of each, against losses before grafting. A tray "
        "lost later is not replaced by grafts of another day."
    )


def width_note(width: float, level: float, *, difference: bool) -> str:
    """Say how wide the interval will be."""
    of = "difference" if difference else "take"
    return f"The {level_words(level)} of the {of} will be about {points(width)} wide (median)."
