"""How long does an order take, beside peers that fit the same lines?"""

from __future__ import annotations

import numpy as np

import takestats as ts
from tests.benchmarks.measures import Speed
from tests.benchmarks.peers import Peer, mixed_model, quasi_binomial
from tests.benchmarks.timing import timed
from tests.benchmarks.whole_report import DEMO

_RUNS, _PEER_RUNS = 4, 5


def orders() -> list[Speed]:
    """The order of the demo's nursery on its three seasons; peers fit a take a season."""
    settings = DEMO / "trial.toml"
    records = ts.read_records(sorted(map(str, DEMO.glob("season_*.csv"))), trial=settings)
    lines = records.trays.dropna(subset=["combination", "season", "taken"])
    frame = lines[["grafted", "taken"]].astype(int).assign(tray=lines["tray_id"].astype(str))
    cells = (lines["combination"].astype(str) + ", " + lines["season"].astype(str)).to_numpy()
    matrix = (cells[:, None] == np.unique(cells)[None, :]).astype(float)
    peers: list[Peer | None] = [
        quasi_binomial(frame, matrix, _PEER_RUNS),
        mixed_model(frame, matrix, 1),
    ]
    return [
        Speed(
            f"an order for {len(records.trial.targets)} combinations on three seasons, "
            f"{len(frame)} tray lines",
            float("nan"),
            timed(lambda: ts.understock_order(records), runs=_RUNS),
            tuple(peer for peer in peers if peer is not None),
        )
    ]
