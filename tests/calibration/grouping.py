"""Combinations on record and one not yet tried: shrunk takes, through the functions a grower calls.

Combinations are drawn around one middle, trays around each combination. The
coverage of a new combination's lower limit is not counted but worked out from
the truth: the chance that the next combination lies at or above the limit.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from scipy import special

import takestats as ts
from takestats.answers.group_takes import group_takes
from takestats.models.averaged_take import averaged, theta_of_take
from takestats.models.grouped_belief import GroupedBelief
from tests.calibration.bars import Verdict, share
from tests.calibration.through_fit import Tally, with_taken
from tests.calibration.truths import BETA_BINOMIAL, LOGIT_NORMAL, common_sigma

Floats = NDArray[np.float64]

MEAN_BAR, FLOOR = (0.945, 0.965), 0.915
NEW_BAR, NEW_FLOOR = (0.89, 0.93), 0.84
WIDTH_BAR = 0.82
_BENCHES = 5


@dataclass(frozen=True)
class Setting:
    """One truth of several combinations with two to six trays each."""

    block: str
    groups: int
    take: float
    between: float
    icc: float
    truth: str


def grouping_settings() -> list[Setting]:
    """5, 8 and 12 combinations, three spreads between them, two takes, both families."""
    return [
        Setting("combinations", groups, take, between, icc, truth)
        for groups in (5, 8, 12)
        for between in (0.3, 0.6, 1.0)
        for take, icc in ((0.85, 0.10), (0.93, 0.05))
        for truth in (BETA_BINOMIAL, LOGIT_NORMAL)
    ]


@dataclass(frozen=True)
class Layers:
    """A normal layer on the log odds over trays of either family.

    Parameters
    ----------
    middle, between : float
        Of the groups' middle trays.
    within : float
        rho, or sigma.
    truth : str
    """

    middle: float
    between: float
    within: float
    truth: str

    @property
    def sigma(self) -> float:
        """Spread between trays on the logit scale; 0 where trays are beta-binomial."""
        return self.within if self.truth == LOGIT_NORMAL else 0.0

    def takes(self, theta: Floats) -> Floats:
        """Take averaged over trays."""
        return averaged(theta, np.full_like(theta, self.sigma))[0]

    def trays(self, rng: np.random.Generator, theta: Floats) -> Floats:
        """Takes of trays with these middles."""
        if self.truth == LOGIT_NORMAL:
            return np.asarray(special.expit(theta + self.within * rng.standard_normal(theta.size)))
        size = (1.0 - self.within) / self.within
        return rng.beta(size * special.expit(theta), size * special.expit(-theta))

    def chance_above(self, limit: float) -> float:
        """Chance that the next group's take lies at or above a limit."""
        if limit <= 0.0 or limit >= 1.0:
            return float(limit <= 0.0)
        phi, width = np.array([np.arcsin(np.sqrt(limit))]), np.array([max(self.sigma, 1e-9)])
        theta = float(theta_of_take(phi, width)[0, 0])
        return float(special.ndtr((self.middle - theta) / self.between))


def layers_of(take: float, between: float, icc: float, truth: str) -> Layers:
    """Solve the middle so that groups and trays average to the take."""
    within = icc if truth == BETA_BINOMIAL else common_sigma((take,), icc)
    total = np.hypot(between, within if truth == LOGIT_NORMAL else 0.0)
    phi = np.array([np.arcsin(np.sqrt(take))])
    middle = float(theta_of_take(phi, np.array([total]))[0, 0])
    return Layers(middle=middle, between=between, within=within, truth=truth)


def _bench(rng: np.random.Generator, groups: int) -> pd.DataFrame:
    trays = rng.integers(2, 7, groups)
    total = int(trays.sum())
    sizes = rng.integers(20, 49, total)
    return pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i + 1:03d}" for i in range(total)],
            "donor": np.repeat([f"G{g + 1:02d}" for g in range(groups)], trays),
            "grafted": sizes,
            "taken": sizes,
            "count_date": "2026-06-15",
        }
    )


