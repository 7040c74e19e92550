"""Grafts are given to weeks whenever the weeks can hold them, and as early as can be."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from takestats.order.checked_limits import checked_task
from takestats.order.given_limits import Limits, Source, bounds_of
from takestats.order.grafting_weeks import grafts_by_week
from takestats.order.lifted_limits import weeks_of_growth


@st.composite
def windows(draw: st.DrawFn) -> tuple[list[int], list[Source], list[int]]:
    weeks = draw(st.integers(1, 5))
    most = draw(st.lists(st.integers(0, 9), min_size=weeks, max_size=weeks))
    sources, grafts = [], []
    for i in range(draw(st.integers(1, 4))):
        first = draw(st.integers(0, weeks - 1))
        sources.append(
            Source(
                combination=f"scion {i} on stock",
                wood="terminal",
                understock="stock",
                saleable_per_graft=0.5,
                first_week=first,
                last_week=draw(st.integers(first, weeks - 1)),
            )
        )
        grafts.append(draw(st.integers(0, 12)))
    return grafts, sources, most


# Held against a transport problem with an unknown for every source and week (scipy's linprog).
@given(windows())
def test_everything_fits_when_it_can_and_as_early_as_it_can(given_) -> None:
    grafts, sources, most = given_
    made = grafts_by_week(grafts, sources, most)
    assert (made.sum(axis=0) <= most).all()
    assert (made.sum(axis=1) <= grafts).all()
    n, weeks = len(sources), len(most)
    sums = np.zeros((n + weeks, n * weeks))
    for i, source in enumerate(sources):
        sums[i, i * weeks : (i + 1) * weeks] = 1
        assert not made[i, : source.first_week].any()
        assert not made[i, source.last_week + 1 :].any()
    for week in range(weeks):
        sums[n + week, week::weeks] = 1
    open_weeks = [
        (0, None if s.first_week <= week <= s.last_week else 0)
        for s in sources
        for week in range(weeks)
    ]
    early = linprog(
        np.tile(np.arange(weeks), n),
        A_eq=sums[:n],
        b_eq=grafts,
        A_ub=sums[n:],
        b_ub=most,
        bounds=open_weeks,
    )
    fits = bool((made.sum(axis=1) == grafts).all())
    assert fits == (early.status == 0)
    if fits:
        assert (made @ np.arange(weeks)).sum() == pytest.approx(early.fun, abs=1e-6)
    limits = Limits(
        weeks=tuple(map(str, range(weeks))), grafts_a_week=tuple(most), pieces={}, understocks={}
    )
    bounds = bounds_of(tuple(sources), limits)
    assert fits == all(sum(grafts[i] for i in b.members) <= b.most for b in bounds)


@settings(max_examples=40)
@given(windows())
def test_more_grafts_a_week_start_as_early_as_they_serve(given_) -> None:
    grafts, sources, most = given_
    limits = Limits(
        weeks=tuple(f"week {i}" for i in range(len(most))),
        grafts_a_week=(*most[:-1], max(1, most[-1])),
        pieces={},
        understocks={},
    )
    wanted = {source.combination: 1 for source in sources}
    task = checked_task(sources, wanted, limits, None)
    asked = np.array(grafts, dtype=float)
    first, last = weeks_of_growth(task, asked)
    made = grafts_by_week(grafts, task.sources, limits.grafts_a_week)
    if made.sum() == sum(grafts):
        assert (first, last) == (-1, -1)
        return
    roomy = list(limits.grafts_a_week)
    for week in range(first, last + 1):
        roomy[week] += sum(grafts)
    assert grafts_by_week(grafts, task.sources, roomy).sum() == sum(grafts)
