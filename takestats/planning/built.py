"""How does a plan come about, from a question to a result that speaks?"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pandas import DataFrame

from takestats.errors import DesignError
from takestats.planning.checks import USUAL_ICCS
from takestats.planning.nearest import nearest_answerable
from takestats.planning.plan_rows import (
    Asked,
    Row,
    aim,
    first_sentences,
    rule_of,
    told_plan,
    worst_of,
)
from takestats.planning.power import (
    Power,
    confirm_trials,
    false_positive_rate,
    feel_trials,
    simulated_power,
)
from takestats.planning.search import FEWEST, Found, search_trays
from takestats.planning.textbook_plan import textbook_plan
from takestats.planning.tray_plan import TrayPlan
from takestats.wording import plan_costs as costs
from takestats.wording import plan_refusals as refusals
from takestats.wording import plan_steps as steps
from takestats.wording import planning as words

_NULL_TRIALS, _PAIRED_NULL_TRIALS = 5_000, 2_000
_WORTH_TELLING = 0.02
#: The nearest question is felt with few trials: a little more power than was asked for.
_SPARE_POWER, _MOST_WANTED = 0.02, 0.97
_UNEQUAL_STREAM, _SIZE_STREAM = 3_000, 4_000


def plan(asked: Asked) -> TrayPlan:
    """Find the trays, confirm them, and say it.

    Raises
    ------
    DesignError
        The grafts do not fill two trays of each arm; the most trays do not reach the power.
    """
    _check_room(asked)
    if asked.basis != "tray_model":
        return textbook_plan(asked)
    question = asked.question
    rows = []
    for index, icc in enumerate(asked.iccs):
        asked.say(steps.searching(question.kind, icc))
        found = search_trays(
            question, icc, asked.wanted, asked.most, seed=asked.seed, stream=10 * index
        )
        if not found.reached and asked.at_most_grafts is None:
            _raise_unreachable(asked, icc, found)
        rows.append(_row(icc, found))
    worst = worst_of(rows)
    asked.say(steps.NOTHING_TO_FIND)
    trials = _PAIRED_NULL_TRIALS if question.within_trays else _NULL_TRIALS
    rates = [
        false_positive_rate(question, worst.trays, icc, trials=trials, seed=asked.seed)
        for icc in asked.iccs
    ]
    can_tell = None
    if not worst.reached:
        asked.say(steps.NEAREST)
        can_tell = nearest_answerable(
            question, worst.trays, worst.icc, asked.wanted, seed=asked.seed
        )
    unequal = _unequal(asked, worst)
    sentences = [*first_sentences(asked, rows, worst), _bought(asked, worst)]
    if not worst.reached:
        sentences.append(
            words.can_tell_sentence(question.kind, can_tell, question.take_a, asked.wanted)
        )
    sentences.append(words.false_positive_sentence(question.kind, rates))
    sentences.append(words.too_sure_sentence(question.kind, rates, question.level))
    rule = rule_of(question)
    notes = [
        "" if asked.past is None else asked.past.banner,
        words.trials_note(confirm_trials(question)),
        _past_note(asked),
        words.width_note(worst.width, question.level, difference=not question.one_arm),
        *_unequal_notes(unequal),
        *((words.PAIRED_NOTE, _gain(asked, worst)) if question.within_trays else ()),
        words.spares_note(question.grafts(worst.trays), question.grafts(1)),
        words.LAST_SEASON_NOTE,
        words.NO_ASSURANCE_NOTE,
    ]
    return told_plan(asked, rows, worst, rates, can_tell, unequal, sentences, rule, notes)


def _check_room(asked: Asked) -> None:
    least = 1 if asked.basis != "tray_model" else FEWEST
    if asked.at_most_grafts is not None and asked.most < least:
        what, rule, step = refusals.too_few_grafts(
            asked.at_most_grafts, asked.question.grafts(FEWEST)
        )
        raise DesignError(where="at_most_grafts", what=what, rule=rule, next_step=step)


def _row(icc: float, found: Found) -> Row:
    done: Power = found.confirmed
    return Row(icc=icc, trays=done.trays, power=done.power, width=done.width, reached=found.reached)


def _raise_unreachable(asked: Asked, icc: float, found: Found) -> None:
    question = asked.question
    hardest = max(asked.iccs)
    asked.say(steps.NEAREST)
    wanted = max(asked.wanted, min(asked.wanted + _SPARE_POWER, _MOST_WANTED))
    take = nearest_answerable(question, asked.most, hardest, wanted, seed=asked.seed)
    raise DesignError(
        where="most_trays",
        what=refusals.unreachable_what(
            question.kind, aim(question), asked.most, found.confirmed.power, asked.wanted, icc
        ),
        rule="the number of trays looked at is bounded by most_trays",
        next_step=refusals.nearest_question(
            question.kind, asked.most, take, question.take_a, hardest
        ),
    )


def _bought(asked: Asked, worst: Row) -> str:
    """What twice the grafts in a tray, and twice the trays, would do."""
    question = asked.question
    if worst.power > 0.97:
        return ""
    larger = replace(question, tray_size=2 * question.tray_size)
    powers = [
        simulated_power(
            what, trays, (worst.icc,), trials=feel_trials(question), seed=asked.seed,
            stream=_SIZE_STREAM,
        ).power
        for what, trays in ((larger, worst.trays), (question, 2 * worst.trays))
    ]  # fmt: skip
    if powers[1] <= max(powers[0], worst.power + _WORTH_TELLING):
        return ""
    return costs.trays_buy_sentence(worst.power, powers[0], powers[1], question.tray_size)


def _unequal(asked: Asked, worst: Row) -> DataFrame:
    question = asked.question
    columns = ["icc_a", "icc_b", "trays", "power"]
    if question.one_arm or question.within_trays or worst.icc <= 0.0:
        return DataFrame(columns=columns)
    low, high = 0.5 * worst.icc, 1.5 * worst.icc
    rows: list[dict[str, Any]] = []
    for pair in ((low, high), (high, low)):
        found = simulated_power(
            question,
            worst.trays,
            pair,
            trials=2 * feel_trials(question),
            seed=asked.seed,
            stream=_UNEQUAL_STREAM,
        )
        values = (*pair, worst.trays, found.power)
        rows.append(dict(zip(columns, values, strict=True)))
    return DataFrame(rows)


def _unequal_notes(unequal: DataFrame) -> list[str]:
    if unequal.empty:
        return []
    first = unequal.iloc[0]
    powers = (float(unequal["power"].iloc[0]), float(unequal["power"].iloc[1]))
    return [
        words.unequal_note(
            float(first["icc_a"]), float(first["icc_b"]), powers, int(first["trays"])
        )
    ]


def _gain(asked: Asked, worst: Row) -> str:
    """Both methods in each tray against whole trays, at the worst row."""
    whole = replace(asked.question, within_trays=False)
    found = search_trays(whole, worst.icc, worst.power, 500, seed=asked.seed, stream=900)
    return words.gain_note(
        worst.trays,
        asked.question.grafts(worst.trays),
        found.confirmed.trays,
        whole.grafts(found.confirmed.trays),
    )


def _past_note(asked: Asked) -> str:
    past = asked.past
    if past is None:
        return words.ASSUMED_ICC_NOTE if asked.iccs == USUAL_ICCS else words.TYPED_ICC_NOTE
    return words.past_note(past.icc, past.low, past.high, past.trays, past.grafts, past.seasons)
