"""Around a plan: its own numbers stand among the simulated ones."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

import takestats as ts
from takestats.planning.plan_looks import power_by_tray_size, power_by_trays, usual_counts
from takestats.planning.tray_plan import TrayPlan


@pytest.fixture(scope="module")
def plan() -> TrayPlan:
    return ts.trays_to_tell_apart(0.6, 0.95, 12, icc=[0.05, 0.2])


def test_the_plan_stands_in_its_curve_with_its_own_digits(plan) -> None:
    said: list[str] = []
    curve = power_by_trays(plan, said.append)
    for row in plan.table.itertuples():
        mine = curve[(curve["icc"] == row.icc) & (curve["trays"] == row.trays)]
        assert mine["power"].tolist() == [row.power]
    assert not curve.duplicated(["icc", "trays"]).any()
    assert said[0].startswith("power against trays, 1 of ")
    assert (curve.groupby("icc")["trays"].diff().dropna() > 0).all()


def test_tray_sizes_with_as_many_trays_and_with_half(plan) -> None:
    sizes = power_by_tray_size(plan)
    own = sizes[(sizes["trays"] == plan.trays) & (sizes["tray_size"] == 12)]
    assert own["power"].tolist() == [plan.power]
    assert set(sizes["tray_size"]) == {3, 6, 12, 24, 48}
    assert (sizes["grafts"] == 2 * sizes["trays"] * sizes["tray_size"]).all()


def test_a_textbook_plan_has_no_looks() -> None:
    plan = ts.trays_to_estimate(0.5, 0.05, 1, icc=0, basis="normal")
    assert power_by_trays(plan).empty
    assert power_by_tray_size(plan).empty


@pytest.mark.parametrize(("take", "icc", "size"), [(0.9, 0.2, 30), (0.8, 0.02, 12), (0.5, 0.0, 10)])
def test_nine_trays_in_ten_lie_between_the_counts(take: float, icc: float, size: int) -> None:
    # Drawn by another way: a tray's own take first, then its grafts.
    rng = np.random.default_rng(3)
    own = np.full(200_000, take)
    if icc > 0:
        own = rng.beta(take * (1 / icc - 1), (1 - take) * (1 / icc - 1), 200_000)
    counts = rng.binomial(size, own)
    low, high = usual_counts(take, icc, size)
    assert (counts < low).mean() <= 0.05 + 0.002
    assert (counts > high).mean() <= 0.05 + 0.002
    assert (counts <= low).mean() > 0.05 - 0.002
    assert (counts >= high).mean() > 0.05 - 0.002 or high == size
    if icc == 0:
        assert (low, high) == tuple(stats.binom.ppf([0.05, 0.95], size, take).astype(int))
