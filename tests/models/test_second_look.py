"""Second looks by hand, and silent where the counts leave them nothing to say."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from takestats.models.second_look import Method, estimating_equations, no_answer, quasi_binomial
from takestats.models.wald import as_it_is

Floats = NDArray[np.float64]
ARMS = np.array([[1.0, 0.0]] * 4 + [[1.0, 1.0]] * 4)
TRAYS = np.arange(8)
ALIKE = "no answer: all trays of a level are alike, so nothing shows how much trays vary"
SINGLE = "no answer: every tray holds one graft, so nothing shows how much trays vary"


def reason(k: list[float], n: list[float], method: Method, trays_a: int = 4) -> str:
    """What no_answer says of two arms, one tray a line."""
    second = (np.arange(len(k)) >= trays_a).astype(float)
    names = np.where(second > 0, "cleft", "side veneer").tolist()
    return no_answer(
        np.array(k),
        np.array(n),
        {"method": names},
        2,
        len(k),
        design=np.column_stack([np.ones(len(k)), second]),
        method=method,
        tray_of=np.arange(len(k)),
    )


def test_the_difference_of_two_arms_by_hand() -> None:
    k = np.array([31.0, 36.0, 33.0, 38.0, 39.0, 37.0, 40.0, 38.0])
    found = quasi_binomial(k, np.full(8, 40.0), ARMS)
    p = k.reshape(2, 4).sum(axis=1) / 160
    expected = np.repeat(40 * p, 4)
    chi2 = (((k - expected) ** 2) / (expected * np.repeat(1 - p, 4))).sum()
    se = np.sqrt((p * (1 - p) / 160).sum() * chi2 / 6)
    one = np.ones(1)
    gap = found.contrast(
        [(1.0, np.array([[1.0, 1.0]]), one), (-1.0, np.array([[1.0, 0.0]]), one)], 0.95, as_it_is
    )
    # 2.446912: t, 6 degrees of freedom, printed tables.
    assert gap.estimate == pytest.approx(p[1] - p[0], abs=1e-9)
    assert gap.low == pytest.approx(p[1] - p[0] - 2.446912 * se, abs=1e-6)
    assert gap.high == pytest.approx(p[1] - p[0] + 2.446912 * se, abs=1e-6)


def test_the_correction_is_mancl_and_derouens() -> None:
    # Equal trays, one take: each tray's residual is divided by 1 - 1/trays
    # (Mancl & DeRouen 2001, Biometrics 57:126, from memory), by hand.
    k, n = np.array([31.0, 36.0, 33.0, 38.0, 25.0]), 40.0
    found = estimating_equations(k, np.full(5, n), np.ones((5, 1)), np.arange(5))
    p = k.sum() / (5 * n)
    residual = (k - n * p) / (1 - 1 / 5)
    expected = (residual**2).sum() / (5 * n * p * (1 - p)) ** 2
    assert found.covariance[0, 0] == pytest.approx(expected, rel=1e-6)
    assert found.df == 4


@pytest.mark.parametrize("method", ["quasi", "gee", "ml"])
def test_full_and_empty_levels(method: Method) -> None:
    n = [40.0] * 8
    rest = [30.0, 36.0, 38.0, 33.0]
    assert reason([40.0] * 4 + rest, n, method) == "no answer: every graft of side veneer took"
    assert reason([0.0] * 4 + rest, n, method) == "no answer: no graft of side veneer took"
    assert reason([*rest, 31.0, 39.0, 37.0, 40.0], n, method) == ""


def test_trays_that_are_all_alike() -> None:
    # The library's own answer here: a difference with limits of no width.
    n = [40.0] * 8
    both, one = [30.0] * 4 + [36.0] * 4, [30.0] * 4 + [36.0, 38.0, 33.0, 40.0]
    assert reason(both, n, "quasi") == ALIKE
    assert reason(both, n, "gee") == ALIKE
    assert reason(one, n, "quasi") == ""
    assert reason(one, n, "gee") == ALIKE
    assert reason(both, n, "ml") == ""
    bare = estimating_equations(np.array(both), np.array(n), ARMS, TRAYS)
    np.testing.assert_allclose(bare.standard_errors, 0.0, atol=1e-6)


def test_trays_alike_in_cells_are_no_fault_of_a_design_that_does_not_fit_them() -> None:
    # Additive 2 x 2: what the cells leave over shows how much trays vary.
    x = np.array([[1.0, a, b] for a in (0, 1) for b in (0, 1)] * 2)
    k = np.array([30.0, 34, 36, 31] * 2)
    for method in ("quasi", "gee"):
        said = no_answer(k, np.full(8, 40.0), {}, 3, 8, design=x, method=method)  # type: ignore[arg-type]
        assert said == ""


def test_a_level_of_one_tray_leaves_the_correction_without_an_answer() -> None:
    k, n = [30.0, 36.0, 31.0, 38.0], [40.0] * 4
    assert reason(k, n, "gee", trays_a=1) == "no answer: one tray of side veneer alone"
    assert reason(k, n, "quasi", trays_a=1) == ""
    assert reason(k, n, "ml", trays_a=1) == ""


def test_a_slope_that_hangs_on_one_tray() -> None:
    x = np.column_stack([np.ones(6), [0.0, 0, 0, 0, 0, 9.0]])
    k = np.array([30.0, 36, 31, 38, 35, 20])
    said = no_answer(k, np.full(6, 40.0), {}, 2, 6, design=x, method="gee")
    assert said == "no answer: a coefficient hangs on one tray alone"
    spread_out = np.column_stack([np.ones(6), [0.0, 1, 2, 3, 4, 9.0]])
    assert no_answer(k, np.full(6, 40.0), {}, 2, 6, design=spread_out, method="gee") == ""


def test_trays_of_one_graft() -> None:
    k, n = [1.0, 0.0, 1.0, 1.0, 1.0, 0.0, 0.0, 1.0], [1.0] * 8
    assert reason(k, n, "quasi") == SINGLE
    assert reason(k, n, "ml") == SINGLE
    assert reason(k, n, "gee") == ""


def test_every_trial_has_an_answer_with_width_or_a_reason() -> None:
    rng = np.random.default_rng(11)
    answered = 0
    for _ in range(40):
        trays = int(rng.integers(1, 6))
        n = rng.integers(2, 21, 2 * trays).astype(float)
        k = rng.binomial(n.astype(int), np.clip(rng.normal(0.9, 0.1, 2 * trays), 0, 1))
        x = np.column_stack([np.ones(2 * trays), np.repeat([0.0, 1.0], trays)])
        for method, fit in (
            ("quasi", lambda k, n, x: quasi_binomial(k, n, x)),
            ("gee", lambda k, n, x: estimating_equations(k, n, x, np.arange(k.size))),
        ):
            if reason(k.tolist(), n.tolist(), method, trays_a=trays):  # type: ignore[arg-type]
                continue
            found = fit(k.astype(float), n, x)
            takes = [found.take(row[None, :], np.ones(1), 0.95) for row in np.unique(x, axis=0)]
            answered += 1
            for take in takes:
                ordered = [0.0, take.low, take.estimate, take.high, 1.0]
                assert all(a <= b for a, b in pairwise(ordered))
                assert take.high > take.low
    assert answered > 20
