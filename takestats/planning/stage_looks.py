"""What does a two-stage rule do with a combination of any true take?"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from pandas import DataFrame

from takestats.planning.two_stage import TwoStage
from takestats.planning.two_stage_rules import (
    TRUTHS,
    binomial_chances,
    kept_chance,
    tray_chances,
)

_STEP, _NEAR = 0.05, 0.015
_BELOW, _ABOVE = 0.20, 0.10


def chances_by_take(rule: TwoStage, takes: Sequence[float] | None = None) -> DataFrame:
    """How often is it dropped after the first stage, and how often kept, by its true take?

    Parameters
    ----------
    rule : TwoStage
    takes : sequence of float, optional
        Proportions inside 0 to 1; every five points around the two takes of the rule when not
        given.

    Returns
    -------
    DataFrame
        take, dropped, kept, expected_grafts.

    Notes
    -----
    Exact, as the rule itself: grafts by themselves, or whole trays averaged over the
    beta-binomial and the logit-normal model.

    Examples
    --------
    >>> from takestats.planning.two_stage import two_stage
    >>> bool(chances_by_take(two_stage(0.7, 0.9), [0.7])["kept"].iloc[0] < 0.05)
    True
    """
    step = rule.tray_size or 1
    numbers = (rule.first, rule.drop_at_or_below, rule.total, rule.fail_at_or_below)
    rows: list[dict[str, Any]] = []
    for take in _around(rule) if takes is None else takes:
        if rule.tray_size is None:
            chances = [binomial_chances(take, 1)]
        else:
            chances = [tray_chances(take, rule.icc, step, truth) for truth in TRUTHS]
        each = [one(rule.first // step)[: rule.drop_at_or_below + 1].sum() for one in chances]
        dropped = float(np.mean(each))
        rows.append(
            {
                "take": take,
                "dropped": dropped,
                "kept": kept_chance(take, rule.icc, rule.tray_size, numbers),
                "expected_grafts": rule.first + (1.0 - dropped) * (rule.total - rule.first),
            }
        )
    return DataFrame(rows)


def _around(rule: TwoStage) -> list[float]:
    """Every five points around the two takes of the rule, and these, not twice in one percent."""
    own = (rule.floor, rule.promising)
    first = max(1, math.ceil((rule.floor - _BELOW) / _STEP - 1e-9))
    last = min(19, math.floor((rule.promising + _ABOVE) / _STEP + 1e-9))
    steps = [_STEP * k for k in range(first, last + 1)]
    return sorted([*own, *(x for x in steps if min(abs(x - take) for take in own) > _NEAR)])
