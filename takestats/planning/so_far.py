"""The first stage has been counted: go on, drop it, or wait?"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from takestats.errors import DesignError
from takestats.interval import check_counts
from takestats.planning.two_stage import TwoStage
from takestats.wording import two_stage as words

_STAGE = re.compile(r"([\d,]+)\s+grafts?\s*:\s*(?:drop|give up) at ([\d,]+)")
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


@dataclass(frozen=True, kw_only=True)
class StagedRule:
    """The four numbers of a two-stage rule, as settings hold them.

    Parameters
    ----------
    first, drop_at_or_below, total, fail_at_or_below : int
        Grafts.
    """

    first: int
    drop_at_or_below: int
    total: int
    fail_at_or_below: int


def read_stages(stages: object) -> StagedRule | None:
    """Which rule do the stages of the settings hold? None where they are in other words.

    Parameters
    ----------
    stages : list of str, or str
        As :func:`takestats.planning.plan_settings.plan_settings` writes them; in a sheet they
        stand in one cell, parted by a semicolon.

    Examples
    --------
    >>> read_stages(["6 grafts: drop at 4 or fewer", "27 grafts: give up at 22 or fewer"]).total
    27
    """
    texts = stages
    if isinstance(stages, str):
        texts = [part for part in stages.split(";") if part.strip()]
    if not isinstance(texts, list | tuple):
        return None
    found = [_STAGE.search(str(text)) for text in texts]
    if len(found) != 2 or found[0] is None or found[1] is None:
        return None
    (first, drop), (total, fail) = (
        (int(part.group(1).replace(",", "")), int(part.group(2).replace(",", "")))
        for part in found
        if part is not None
    )
    if not 0 <= drop < first < total or not drop <= fail < total:
        return None
    return StagedRule(first=first, drop_at_or_below=drop, total=total, fail_at_or_below=fail)


def read_so_far(rule: TwoStage | StagedRule, taken: int, grafted: int, *, settled: bool) -> SoFar:
    """So many of so many took: does the rule say go on, drop it, or wait?

    Parameters
    ----------
    rule : TwoStage or StagedRule
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
