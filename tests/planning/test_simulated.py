"""Are simulated trays what they say they are?"""

from __future__ import annotations

import numpy as np
import pytest

from takestats.planning.question import Question
from takestats.planning.simulated import simulated_counts

TRIALS = 20_000


@pytest.mark.parametrize("within", [False, True])
@pytest.mark.parametrize("icc", [0.05, 0.20])
def test_takes_and_correlation_are_met_by_both_halves(icc: float, within: bool) -> None:
    question = Question(
        kind="tell_apart", take_a=0.80, take_b=0.92, tray_size=20, within_trays=within
    )
    arms = simulated_counts(question, 4, (icc, icc), TRIALS, (3,))
    for half in (slice(0, TRIALS // 2), slice(TRIALS // 2, None)):
        iccs = []
        for take, size, counts in zip(question.takes, question.sizes, arms, strict=True):
            share = counts[half] / size
            assert share.mean() == pytest.approx(take, abs=0.004)
            chance = take * (1.0 - take)
            iccs.append((share.var() - chance / size) / chance * size / (size - 1.0))
        # The logit-normal half shares one spread: the correlations agree on average.
        assert np.mean(iccs) == pytest.approx(icc, rel=0.08)


def test_arms_of_one_tray_go_together_and_others_do_not() -> None:
    for within, together in ((True, True), (False, False)):
        question = Question(
            kind="tell_apart", take_a=0.8, take_b=0.8, tray_size=40, within_trays=within
        )
        a, b = simulated_counts(question, 1, (0.2, 0.2), 4_000, (4,))
        correlation = float(np.corrcoef(a[:, 0], b[:, 0])[0, 1])
        assert (correlation > 0.5) == together
        assert together or abs(correlation) < 0.06


def test_nothing_varies_at_the_ends_and_without_correlation() -> None:
    question = Question(kind="tell_apart", take_a=1.0, take_b=0.5, tray_size=10)
    a, b = simulated_counts(question, 3, (0.1, 0.1), 500, (5,))
    assert np.all(a == 10)
    assert b.var() > 3.0
    _, b = simulated_counts(question, 3, (0.0, 0.0), 4_000, (5,))
    assert b.var() == pytest.approx(2.5, rel=0.1)


def test_same_seed_same_counts() -> None:
    question = Question(kind="above_floor", take_a=0.7, take_b=0.9, tray_size=12)
    one, again, other = (
        simulated_counts(question, 4, (0.1,), 50, seed)[0] for seed in ((1,), (1,), (2,))
    )
    assert np.array_equal(one, again)
    assert not np.array_equal(one, other)
