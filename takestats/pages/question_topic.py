"""What does the rule that was set beforehand say of the planned question?"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Literal

from pandas import DataFrame

from takestats.answers.gaps import differences
from takestats.errors import TakeError
from takestats.pages.rows import number, rows_of
from takestats.pages.topic import Topic
from takestats.planning.so_far import read_so_far, read_stages
from takestats.records.targets import pair_name
from takestats.wording import decision as words
from takestats.wording.numbers import level_text
from takestats.wording.said import dates_words

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered

Kind = Literal["apart", "no worse", "floor", "width", "stages", "own"]
ALL_GRAFTS = "all grafts"
EARLY = ("first", "callus check")
#: Words by which a rule is known, in lower case.
_KNOWN: tuple[tuple[str, Kind], ...] = (
    ("no worse", "no worse"),
    ("above the floor", "floor"),
    ("known well enough", "width"),
    ("differ", "apart"),
    ("tell apart", "apart"),
)


def question_topic(found: Gathered, marker: str, say: Callable[[str], None]) -> Topic | None:
    """The first sentence of the bench sheet, where the settings hold a rule.

    Parameters
    ----------
    found : Gathered
    marker, say
        As for every topic.

    Returns
    -------
    Topic or None
        A table of one row: rule, new, standard, verdict, estimate, low, high, limit.
    """
    wishes = found.asked
    kind = rule_kind(wishes.rule, wishes.stages)
    if kind is None:
        return None
    answer, row = _answer(found, kind)
    line = words.asked_line(
        wishes.question,
        answer,
        randomised=wishes.randomised in ("tray", "half", "graft")
        or kind in ("stages", "floor", "width"),
    )
    table = DataFrame([{"rule": wishes.rule, **row}])
    return Topic(
        sections=(),
        tables=(("planned_question", "the planned question by its rule", table),),
        bench=(line,),
    )


def rule_kind(rule: str, stages: object = None) -> Kind | None:
    """Which rule is meant; None where there is none.

    Examples
    --------
    >>> rule_kind("No worse if the lower limit lies above -5 points."), rule_kind("")
    ('no worse', None)
    """
    if read_stages(stages) is not None:
        return "stages"
    text = " ".join(rule.lower().replace("-", " ").split())
    if not text:
        return None
    return next((kind for known, kind in _KNOWN if known in text), "own")


def _answer(found: Gathered, kind: Kind) -> tuple[str, dict[str, Any]]:
    """The sentence and its row."""
    wishes = found.asked
    names = {str(short): str(full) for short, full in found.records.trial.names.items()}
    new, standard = (_meant(name, names) for name in (wishes.new, wishes.standard))
    blank: dict[str, Any] = {"new": new, "standard": standard, "verdict": "not yet"}
    if kind == "own":
        return words.own_rule_answer(wishes.rule), {**blank, "verdict": "read it yourself"}
    if (found.model.count or "") in EARLY:
        return words.early_answer(found.model.count or ""), blank
    if kind in ("apart", "no worse"):
        return _of_two(found, kind, new, standard, blank)
    take = _take_of(found, new)
    if take is None:
        return words.not_found_answer([new]), blank
    name, row = take
    behind = words.Behind(
        (number(row["trays"]),), (number(row["grafts"]),), found.model.count or "", _dates(found)
    )
    limits = (row["take_rate"], row["low"], row["high"])
    told = {**blank, "estimate": limits[0], "low": limits[1], "high": limits[2]}
    rule = read_stages(wishes.stages)
    if rule is not None:
        try:
            so_far = read_so_far(rule, int(row["taken"]), int(row["grafted"]), settled=True)
        except TakeError as error:
            return words.not_followed_answer(error.what), blank
        return words.stages_answer(name, so_far.sentence, behind), {
            **told,
            "verdict": so_far.decision,
        }
    if kind == "width":
        margin = wishes.margin if wishes.margin is not None else math.nan
        if math.isnan(margin):
            return words.own_rule_answer(wishes.rule), blank
        verdict: words.Verdict = "yes" if limits[2] - limits[1] <= 2.0 * margin else "no"
        said = words.width_answer(verdict, name, margin, limits, behind)
        return said, {**told, "limit": margin, "verdict": verdict}
    if wishes.floor is None:
        return words.own_rule_answer(wishes.rule), blank
    verdict = (
        "yes" if limits[1] > wishes.floor else "no" if limits[2] < wishes.floor else "not decided"
    )
    said = words.floor_answer(verdict, name, wishes.floor, limits, behind)
    return said, {**told, "limit": wishes.floor, "verdict": verdict}


def _meant(name: str, names: Mapping[str, str]) -> str:
    """A level of the settings as the records name it."""
    return level_text(pair_name(name, names)) if name else ""


def _of_two(
    found: Gathered, kind: Kind, new: str, standard: str, blank: dict[str, Any]
) -> tuple[str, dict[str, Any]]:
    """A question about two levels of one factor."""
    factor = next(
        (
            name
            for name, model in found.models.items()
            if {new, standard} <= {level_text(level) for level in model.levels(name)}
        ),
        None,
    )
    if factor is None or new == standard:
        known = {level_text(x) for name, model in found.models.items() for x in model.levels(name)}
        lacking = [name or "the new one" for name in (new, standard) if name not in known]
        return words.not_found_answer(lacking or [new, standard]), blank
    model = found.models[factor]
    levels = {level_text(level): level for level in model.levels(factor)}
    pair = (levels[new], levels[standard])
    row = rows_of(differences(model, factor, pairs=[pair]).table)[0]
    gap = (row["difference"], row["low"], row["high"])
    behind = words.Behind(
        (number(row["trays_a"]), number(row["trays_b"])),
        (number(row["grafts_a"]), number(row["grafts_b"])),
        model.count or "",
        _dates(found),
    )
    told = {**blank, "estimate": gap[0], "low": gap[1], "high": gap[2], "limit": 0.0}
    verdict: words.Verdict
    if kind == "apart":
        verdict = "yes" if gap[1] > 0.0 else "no" if gap[2] < 0.0 else "not decided"
        said = words.apart_answer(verdict, new, standard, gap, behind)
        return said, {**told, "verdict": verdict}
    margin = found.asked.margin
    if margin is None:
        return words.own_rule_answer(found.asked.rule), blank
    verdict = "yes" if gap[1] > -margin else "no" if gap[2] < -margin else "not decided"
    said = words.no_worse_answer(verdict, new, standard, margin, gap, behind)
    return said, {**told, "limit": -margin, "verdict": verdict}


def _take_of(found: Gathered, new: str) -> tuple[str, dict[str, Any]] | None:
    """The take that is asked about: of a level, or of the whole season when none is named."""
    if not new:
        return ALL_GRAFTS, rows_of(found.overall.table)[0]
    for factor, rates in found.rates.items():
        for row in rows_of(rates.table):
            if level_text(row[factor]) == new:
                return new, row
    return None


def _dates(found: Gathered) -> str:
    return dates_words(found.model.count_dates)