def judge_grouping(setting: Setting, trials: int, seed: tuple[int, ...]) -> dict[str, Any]:
    """Simulate a setting; every combination, the mean, and the next combination."""
    rng = np.random.default_rng(seed)
    truth = layers_of(setting.take, setting.between, setting.icc, setting.truth)
    tally = Tally()
    above, ratios, best, worst = [], [], [], []
    benches = min(_BENCHES, trials)
    for bench in range(benches):
        frame = _bench(rng, setting.groups)
        at = np.unique(frame["donor"], return_inverse=True)[1]
        records = ts.records_from_frame(frame)
        for _ in range(len(range(bench, trials, benches))):
            theta = truth.middle + truth.between * rng.standard_normal(setting.groups)
            takes = truth.takes(theta)
            taken = rng.binomial(frame["grafted"].to_numpy(), truth.trays(rng, theta[at]))
            model = ts.fit_take(with_taken(records, taken), [], grouping="donor")
            belief = model.belief
            assert isinstance(belief, GroupedBelief)
            table = group_takes(model).table
            for row, take in zip(table.to_dict("records"), takes.tolist(), strict=True):
                tally.add("each", row["low"], row["high"], take)
                tally.add("unshrunk", row["unshrunk_low"], row["unshrunk_high"], take)
            held = ((table["low"] <= takes) & (takes <= table["high"])).to_numpy()
            best.append(held[takes.argmax()])
            worst.append(held[takes.argmin()])
            width = table["high"] - table["low"]
            ratios.append(float((width / (table["unshrunk_high"] - table["unshrunk_low"])).mean()))
            # One-sided at 90 % is two-sided at 80 %; what ``group_takes(level=0.8)`` would print.
            above.append(truth.chance_above(belief.new_group(0.8).low))
    return (
        asdict(setting)
        | tally.record()
        | {
            "new_share": float(np.mean(above)),
            "best_share": float(np.mean(best)),
            "worst_share": float(np.mean(worst)),
            "to_unshrunk": float(np.mean(ratios)),
        }
    )


def _where(row: pd.Series) -> str:
    return (
        f"{row['groups']} combinations, spread {row['between']:g}, take {100 * row['take']:g} %, "
        f"ICC {row['icc']:g}, {row['truth']}, seed {row['seed']}"
    )


def grouping_bars(frame: pd.DataFrame) -> list[Verdict]:
    """What was promised of combinations, beside what was measured."""
    found = []
    for seed, part in frame.groupby("seed"):
        row = f"grouping, seed {seed}"
        for column, what, (low, high), floor in (
            ("each_coverage", "Each combination on record", MEAN_BAR, FLOOR),
            ("new_share", "A new combination: lower 90 % limit", NEW_BAR, NEW_FLOOR),
        ):
            mean, least = float(part[column].mean()), part.loc[part[column].idxmin()]
            found.append(
                Verdict(
                    row,
                    f"{what}, mean over settings",
                    f"{share(low)} to {share(high)}",
                    share(mean),
                    low <= mean <= high,
                )
            )
            found.append(
                Verdict(
                    row,
                    f"{what}, every setting",
                    f"at least {share(floor)}",
                    f"lowest {share(float(least[column]))}",
                    bool(least[column] >= floor),
                    _where(least),
                )
            )
        ratio = float(part["to_unshrunk"].mean())
        found.append(
            Verdict(
                row,
                "Width of a combination's interval / width from its own trays, mean",
                f"at most {WIDTH_BAR:g}",
                f"{ratio:.2f}",
                ratio <= WIDTH_BAR,
            )
        )
        lost = int(part["no_answer"].sum())
        found.append(Verdict(row, "Trials without an answer", "0", f"{lost}", lost == 0))
    return found


def grouping_words(frame: pd.DataFrame) -> str:
    """What a reader should know beside the bars: the best and the worst of many."""
    best, worst = frame["best_share"], frame["worst_share"]
    return (
        "The truly best combination of a trial was held by its shrunk interval in "
        f"{100 * best.mean():.0f} of 100 trials (lowest setting {100 * best.min():.0f}), the truly "
        f"worst in {100 * worst.mean():.0f} (lowest {100 * worst.min():.0f}): for a combination "
        "that somebody named, the unshrunk interval stands beside it."
    )
