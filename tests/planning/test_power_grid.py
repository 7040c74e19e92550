"""Many sizes at once: the same digits on one core, on two, on a cluster."""

from __future__ import annotations

import pytest

from takestats.planning.power_grid import power_grid
from takestats.planning.question import Question

ASKED = Question(kind="tell_apart", take_a=0.7, take_b=0.95, tray_size=12)
SIZES = {"iccs": (0.05, 0.2), "trays": (3, 6), "trials": 60}


def test_every_point_in_order_with_progress() -> None:
    seen: list[tuple[int, int]] = []
    table = power_grid(ASKED, **SIZES, progress=lambda done, total: seen.append((done, total)))
    assert seen == [(1, 4), (2, 4), (3, 4), (4, 4)]
    assert table["icc"].tolist() == [0.05, 0.05, 0.2, 0.2]
    assert table["trays"].tolist() == [3, 6, 3, 6]
    assert (table["grafts"] == 24 * table["trays"]).all()
    assert table.loc[1, "power"] > table.loc[0, "power"]
    assert (table["trials"] == 60).all()


def test_several_processes_give_the_same_digits() -> None:
    assert power_grid(ASKED, **SIZES, jobs=2).equals(power_grid(ASKED, **SIZES))


def test_an_interruption_stops_the_work() -> None:
    def stop(done: int, total: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        power_grid(ASKED, **SIZES, jobs=2, progress=stop)
    assert len(power_grid(ASKED, (0.05,), (3,), trials=20, jobs=2)) == 1


def test_a_local_cluster_gives_the_same_digits() -> None:
    distributed = pytest.importorskip("distributed", reason="the extra cluster is not installed")
    with (
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=1, processes=False, dashboard_address=None
        ) as cluster,
        distributed.Client(cluster),
    ):
        there = power_grid(ASKED, **SIZES, jobs=-1, backend="dask")
    assert there.equals(power_grid(ASKED, **SIZES))
