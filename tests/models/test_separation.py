"""Separation is found from the counts: published cases, a count by hand, a law."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import expit

from takestats.models.second_look import no_answer
from takestats.models.separation import unbounded_direction

FILE = Path(__file__).parent.parent / "reference" / "public_cases.json"
CASES = {case["id"]: case for case in json.loads(FILE.read_text(encoding="utf-8"))}


def test_endometrial_separation_is_found_in_the_right_column() -> None:
    # Heinze & Schemper 2002, Stat Med 21:2409-2419: the NV coefficient is infinite.
    data = CASES["endometrial_separation"]["data"]["inline_columns"]
    x = np.column_stack(
        [np.ones(79), *(np.array(data[c], dtype=float) for c in ("NV", "PI", "EH"))]
    )
    direction = unbounded_direction(data["HG"], np.ones(79), x)
    assert direction is not None
    assert direction[1] > 0
    np.testing.assert_allclose(direction[[0, 2, 3]], 0.0, atol=1e-9)
    assert unbounded_direction(data["HG"], np.ones(79), x[:, [0, 2, 3]]) is None


def test_constructed_full_cells_are_found() -> None:
    x = [[1, 0, 0], [1, 1, 0], [1, 0, 1]]
    assert unbounded_direction([20, 14, 17], [20] * 3, x) is not None
    blocked = [[1, 0, 0], [1, 1, 0], [1, 0, 1], [1, 1, 1]]
    assert unbounded_direction([12, 9, 12, 7], [12] * 4, blocked) is not None
    # A full cell of an additive design is no separation when the level has failures elsewhere.
    assert unbounded_direction([12, 9, 11, 7], [12] * 4, blocked) is None


def test_a_full_tray_in_a_level_with_failures_is_no_separation() -> None:
    assert unbounded_direction([20, 14, 17, 18], [20] * 4, [[1, 0], [1, 0], [1, 1], [1, 1]]) is None


def test_levels_that_meet_in_one_cell_only_can_be_separated_with_no_level_full() -> None:
    # Cleft north fails sometimes, cleft south never, side veneer stands in the south only:
    # no level is full, and yet south and side veneer can grow against each other.
    x = np.array([[1.0, 0, 0]] * 3 + [[1.0, 0, 1]] * 2 + [[1.0, 1, 1]] * 3)
    k = [31, 35, 33, 40, 40, 34, 38, 36]
    direction = unbounded_direction(k, [40] * 8, x)
    assert direction is not None
    np.testing.assert_allclose(direction, [0.0, -1.0, 1.0], atol=1e-9)
    look = no_answer(
        np.array(k, dtype=float),
        np.full(8, 40.0),
        {"method": ["a"] * 5 + ["b"] * 3, "house": ["n"] * 3 + ["s"] * 5},
        3,
        8,
        design=x,
    )
    assert look == "no answer: the full or empty trays leave a coefficient without a finite value"


@settings(max_examples=40)
@given(st.integers(0, 100_000))
def test_along_a_direction_the_binomial_never_falls(seed: int) -> None:
    rng = np.random.default_rng(seed)
    x = np.column_stack([np.ones(8), rng.integers(0, 2, 8), rng.normal(size=8)])
    n = np.full(8, 4.0)
    k = rng.binomial(4, expit(4 * x[:, 2])).astype(float)
    direction = unbounded_direction(k, n, x)
    if direction is None:
        return
    at = rng.normal(size=3)
    heights = [
        float((k * np.log(expit(x @ b)) + (n - k) * np.log(expit(-(x @ b)))).sum())
        for b in (at + t * direction / np.abs(x @ direction).max() for t in range(6))
    ]
    assert np.all(np.diff(heights) >= -1e-9)
    assert heights[-1] > heights[0]
