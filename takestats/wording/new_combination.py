"""What does a plan for a combination not yet tried say?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from takestats.wording.numbers import (
    count_of,
    listing,
    percent,
    percent_number,
    percent_range,
    points,
    whole,
)
from takestats.wording.planning import icc_words, of_hundred


@dataclass(frozen=True, kw_only=True)
class ToldPlan:
    """A plan of trays, as far as it is told here."""

    trays: int
    power: float
    reached: bool
    can_tell: float | None


@dataclass(frozen=True, kw_only=True)
class ToldRule:
    """A rule in two stages, in grafts, and its floor."""

    first: int
    drop: int
    total: int
    fail: int
    floor: float


@dataclass(frozen=True, kw_only=True)
class ToldPast:
    """What the past says: the standard, the combinations of the relation, the trays."""

    standard: str
    why: str
    take: tuple[float, float, float]
    standard_seasons: int
    standard_trays: int
    standard_grafts: float
    combinations: int
    seasons: int
    trays: int
    grafts: float
    likely: tuple[float, float, float] | None
    assurance: float | None
    taken: float
    tried: float
    icc: tuple[float, float, float] | None
    icc_trays: int


@dataclass(frozen=True, kw_only=True)
class Frame:
    """What all sentences share: sizes, margin, floors and standards."""

    size: int
    asked_size: int
    margin: float
    floors: tuple[float, ...]
    standards: tuple[float, ...]
    at_most: int | None
    fallback: ToldRule | None


_WHY = {
    "settings": "named as the standard in the settings",
    "same understock": "the combination with most trays on this understock",
    "same relation": "the combination of this relation with most trays",
    "most trays": "the combination with most trays; none on this understock is recorded",
}


def _span(values: Sequence[float], thing: str) -> str:
    low, high = min(values), max(values)
    return count_of(low, thing) if low == high else f"{whole(low)} to {count_of(high, thing)}"


def _takes(values: Sequence[float]) -> str:
    low, high = min(values), max(values)
    return percent(low) if low == high else percent_range(low, high)


def _cut(taken: int) -> str:
    return "none takes" if taken == 0 else f"{whole(taken)} or fewer take"


def _one_rule(rule: ToldRule, size: int) -> str:
    first = count_of(rule.first // size, "tray")
    total = count_of(rule.total // size, "tray")
    return (
        f"first {first} of {count_of(size, 'graft')} ({count_of(rule.first, 'graft')}); if "
        f"{_cut(rule.drop)}, drop it; else graft on to {total} ({count_of(rule.total, 'graft')}) "
        f"and keep it if more than {whole(rule.fail)} of all take"
    )


def recommendation(
    chosen: str,
    no_worse: Sequence[ToldPlan],
    above: Sequence[ToldPlan],
    stages: Sequence[ToldRule],
    frame: Frame,
) -> str:
    """Say the one recommendation.

    Parameters
    ----------
    chosen : {"no worse", "above floor", "two stages", "first look"}
    """
    ranged = " (a range, because no past was given)" if len(frame.standards) > 1 else ""
    trays_of = f"of {count_of(frame.size, 'graft')}"
    if chosen == "no worse":
        trays = _span([one.trays for one in no_worse], "tray")
        return (
            f"Recommended: {trays} {trays_of} of the new combination beside as many of the "
            f"standard, in one season{ranged}; go on if the lower limit of new minus standard "
            f"lies above -{points(frame.margin)}."
        )
    if chosen == "two stages":
        if len(stages) == 1:
            return f"Recommended: two stages, {_one_rule(stages[0], frame.size)}."
        first = _span([rule.first // frame.size for rule in stages], "tray")
        total = _span([rule.total // frame.size for rule in stages], "tray")
        return (
            f"Recommended: two stages. First {first} {trays_of}, then on to {total} in all if the "
            f"first did well{ranged}; the cuts follow from the standard's take, which has to be "
            "known first."
        )
    if chosen == "above floor":
        trays = _span([one.trays for one in above], "tray")
        return (
            f"Recommended: {trays} {trays_of} of the new combination by itself{ranged}; go on if "
            f"the lower limit of its take lies above {_takes(frame.floors)}."
        )
    return _first_look(frame)


def _first_look(frame: Frame) -> str:
    made = "" if frame.at_most is None else f" with {count_of(frame.at_most, 'graft')}"
    if frame.fallback is not None:
        return (
            f"Recommended: a first look only, which can but rule out a bad failure{made}: "
            f"{_one_rule(frame.fallback, frame.size)}. That tells a take of "
            f"{_takes(frame.standards)} from one of {percent(frame.fallback.floor)} or less, no "
            "more; keep the counts, and plan again with them before you multiply."
        )
    number = (frame.at_most or 3 * frame.size) // frame.size
    return (
        f"Recommended: a first look only. No decision can be promised{made}: make "
        f"{count_of(number, 'tray')} of {count_of(frame.size, 'graft')}, keep the counts, and plan "
        "again with them; do not multiply on the strength of it."
    )


def smaller_trays(size: int) -> str:
    """Begin the note that says that trays are smaller than was asked for."""
    return f"Trays of {count_of(size, 'graft')} instead of"


def relation_sentence(scion: str, understock: str, relation: str) -> str:
    """Say how near scion and understock are."""
    if relation == "undetermined":
        return f"How near {scion} is to {understock} does not follow from their names."
    return f"{scion} on {understock}: {relation}."


def past_sentences(seen: ToldPast | None, relation: str) -> tuple[str, ...]:
    """Say what the past gives, and how thin it is."""
    if seen is None:
        return (
            "No past was given: every number is a range over standards of 80 to 95 % and trays "
            "that differ little to much. Past seasons of combinations you know would narrow it.",
        )
    low, middle, high = seen.take
    out = [
        f"The standard is {seen.standard} ({_WHY[seen.why]}): a season not yet seen is expected "
        f"to bring {percent(middle)} (90 % limits {percent_number(low)} to "
        f"{percent_number(high)}; {count_of(seen.standard_seasons, 'season')}, "
        f"{count_of(seen.standard_trays, 'tray')}, {whole(seen.standard_grafts)} grafts).",
    ]
    if seen.combinations == 0:
        out.append(f"The past holds no combination of the relation {relation}: it is silent here.")
    else:
        thin = " That is thin." if seen.combinations < 5 or seen.seasons < 3 else ""
        out.append(
            f"Of the relation {relation} the past has "
            f"{count_of(seen.combinations, 'combination')}, {count_of(seen.seasons, 'season')}, "
            f"{count_of(seen.trays, 'tray')}, {whole(seen.grafts)} grafts.{thin}"
        )
    if seen.likely is None:
        out.append("Fewer than three combinations of this relation: no assurance is given.")
    else:
        low, middle, high = seen.likely
        out.append(
            f"They make about {percent(middle)} likely for the new one, and anything from "
            f"{percent_number(low)} to {percent_number(high)} % possible (90 % limits)."
        )
    if seen.assurance is not None:
        out.append(
            f"Averaged over that, the no-worse trial comes off in {of_hundred(seen.assurance)} "
            "(assurance)."
        )
    if seen.tried > 0.0:
        out.append(
            f"It was grafted before: {whole(seen.taken)} of {whole(seen.tried)} took; that is not "
            "used here."
        )
    return tuple(out)


def limit_sentences(
    no_worse: Sequence[ToldPlan],
    above: Sequence[ToldPlan],
    stages: Sequence[ToldRule],
    frame: Frame,
) -> tuple[str, ...]:
    """Say what can and cannot be told, and what so few grafts can do."""
    lead = "" if frame.at_most is None else f"with {count_of(frame.at_most, 'graft')} "
    can: list[str] = []
    cannot: list[str] = []
    (can if all(p.reached for p in no_worse) else cannot).append(
        f"that it is less than {points(frame.margin)} below a standard of "
        f"{_takes(frame.standards)} ({_powers(no_worse)}, "
        f"{_span([p.trays for p in no_worse], 'tray')} of each)"
    )
    (can if all(p.reached for p in above) else cannot).append(
        f"that a take of {_takes(frame.standards)} lies above {_takes(frame.floors)} "
        f"({_powers(above)}, {_span([p.trays for p in above], 'tray')})"
    )
    whether = f"whether it is worth {_takes(frame.standards)} or {_takes(frame.floors)}"
    (can if len(stages) == len(frame.standards) else cannot).append(
        f"{whether}, by a two-stage rule"
    )
    out = []
    if can:
        out.append(f"{lead}can be shown: {listing(can)}.")
    if cannot:
        out.append(f"{lead}cannot be shown as often as asked: {listing(cannot)}.")
    floor = [p.can_tell for p in above if not p.reached and p.can_tell is not None]
    if len(floor) == len(above) and floor:
        out.append(
            f"{lead}can be shown instead: that a take of {_takes(frame.standards)} lies above "
            f"{_takes(floor)}."
        )
    return tuple(text[0].upper() + text[1:] for text in out)


def _powers(plans: Sequence[ToldPlan]) -> str:
    low, high = min(p.power for p in plans), max(p.power for p in plans)
    if of_hundred(low) == of_hundred(high):
        return f"power {of_hundred(high)}"
    return f"power {of_hundred(low).removesuffix(' of 100')} to {of_hundred(high)}"


def new_notes(
    frame: Frame, iccs: Sequence[float], seen: ToldPast | None, *, assumed_floor: bool
) -> tuple[str, ...]:
    """Say what was assumed."""
    out = [f"Margin {points(frame.margin)}; power 80 of 100; 95 % confidence intervals decide."]
    if assumed_floor:
        out.append(
            f"The floor is set {points(frame.margin)} below the standard: give your own if not."
        )
    if frame.size != frame.asked_size:
        out.append(
            f"{smaller_trays(frame.size)} {whole(frame.asked_size)}, so that the grafts fill three "
            "trays: one large tray cannot show how trays differ."
        )
    span = f"{icc_words(min(iccs))} to {icc_words(max(iccs))}"
    if seen is None or seen.icc is None:
        out.append(f"How much trays differ is assumed: intra-tray correlations of {span}.")
    else:
        low, middle, high = seen.icc
        out.append(
            f"Intra-tray correlation from the past: {icc_words(middle)} (95 % confidence interval "
            f"{icc_words(low)} to {icc_words(high)}, {count_of(seen.icc_trays, 'tray')}); plans "
            "are read at its worst end, the two-stage rule at its middle."
        )
    out.append(
        "Grafts in the table are those of the new combination; the standard beside it needs as "
        "many."
    )
    return tuple(out)
