"""Which rows has a plan, and how do they become a result that speaks?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from pandas import DataFrame

from takestats.models.progress import silent
from takestats.planning.past import PastTrays
from takestats.planning.question import Basis, Question
from takestats.planning.search import FEWEST
from takestats.planning.tray_plan import TrayPlan
from takestats.wording import plan_costs as costs
from takestats.wording import planning as words

NAN = float("nan")
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
    say : callable
        Told in a few words what is being done.
    """

    question: Question
    iccs: tuple[float, ...]
    wanted: float
    most_trays: int
    at_most_grafts: int | None = None
    basis: Basis = "tray_model"
    seed: int = 1
    past: PastTrays | None = None
    say: Callable[[str], None] = silent

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
class Row:
    """One intra-tray correlation."""

    icc: float
    trays: int
    power: float
    width: float
    reached: bool


def worst_of(rows: list[Row]) -> Row:
    """The row with most trays; of those that fall short the one with least power."""
    return max(rows, key=lambda row: (not row.reached, row.trays, -row.power, row.icc))


def aim(question: Question) -> str:
    """What the trial is to do, in words."""
    return words.aim_words(question.kind, question.take_a, question.take_b, question.margin)


def rule_of(question: Question) -> str:
    """By which rule the trial will be read, in words."""
    return words.rule_words(
        question.kind,
        question.take_a,
        question.margin,
        question.level,
        question.arms,
        within=question.within_trays,
    )


def first_sentences(asked: Asked, rows: list[Row], worst: Row) -> list[str]:
    """Say the plan, its range, and whether it is dear or the fewest."""
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
            aim(question),
            worst.power,
            worst.icc,
            reached=worst.reached,
            wanted=asked.wanted,
            one_icc=len(rows) == 1,
        ),
        words.range_sentence(told, asked.at_most_grafts is not None),
    ]
    if worst.reached and worst.trays == FEWEST:
        out.append(costs.fewest_sentence(question.kind, worst.trays, within=question.within_trays))
    if asked.basis != "tray_model":
        return out
    if worst.trays >= words.MANY_TRAYS or grafts >= words.MANY_GRAFTS:
        out.append(
            costs.very_many_sentence(
                question.kind, aim(question), worst.trays, grafts, within=question.within_trays
            )
        )
    return out


def told_plan(
    asked: Asked,
    rows: list[Row],
    worst: Row,
    rates: list[float],
    can_tell: float | None,
    unequal: DataFrame,
    sentences: list[str],
    rule: str,
    notes: list[str],
) -> TrayPlan:
    """Put the parts together."""
    question = asked.question
    take_a, take_b = question.take_a, question.take_b
    if question.one_arm:
        take_a, take_b = question.take_b, NAN
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
                "assurance": NAN,
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
        false_positive_rate=max(known) if known else NAN,
        unequal=unequal,
        seed=asked.seed,
        past=asked.past,
        at_most_grafts=asked.at_most_grafts,
    )
