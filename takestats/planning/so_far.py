"""The first stage has been counted: go on, drop it, or wait?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from takestats.errors import DesignError
from takestats.interval import check_counts
from takestats.planning.two_stage import TwoStage
from takestats.wording import two_stage as words

Decision = Literal["wait", "graft the first stage", "drop", "go on", "give up", "keep"]


@dataclass(frozen=True, kw_only=True)
class SoFar:
    """What a two-stage rule says of the grafts made so far.

    Parameters
    ----------
    decision : str
        "wait" (the count is not final), "graft the first stage" (it is not complete), "drop",
        "go on", "give up" or "keep".
    sentence : str
    taken, grafted : int
    """

    decision: Decision
    sentence: str
    taken: int
    grafted: int


def read_so_far(rule: TwoStage, taken: int, grafted: int, *, settled: bool) -> SoFar:
    """So many of so many took: does the rule say go on, drop it, or wait?

    Parameters
    ----------
    rule : TwoStage
    taken, grafted : int
        Of the new combination, all stages together.
    settled : bool
        Whether this is the settled count; a first count never decides.

    Raises
    ------
    CountsError
        For counts that cannot be.
    DesignError
        When more grafts were made than the rule has: it was not followed.

    Notes
    -----
    In the second stage it is said as soon as it is certain: more than the cut have taken, or what
    is left cannot reach it.

    Examples
    --------
    >>> from takestats.planning.two_stage import two_stage
    >>> read_so_far(two_stage(0.7, 0.9), 4, 6, settled=True).decision
    'drop'
    """
    took, made = check_counts(taken, grafted)
    if made > rule.total:
        raise DesignError(
            where="grafted",
            what=words.past_the_rule(made, rule.total),
            rule="the rule's chances hold for its own numbers of grafts only",
            next_step="read the take with its interval (take_rates) instead of the rule",
        )
    left = rule.total - made
    decision: Decision
    if not settled:
        decision = "wait"
    elif made < rule.first:
        decision = "graft the first stage"
        if took + rule.first - made <= rule.drop_at_or_below:
            decision = "drop"
    elif made == rule.first:
        decision = "drop" if took <= rule.drop_at_or_below else "go on"
    elif took > rule.fail_at_or_below:
        decision = "keep"
    else:
        decision = "give up" if took + left <= rule.fail_at_or_below else "go on"
    return SoFar(
        decision=decision,
        sentence=words.so_far_sentence(decision, took, made, rule.first, rule.total),
        taken=took,
        grafted=made,
    )
