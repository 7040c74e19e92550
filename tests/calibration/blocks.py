"""Trays in blocks: a method given to whole blocks, or both methods in every block.

Blocks are drawn around one middle, trays around each block; the records are sent the
whole way, through ``fit_take`` with the block column it finds by itself. In the second
case the interval is held beside the one that ignores the blocks.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
import pandas as pd

import takestats as ts
from tests.calibration.bars import Verdict, share
from tests.calibration.grouping import Layers, layers_of
from tests.calibration.through_fit import Tally, with_taken
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL

FLOOR, WIDTH_BAR = 0.91, 0.9
WHOLE, BOTH = "a method given to whole blocks", "both methods in every block"
_METHODS = ("cleft", "side veneer")
_ICC = 0.05
_TRAYS = 4
_BENCHES = 5


@dataclass(frozen=True)
class Setting:
    """One truth of two methods in blocks of four trays."""

    block: str
    takes: tuple[float, float]
    blocks: int
    between: float
    truth: str


def block_settings() -> list[Setting]:
    """3 and 6 blocks, two pairs of takes, two spreads between blocks, both families."""
    return [
        Setting(how, takes, blocks, between, truth)
        for how in (WHOLE, BOTH)
        for takes in ((0.80, 0.90), (0.90, 0.97))
        for blocks in (3, 6)
        for between in (0.4, 0.8)
        for truth in (BETA_BINOMIAL, LOGIT_NORMAL)
    ]


def _bench(rng: np.random.Generator, setting: Setting) -> pd.DataFrame:
    place = np.repeat(np.arange(setting.blocks), _TRAYS)
    within = np.tile(np.arange(_TRAYS), setting.blocks)
    method = place % 2 if setting.block == WHOLE else within % 2
    sizes = rng.integers(16, 41, place.size)
    return pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i + 1:02d}" for i in range(place.size)],
            "block": [f"B{i + 1}" for i in place],
            "method": [_METHODS[m] for m in method],
            "grafted": sizes,
            "taken": sizes,
            "count_date": "2026-06-15",
        }
    )


def judge_blocks(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting; takes, difference, and the width beside a fit without blocks."""
    rng = np.random.default_rng(seed)
    truths: list[Layers] = [
        layers_of(take, setting.between, _ICC, setting.truth) for take in setting.takes
    ]
    known = dict(zip(_METHODS, setting.takes, strict=True))
    tally = Tally()
    ratios = []
    benches = min(_BENCHES, trials)
    for bench in range(benches):
        frame = _bench(rng, setting)
        place = np.unique(frame["block"], return_inverse=True)[1]
        records = ts.records_from_frame(frame)
        for _ in range(len(range(bench, trials, benches))):
            effect = setting.between * rng.standard_normal(setting.blocks)[place]
            each = [truth.trays(rng, truth.middle + effect) for truth in truths]
            takes = np.where(frame["method"] == _METHODS[0], each[0], each[1])
            told = with_taken(records, rng.binomial(frame["grafted"].to_numpy(), takes))
            model = ts.fit_take(told, ["method"])
            for row in ts.take_rates(model, "method").table.to_dict("records"):
                name = str(row["method"])
                tally.add(f"take_{name}", row["low"], row["high"], known[name])
            row = ts.differences(model, "method", pairs=[_METHODS]).table.iloc[0]
            gap = known[str(row["level_a"])] - known[str(row["level_b"])]
            tally.add("gap_method", row["low"], row["high"], gap)
            if setting.block == BOTH:
                plain = ts.fit_take(told, ["method"], grouping=None)
                other = ts.differences(plain, "method", pairs=[_METHODS]).table.iloc[0]
                ratios.append((row["high"] - row["low"]) / (other["high"] - other["low"]))
    ratio = float(np.median(ratios)) if ratios else float("nan")
    return asdict(setting) | tally.record() | {"to_ungrouped": ratio}


def block_words(row: pd.Series) -> str:
    """A setting as a reader would say it."""
    takes = " / ".join(f"{100 * take:g}" for take in row["takes"])
    return (
        f"{row['block']}, takes {takes} %, {row['blocks']} blocks, block SD {row['between']:g}, "
        f"{row['truth']}, seed {row['seed']}"
    )


def block_bars(frame: pd.DataFrame) -> list[Verdict]:
    """What was promised of blocks, beside what was measured."""
    found = []
    columns = [c for c in frame.columns if c.endswith("_coverage") and frame[c].notna().any()]
    for (seed, how), part in frame.groupby(["seed", "block"], sort=False):
        row = f"blocks, seed {seed}"
        lowest = part[columns].min(axis=1)
        worst = part.loc[lowest.idxmin()]
        means = " / ".join(share(float(part[c].mean())) for c in columns)
        found.append(
            Verdict(
                row,
                f"Blocks, {how}: takes and difference in every setting",
                f"at least {share(FLOOR)}",
                f"lowest {share(float(lowest.min()))} (means {means})",
                bool(lowest.min() >= FLOOR),
                block_words(worst),
            )
        )
        wide = part[(part["between"] >= 0.8) & part["to_ungrouped"].notna()]
        if len(wide):
            most = wide.loc[wide["to_ungrouped"].idxmax()]
            found.append(
                Verdict(
                    row,
                    "Both methods in every block, block SD .8: median width of the difference / "
                    "width without blocks",
                    f"at most {WIDTH_BAR:g}",
                    f"highest {float(most['to_ungrouped']):.2f}",
                    bool(most["to_ungrouped"] <= WIDTH_BAR),
                    block_words(most),
                )
            )
    for seed, part in frame.groupby("seed"):
        lost = int(part["no_answer"].sum())
        found.append(
            Verdict(f"blocks, seed {seed}", "Trials without an answer", "0", f"{lost}", lost == 0)
        )
    return found
