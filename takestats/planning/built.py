"""How does a plan come about, from a question to a result that speaks?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from pandas import DataFrame

from takestats.errors import DesignError
from takestats.planning.nearest import nearest_answerable
from takestats.planning.past import PastTrays
from takestats.planning.power import (
    Power,
    confirm_trials,
    false_positive_rate,
    feel_trials,
    simulated_power,
)
from takestats.planning.question import Basis, Question
from takestats.planning.search import FEWEST, Found, search_trays
from takestats.planning.textbook import textbook_size
from takestats.planning.tray_plan import TrayPlan
from takestats.wording import planning as words

_NULL_TRIALS, _PAIRED_NULL_TRIALS = 5_000, 2_000
_UNEQUAL_STREAM, _SIZE_STREAM = 3_000, 4_000
_NAN = float("nan")
_FORMULA_MOST = 10_000_000


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A question with everything that a plan needs.

    Parameters
    ----------
    question : Question
    iccs : tuple of float
    wanted : float
        Power; of an estimate the share of trials that are precise enough.
    most_trays : int
        Of each arm.
    at_most_grafts : int or None
        Of the whole trial.
    basis : str
    seed : int
    past : PastTrays or None
        Where the correlations come from.
    """

    question: Question
    iccs: tuple[float, ...]
    wanted: float
    most_trays: int
    at_most_grafts: int | None = None
    basis: Basis = "tray_model"
    seed: int = 1
    past: PastTrays | None = None

    @property
    def most(self) -> int:
        """Trays of each arm that may be used."""
        most = self.most_trays
        if self.basis in ("normal", "arcsine"):
            most = _FORMULA_MOST
        if self.at_most_grafts is None:
            return most
        return min(most, self.question.most_trays(self.at_most_grafts))


@dataclass(frozen=True, kw_only=True)
class _Row:
    """One intra-tray correlation."""

    icc: float
    trays: int
    power: float
    width: float
    reached: bool


def plan(asked: Asked) -> TrayPlan:
    """Find the trays, confirm them, and say it.

    Raises
    ------
    DesignError
        The grafts do not fill two trays of each arm; the most trays do not reach the power.
    """
    _check_room(asked)
    if asked.basis != "tray_model":
        return _by_textbook(asked)
    question = asked.question
    rows = []
    for index, icc in enumerate(asked.iccs):
        found = search_trays(
            question, icc, asked.wanted, asked.most, seed=asked.seed, stream=10 * index
        )
        if not found.reached and asked.at_most_grafts is None:
            _raise_unreachable(asked, icc, found)
        rows.append(_row(icc, found))
    worst = _worst(rows)
    trials = _PAIRED_NULL_TRIALS if question.within_trays else _NULL_TRIALS
    rates = [
        false_positive_rate(question, worst.trays, icc, trials=trials, seed=asked.seed)
        for icc in asked.iccs
    ]
    can_tell = None
    if not worst.reached:
        can_tell = nearest_answerable(
            question, worst.trays, worst.icc, asked.wanted, seed=asked.seed
        )
    unequal = _unequal(asked, worst)
    sentences = [*_first_sentences(asked, rows, worst), _bought(asked, worst)]
    if not worst.reached:
        sentences.append(
            words.can_tell_sentence(question.kind, can_tell, question.take_a, asked.wanted)
        )
    sentences.append(words.false_positive_sentence(question.kind, rates))
    rule = _rule(question)
    notes = [
        words.trials_note(confirm_trials(question)),
        _past_note(asked),
        words.width_note(worst.width, question.level, difference=not question.one_arm),
        *_unequal_notes(unequal),
        *((words.PAIRED_NOTE, _gain(asked, worst)) if question.within_trays else ()),
        words.SPARES_NOTE,
        words.LAST_SEASON_NOTE,
        words.NO_ASSURANCE_NOTE,
    ]
    return _result(asked, rows, worst, rates, can_tell, unequal, sentences, rule, notes)


def _check_room(asked: Asked) -> None:
    least = 1 if asked.basis != "tray_model" else FEWEST
    if asked.at_most_grafts is not None and asked.most < least:
        what, rule, step = words.too_few_grafts(
            asked.at_most_grafts, asked.question.grafts(FEWEST)
        )
        raise DesignError(where="at_most_grafts", what=what, rule=rule, next_step=step)


def _row(icc: float, found: Found) -> _Row:
    done: Power = found.confirmed
    return _Row(
        icc=icc, trays=done.trays, power=done.power, width=done.width, reached=found.reached
    )


def _worst(rows: list[_Row]) -> _Row:
    return max(rows, key=lambda row: (not row.reached, row.trays, -row.power, row.icc))


