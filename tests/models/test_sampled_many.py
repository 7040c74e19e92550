"""Do many lines and coefficients get the same answer by the short way as by the long one?"""

from __future__ import annotations

import numpy as np

from takestats.models import sampled_design
from takestats.models.sampled import sample_posterior
from takestats.models.sampled_design import merge_lines


def _season() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    rng = np.random.default_rng(11)
    trays, kinds = 300, 5
    method, kind = np.arange(trays) % 2, rng.integers(0, kinds, trays)
    odds = 2.3 - 0.6 * method + rng.normal(0, 0.4, kinds)[kind] + rng.normal(0, 0.5, trays)
    taken = rng.binomial(30, 1.0 / (1.0 + np.exp(-odds))).astype(float)
    taken[kind == 4] = 30.0  # every graft of one kind took: a cliff on one side
    design = np.column_stack([np.ones(trays), method, *(kind == i for i in range(1, kinds))])
    return taken, np.full(trays, 30.0), design.astype(float), method


def test_the_short_way_agrees_with_the_long_one(monkeypatch):
    # Reference: the same posterior by the way that tests hold to dense grids (test_sampled). A
    # limit moves by about 2 % of the width from seed to seed, so 8 % is far outside chance.
    taken, tried, design, method = _season()
    rows = np.vstack([np.r_[1.0, m, kind] for m in (0, 1) for kind in np.eye(5)[:, 1:]])
    found = []
    for lines, coefficients in ((40, 3), (10_000, 100)):
        monkeypatch.setattr(sampled_design, "MANY_LINES", lines)
        monkeypatch.setattr(sampled_design, "MANY_COEFFICIENTS", coefficients)
        assert merge_lines(taken, tried, design).many == (lines == 40)
        post = sample_posterior(taken, tried, design, spread_group=method)
        assert not post.notes
        takes = post.averaged_take(rows, spread_group=[0] * 5 + [1] * 5)
        gap = takes[:, :5].mean(axis=1) - takes[:, 5:].mean(axis=1)
        found.append(post.quantiles(np.column_stack([gap, takes]), [0.025, 0.5, 0.975]))
    short, long = found
    assert np.all(np.abs(short - long) < 0.08 * (long[2] - long[0]))
    assert short[2, 5] > 0.99
