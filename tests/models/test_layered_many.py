"""Do many trays get the same answer by the short way as by the long one?"""

from __future__ import annotations

import numpy as np
import pytest

from takestats.models import layered, layered_rows
from takestats.models.layered import sample_layers


def _season(rng: np.random.Generator) -> tuple[np.ndarray, ...]:
    trays, days, kinds = 420, 30, 6
    day = np.repeat(np.arange(days), trays // days)
    method, kind = np.arange(trays) % 2, rng.integers(0, kinds, trays)
    size = np.full(trays, 30.0)
    odds = 2.3 - 0.6 * method + rng.normal(0, 0.4, kinds)[kind]
    odds = odds + rng.normal(0, 0.25, days)[day] + rng.normal(0, 0.4, trays)
    taken = rng.binomial(30, 1.0 / (1.0 + np.exp(-odds))).astype(float)
    taken[kind == 5] = size[kind == 5]  # every graft of one kind took: a cliff on one side
    design = np.column_stack([np.ones(trays), method, *(kind == i for i in range(1, kinds))])
    return taken, size, design.astype(float), day, method, kind


def test_the_short_way_agrees_with_the_long_one(monkeypatch):
    # Reference: the same posterior by the way that tests hold to dense integration
    # (test_layered_against_dense). Both are sums over a few thousand draws: a limit moves by
    # about 2 % of the interval's width from seed to seed, so 8 % is far outside chance.
    taken, size, design, day, method, _ = _season(np.random.default_rng(8))
    rows = np.vstack([np.r_[1.0, m, kind_row] for m in (0, 1) for kind_row in np.eye(6)[:, 1:]])
    found = []
    for many in (200, 10_000):
        monkeypatch.setattr(layered_rows, "MANY", many)
        post = sample_layers(taken, size, design, day, layer="grouping", level=method)
        assert not post.notes
        takes = post.averaged_take(rows)
        asked = np.column_stack([takes[:, :6].mean(axis=1) - takes[:, 6:].mean(axis=1), takes])
        found.append(post.quantiles(asked, [0.025, 0.5, 0.975]))
    short, long = found
    width = long[2] - long[0]
    assert np.all(np.abs(short - long) < 0.08 * width)
    assert long[2, 6] > 0.99
    assert short[2, 6] > 0.99


def test_many_rows_are_counted_as_such(monkeypatch):
    monkeypatch.setattr(layered_rows, "MANY", 200)
    taken, size, design, day, method, _ = _season(np.random.default_rng(8))
    rows = layered_rows.layered_rows(taken, size, design, day, layer="grouping", level=method)
    assert rows.many
    assert rows.points == layered_rows.FEW_POINTS


@pytest.mark.parametrize("seed", [2, 3])
def test_same_seed_same_digits_side_by_side(seed, monkeypatch):
    monkeypatch.setattr(layered_rows, "MANY", 200)
    taken, size, design, day, method, _ = _season(np.random.default_rng(seed))
    one, two = (
        sample_layers(taken, size, design, day, layer="grouping", level=method, seed=seed)
        for _ in range(2)
    )
    assert np.array_equal(one.coefficients, two.coefficients)
    assert np.array_equal(one.weights, two.weights)


def _uneven(seed: int) -> tuple[np.ndarray, ...]:
    """Trays of two methods on 24 days that differ much from tray to tray."""
    rng = np.random.default_rng(seed)
    trays = 240
    day, method = np.arange(trays) % 24, rng.integers(0, 2, trays)
    odds = 1.2 + rng.normal(0, 0.3, 24)[day] + 1.3 * rng.normal(size=trays) + 0.5 * method
    taken = rng.binomial(30, 1.0 / (1.0 + np.exp(-odds))).astype(float)
    design = np.column_stack([np.ones(trays), method]).astype(float)
    return taken, np.full(trays, 30.0), design, day


def test_few_draws_of_an_unlikely_family_leave_the_limits_where_they_are(monkeypatch):
    # Reference: both families drawn alike. What is left out is far below the 2 % of the
    # width by which a limit may move from seed to seed.
    taken, size, design, day = _uneven(4)
    found, drawn = [], []
    for share in (layered._SHARE, 1e9):
        monkeypatch.setattr(layered, "_SHARE", share)
        post = sample_layers(taken, size, design, day, layer="grouping")
        assert not post.notes
        takes = post.averaged_take([[1, 0], [1, 1]])
        asked = np.column_stack([takes, takes[:, 1] - takes[:, 0]])
        found.append(post.quantiles(asked, [0.025, 0.5, 0.975]))
        drawn.append([part.view.log_weight.size for part in post.layered])
    assert drawn[1] == [8192, 8192]
    assert min(drawn[0]) <= 8192 // 8
    assert min(part.view.probability for part in post.layered) < 0.05
    short, whole = found
    assert np.all(np.abs(short - whole) < 0.005 * (whole[2] - whole[0]))


@pytest.mark.slow
def test_limits_of_many_coefficients_move_little_from_seed_to_seed():
    # The bar is an SD of 2 % of the width over 20 seeds, for every limit.
    rng = np.random.default_rng(5)
    trays, kinds = 640, 64
    kind, day = rng.integers(0, kinds, trays), np.arange(trays) % 40
    odds = 1.8 + rng.normal(0, 0.5, kinds)[kind] + rng.normal(0, 0.3, 40)[day]
    odds = odds + rng.normal(0, 0.5, trays)
    taken = rng.binomial(30, 1.0 / (1.0 + np.exp(-odds))).astype(float)
    size = rng.integers(30, 33, trays).astype(float)
    design = (kind[:, None] == np.arange(kinds)).astype(float)
    limits = np.array(
        [
            post.quantiles(post.averaged_take(np.eye(kinds)), [0.025, 0.975])
            for post in (
                sample_layers(taken, size, design, day, layer="grouping", level=kind, seed=seed)
                for seed in range(1, 21)
            )
        ]
    )
    width = (limits[:, 1] - limits[:, 0]).mean(axis=0)
    assert np.all(limits.std(axis=0, ddof=1) <= 0.02 * width)
