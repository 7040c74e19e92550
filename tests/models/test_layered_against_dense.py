"""The fits of two layers against dense integration that shares no code with them."""

from __future__ import annotations

import numpy as np
import pytest

from takestats.models.layered import sample_layers
from takestats.models.layered_groups import group_draws
from tests.models.layered_dense import grouped, paired

WANT = [0.025, 0.5, 0.975]
Group = tuple[list[int], list[int]]

TWO_GROUPS: list[Group] = [([17, 20, 19], [20, 20, 20]), ([12, 15], [20, 20])]
THREE_GROUPS: list[Group] = [
    ([17, 20, 19, 18], [20] * 4),
    ([6, 1, 10, 7], [20] * 4),
    ([18, 15, 16, 16], [20] * 4),
]
NEARLY_FULL: list[Group] = [([20, 20], [20] * 2), ([20, 20, 20], [20] * 3), ([15], [15])]


@pytest.mark.parametrize(
    "groups",
    [
        TWO_GROUPS,
        pytest.param(THREE_GROUPS, marks=pytest.mark.calibration),
        pytest.param(NEARLY_FULL, marks=pytest.mark.calibration),
    ],
    ids=["two", "three", "full"],
)
def test_groups(groups: list[Group]) -> None:
    expected = grouped(groups)
    k = [a for taken, _ in groups for a in taken]
    n = [b for _, tried in groups for b in tried]
    unit = [i for i, (taken, _) in enumerate(groups) for _ in taken]
    post = sample_layers(k, n, np.ones((len(k), 1)), unit, layer="grouping")
    found = post.quantiles(post.averaged_take([[1.0]])[:, 0], WANT)
    np.testing.assert_allclose(found, expected["take"], atol=0.005)
    evidence = [p.view.log_evidence for p in post.layered]
    np.testing.assert_allclose(np.diff(evidence), np.diff(expected["evidence"]), atol=0.03)
    own = group_draws(post).takes([[1.0]])
    for i in range(len(groups)):
        np.testing.assert_allclose(np.quantile(own[:, i], WANT), expected[f"group {i}"], atol=0.005)


PAIRS = [(9, 12, 11, 12), (7, 12, 10, 12), (12, 12, 12, 12), (10, 12, 8, 12)]
SOME_WITH_ONE = [(9, 12, 11, 12), (7, 12, 10, 12), (12, 12, 0, 0), (10, 12, 8, 12), (3, 12, 9, 12)]
ONE_FULL = [(9, 12, 12, 12), (7, 12, 12, 12), (12, 12, 12, 12)]


@pytest.mark.parametrize(
    ("trays", "row_effect"),
    [
        (SOME_WITH_ONE, False),
        pytest.param(PAIRS, True, marks=pytest.mark.calibration),
        pytest.param(ONE_FULL, True, marks=pytest.mark.calibration),
    ],
    ids=["some with one", "pairs", "one full"],
)
def test_rows_of_a_tray(trays: list[tuple[int, int, int, int]], row_effect: bool) -> None:
    expected = paired(trays, row_effect=row_effect)
    data = np.array(trays)
    k, n = np.concatenate([data[:, 0], data[:, 2]]), np.concatenate([data[:, 1], data[:, 3]])
    x = np.column_stack([np.ones(k.size), np.repeat([0.0, 1.0], len(trays))])
    kept = n > 0
    unit = np.tile(np.arange(len(trays)), 2)
    post = sample_layers(
        k[kept], n[kept], x[kept], unit[kept], layer="rows", level=x[kept, 1], row_effect=row_effect
    )
    takes = post.averaged_take([[1.0, 0.0], [1.0, 1.0]])
    found = post.quantiles(np.column_stack([takes, takes[:, 1] - takes[:, 0]]), WANT)
    for i, name in enumerate(("a", "b", "difference")):
        np.testing.assert_allclose(found[:, i], expected[name], atol=0.005, err_msg=name)
    evidence = [p.view.log_evidence for p in post.layered]
    np.testing.assert_allclose(np.diff(evidence), np.diff(expected["evidence"]), atol=0.03)