def _raise_unreachable(asked: Asked, icc: float, found: Found) -> None:
    question = asked.question
    take = nearest_answerable(question, asked.most, icc, asked.wanted, seed=asked.seed)
    raise DesignError(
        where="most_trays",
        what=words.unreachable_what(
            _aim(question), asked.most, found.confirmed.power, asked.wanted, icc
        ),
        rule="the number of trays looked at is bounded by most_trays",
        next_step=words.nearest_question(
            question.kind, asked.most, take, question.take_a, question.margin
        ),
    )


def _aim(question: Question) -> str:
    return words.aim_words(question.kind, question.take_a, question.take_b, question.margin)


def _rule(question: Question) -> str:
    return words.rule_words(
        question.kind,
        question.take_a,
        question.margin,
        question.level,
        question.arms,
        within=question.within_trays,
    )


def _first_sentences(asked: Asked, rows: list[_Row], worst: _Row) -> list[str]:
    question = asked.question
    size = words.size_words(
        question.kind,
        worst.trays,
        question.tray_size,
        question.grafts(worst.trays),
        question.arms,
        question.within_trays,
    )
    told = [(row.icc, row.trays, row.power, row.reached) for row in rows]
    grafts = question.grafts(worst.trays)
    out = [
        words.plan_sentence(
            size,
            _aim(question),
            worst.power,
            worst.icc,
            reached=worst.reached,
            wanted=asked.wanted,
            one_icc=len(rows) == 1,
        ),
        words.range_sentence(told, asked.at_most_grafts is not None),
    ]
    if worst.reached and worst.trays == FEWEST:
        out.append(words.fewest_sentence(worst.trays))
    if worst.trays >= words.MANY_TRAYS or grafts >= words.MANY_GRAFTS:
        out.append(words.very_many_sentence(_aim(question), worst.trays, grafts))
    return out


def _bought(asked: Asked, worst: _Row) -> str:
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
    if powers[1] <= powers[0]:
        return ""
    return words.trays_buy_sentence(worst.power, powers[0], powers[1], question.tray_size)


def _unequal(asked: Asked, worst: _Row) -> DataFrame:
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


def _gain(asked: Asked, worst: _Row) -> str:
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
        return words.ASSUMED_ICC_NOTE
    return words.past_note(past.icc, past.low, past.high, past.trays, past.grafts, past.seasons)


def _by_textbook(asked: Asked) -> TrayPlan:
    question = asked.question
    rows, steady = [], None
    for icc in asked.iccs:
        found = textbook_size(question, asked.basis, icc, asked.wanted, asked.most)
        if not found.reached and asked.at_most_grafts is None:
            raise DesignError(
                where="most_trays",
                what=words.unreachable_what(
                    _aim(question), asked.most, found.power, asked.wanted, icc
                ),
                rule="the number of trays looked at is bounded by most_trays",
                next_step="allow more trays, or ask with basis='normal'",
            )
        steady = found.steady
        rows.append(
            _Row(
                icc=icc, trays=found.trays, power=found.power, width=_NAN, reached=found.reached
            )
        )
    worst = _worst(rows)
    notes = [words.BASIS_NOTES[asked.basis]]
    if steady is not None and steady != worst.trays:
        notes.append(words.steady_note(worst.trays, steady))
    sentences = _first_sentences(asked, rows, worst)
    none = DataFrame(columns=["icc_a", "icc_b", "trays", "power"])
    rates = [_NAN] * len(rows)
    rule = _rule(question)
    return _result(asked, rows, worst, rates, None, none, sentences, rule, notes)


def _result(
    asked: Asked,
    rows: list[_Row],
    worst: _Row,
    rates: list[float],
    can_tell: float | None,
    unequal: DataFrame,
    sentences: list[str],
    rule: str,
    notes: list[str],
) -> TrayPlan:
    question = asked.question
    take_a, take_b = question.take_a, question.take_b
    if question.one_arm:
        take_a, take_b = question.take_b, _NAN
    table = DataFrame(
        [
            {
                "icc": row.icc,
                "take_a": take_a,
                "take_b": take_b,
                "trays": row.trays,
                "grafts": question.grafts(row.trays),
                "power": row.power,
                "width": row.width,
                "assurance": _NAN,
                "false_positive": rate,
                "reached": row.reached,
            }
            for row, rate in zip(rows, rates, strict=True)
        ]
    )
    known = [rate for rate in rates if rate == rate]
    return TrayPlan(
        _table=table,
        notes=tuple(note for note in notes if note),
        sentences=tuple(s for s in (*sentences, rule) if s),
        question=question,
        trays=worst.trays,
        grafts=question.grafts(worst.trays),
        power=worst.power,
        power_wanted=asked.wanted,
        icc=worst.icc,
        basis=asked.basis,
        rule=rule,
        reached=worst.reached,
        can_tell=can_tell,
        false_positive_rate=max(known) if known else _NAN,
        unequal=unequal,
        seed=asked.seed,
    )
