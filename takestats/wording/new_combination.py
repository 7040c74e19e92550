"""What does a plan for a combination not yet tried say?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

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

if TYPE_CHECKING:
    from pandas import DataFrame


class Planned(Protocol):
    """A plan of trays, as far as it is told here."""

    trays: int
    power: float
    reached: bool


class Staged(Protocol):
    """A rule in two stages, as far as it is told here."""

    first: int
    drop_at_or_below: int
    total: int
    fail_at_or_below: int
    stops_early: float


class StandardSeen(Protocol):
    """The standard of the past."""

    name: str
    why: str
    take: float
    low: float
    high: float
    seasons: int
    trays: int
    grafts: float


class Quantiles(Protocol):
    """A distribution of takes."""

    def quantiles(self, shares: Sequence[float]) -> list[float]:
        """Takes that these shares lie below."""


class TraysSeen(Protocol):
    """How much trays of the past differed."""

    icc: float
    low: float
    high: float
    trays: int


class Seen(Protocol):
    """What the past says."""

    @property
    def standard(self) -> StandardSeen:
        """The combination the new one is held against."""

    @property
    def trays(self) -> TraysSeen | None:
        """How much trays differed."""

    @property
    def combinations(self) -> tuple[str, ...]:
        """Those of the relation."""

    @property
    def seasons(self) -> int:
        """Of these."""

    @property
    def tray_count(self) -> int:
        """Behind these."""

    @property
    def graft_count(self) -> float:
        """Behind these."""

    @property
    def new(self) -> Quantiles | None:
        """Take of a new one."""

    @property
    def tried(self) -> DataFrame:
        """Lines of the very combination."""


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


def recommendation(
    chosen: str,
    no_worse: Sequence[Planned],
    above: Sequence[Planned],
    stages: Sequence[Staged],
    size: int,
    margin: float,
    floors: Sequence[float],
    standards: Sequence[float],
    at_most: int | None,
) -> str:
    """Say the one recommendation.

    Parameters
    ----------
    chosen : {"no worse", "above floor", "two stages", "first look"}
    """
    ranged = " (a range, because no past was given)" if len(standards) > 1 else ""
    trays_of = f"of {count_of(size, 'graft')}"
    if chosen == "no worse":
        trays = _span([one.trays for one in no_worse], "tray")
        return (
            f"Recommended: {trays} {trays_of} of the new combination beside as many of the "
            f"standard, in one season{ranged}; go on if the lower limit of new minus standard lies "
            f"above -{points(margin)}."
        )
    if chosen == "two stages":
        first = _span([rule.first // size for rule in stages], "tray")
        total = _span([rule.total // size for rule in stages], "tray")
        if len(stages) == 1:
            rule = stages[0]
            cut = (
                "none takes" if rule.drop_at_or_below == 0
                else f"{whole(rule.drop_at_or_below)} or fewer take"
            )  # fmt: skip
            return (
                f"Recommended: two stages. First {first} {trays_of} ({whole(rule.first)} grafts); "
                f"if {cut}, drop it. Else graft on to {total} ({whole(rule.total)} grafts) and keep "
                f"it if more than {whole(rule.fail_at_or_below)} of all take."
            )
        return (
            f"Recommended: two stages. First {first} {trays_of}, then on to {total} in all if the "
            f"first did well{ranged}; the cuts follow from the standard's take, which has to be "
            "known first."
        )
    if chosen == "above floor":
        trays = _span([one.trays for one in above], "tray")
        return (
            f"Recommended: {trays} {trays_of} of the new combination by itself{ranged}; go on if "
            f"the lower limit of its take lies above {_takes(floors)}."
        )
    made = f" with {count_of(at_most, 'graft')}" if at_most is not None else ""
    trays = (at_most or 3 * size) // size
    return (
        f"Recommended: a first look only. No decision can be promised{made}: make "
        f"{count_of(trays, 'tray')} {trays_of}, keep the counts, and plan again with them; do not "
        "multiply on the strength of it."
    )


def relation_sentence(scion: str, understock: str, relation: str) -> str:
    """Say how near scion and understock are."""
    if relation == "undetermined":
        return f"How near {scion} is to {understock} does not follow from their names."
    return f"{scion} on {understock}: {relation}."


def past_sentences(seen: Seen | None, relation: str, table: DataFrame) -> tuple[str, ...]:
    """Say what the past gives, and how thin it is."""
    if seen is None:
        return (
            "No past was given: every number is a range over standards of 80 to 95 % and trays that "
            "differ little to much. Past seasons of combinations you know would narrow it.",
        )
    old = seen.standard
    out = [
        f"The standard is {old.name} ({_WHY[old.why]}): a season not yet seen is expected to bring "
        f"{percent(old.take)} (90 % limits {percent_number(old.low)} to {percent_number(old.high)}; "
        f"{count_of(old.seasons, 'season')}, {count_of(old.trays, 'tray')}, "
        f"{whole(old.grafts)} grafts).",
    ]
    number = len(seen.combinations)
    if number == 0:
        out.append(f"The past holds no combination of the relation {relation}: it is silent here.")
    else:
        behind = (
            f"{count_of(number, 'combination')} of the relation {relation}, "
            f"{count_of(seen.seasons, 'season')}, {count_of(seen.tray_count, 'tray')}, "
            f"{whole(seen.graft_count)} grafts"
        )
        thin = " That is thin." if number < 5 or seen.seasons < 3 else ""
        out.append(f"Behind it: {behind}.{thin}")
    if seen.new is not None and number >= 3:
        low, middle, high = seen.new.quantiles([0.05, 0.5, 0.95])
        out.append(
            f"Such combinations make {percent(middle)} likely for the new one, and anything from "
            f"{percent_number(low)} to {percent_number(high)} % possible (90 % limits)."
        )
        mine = table[(table["plan"] == "no worse") & table["assurance"].notna()]["assurance"]
        if len(mine):
            out.append(
                "Averaged over that, the no-worse trial comes off in "
                f"{of_hundred(float(mine.min()))} (assurance)."
            )
    else:
        out.append("Fewer than three combinations of this relation: no assurance is given.")
    if len(seen.tried):
        taken, tried = float(seen.tried["taken"].sum()), float(seen.tried["tried"].sum())
        out.append(
            f"It was grafted before: {whole(taken)} of {whole(tried)} took, which is not used here."
        )
    return tuple(out)


def limit_sentences(
    no_worse: Sequence[Planned],
    above: Sequence[Planned],
    stages: Sequence[Staged],
    standards: Sequence[float],
    floors: Sequence[float],
    margin: float,
    at_most: int | None,
) -> tuple[str, ...]:
    """Say what can and cannot be told."""
    lead = "" if at_most is None else f"With {count_of(at_most, 'graft')}: "
    out = []
    can, cannot = [], []
    aim = f"that it is less than {points(margin)} below a standard of {_takes(standards)}"
    (can if all(p.reached for p in no_worse) else cannot).append(
        f"{aim} ({_powers(no_worse)}, {_span([p.trays for p in no_worse], 'tray')} of each)"
    )
    aim = f"that a take of {_takes(standards)} lies above {_takes(floors)}"
    (can if all(p.reached for p in above) else cannot).append(
        f"{aim} ({_powers(above)}, {_span([p.trays for p in above], 'tray')})"
    )
    if len(stages) == len(standards):
        can.append("whether to drop or keep it by the two-stage rule")
    else:
        cannot.append("by a two-stage rule with both chances kept")
    if can:
        out.append(f"{lead}can be shown: {listing(can)}.")
    if cannot:
        out.append(f"{lead}cannot be shown as often as asked: {listing(cannot)}.")
    return tuple(text[0].upper() + text[1:] for text in out)


def _powers(plans: Sequence[Planned]) -> str:
    low, high = min(p.power for p in plans), max(p.power for p in plans)
    if of_hundred(low) == of_hundred(high):
        return f"power {of_hundred(high)}"
    return f"power {of_hundred(low).removesuffix(' of 100')} to {of_hundred(high)}"


def new_notes(
    margin: float,
    assumed_floor: bool,
    size: int,
    asked_size: int,
    iccs: Sequence[float],
    seen: Seen | None,
) -> tuple[str, ...]:
    """Say what was assumed."""
    out = [f"Margin {points(margin)}; power 80 of 100; 95 % confidence intervals decide."]
    if assumed_floor:
        out.append(f"The floor is set {points(margin)} below the standard: give your own if not.")
    if size != asked_size:
        out.append(
            f"Trays of {count_of(size, 'graft')} instead of {whole(asked_size)}, so that the grafts "
            "fill three trays: one large tray cannot show how trays differ."
        )
    span = f"{icc_words(min(iccs))} to {icc_words(max(iccs))}"
    if seen is None or seen.trays is None:
        out.append(f"How much trays differ is assumed: intra-tray correlations of {span}.")
    else:
        out.append(
            f"Intra-tray correlation from the past: {icc_words(seen.trays.icc)} (95 % confidence "
            f"interval {icc_words(seen.trays.low)} to {icc_words(seen.trays.high)}, "
            f"{count_of(seen.trays.trays, 'tray')}); plans are read at its worst end."
        )
    out.append(
        "Grafts in the table are those of the new combination; the standard beside it needs as many."
    )
    return tuple(out)
