"""How is a textbook's answer told as a plan?"""

from __future__ import annotations

from pandas import DataFrame

from takestats.errors import DesignError
from takestats.planning.plan_rows import (
    NAN,
    Asked,
    Row,
    aim,
    first_sentences,
    rule_of,
    told_plan,
    worst_of,
)
from takestats.planning.textbook import textbook_size
from takestats.planning.tray_plan import TrayPlan
from takestats.wording import plan_refusals as refusals
from takestats.wording import planning as words


def textbook_plan(asked: Asked) -> TrayPlan:
    """Answer every correlation by the formula of the basis."""
    question = asked.question
    rows, steady = [], None
    for icc in asked.iccs:
        found = textbook_size(question, asked.basis, icc, asked.wanted, asked.most)
        if not found.reached and asked.at_most_grafts is None:
            raise DesignError(
                where="most_trays",
                what=refusals.unreachable_what(
                    question.kind, aim(question), asked.most, found.power, asked.wanted, icc
                ),
                rule="the number of trays looked at is bounded by most_trays",
                next_step="allow more trays, or ask with basis='normal'",
            )
        steady = found.steady
        rows.append(
            Row(icc=icc, trays=found.trays, power=found.power, width=NAN, reached=found.reached)
        )
    worst = worst_of(rows)
    notes = [words.BASIS_NOTES[asked.basis]]
    if steady is not None and steady != worst.trays:
        notes.append(words.steady_note(worst.trays, steady))
    sentences = first_sentences(asked, rows, worst)
    none = DataFrame(columns=["icc_a", "icc_b", "trays", "power"])
    rates = [NAN] * len(rows)
    rule = rule_of(question)
    return told_plan(asked, rows, worst, rates, None, none, sentences, rule, notes)
