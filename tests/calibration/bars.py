"""What was promised, what was measured, and is it met? One line per promise."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

TARGETS = ("a", "b", "gap")
TARGET_WORDS = {"a": "take of A", "b": "take of B", "gap": "difference"}
_PLACES = "ABC"
REGRESSION_FLOOR, HARD_FLOOR = 0.91, 0.88
KNOWN_BARS = {3: 2.8, 5: 1.95, 10: 1.6, 20: 1.45}


@dataclass(frozen=True)
class Verdict:
    """One promise beside what was measured.

    Parameters
    ----------
    row : str
        Which part of the run.
    what : str
        What was promised, in words.
    bar, measured : str
    met : bool
    worst : str
        Where the worst value was seen.
    """

    row: str
    what: str
    bar: str
    measured: str
    met: bool
    worst: str = ""

    @property
    def order(self) -> float:
        """The first number measured, turned so that the worse comes first."""
        number = float(next(iter(re.findall(r"\d*\.?\d+", self.measured)), "0"))
        return -number if self.bar.startswith("at most") else number


def share(value: float) -> str:
    """A proportion with three decimals, the zero left out: ``.954``."""
    text = f"{value:.3f}"
    return text[1:] if text.startswith("0") else text


def target_words(name: str) -> str:
    """A target as a reader would say it: ``take of A``, ``difference B minus C``."""
    if name in TARGET_WORDS:
        return TARGET_WORDS[name]
    kind, _, rest = name.partition("_")
    if rest.isdigit():
        rest = " minus ".join(_PLACES[int(place)] for place in rest)
    rest = rest.replace("_", " ")
    return f"take of {rest}" if kind == "take" else f"difference, {rest}"


def setting_words(row: pd.Series) -> str:
    """A setting as a reader would say it."""
    if "takes" in row and isinstance(row["takes"], list | tuple):
        takes = " / ".join(f"{100 * x:g}" for x in row["takes"])
        trays = " + ".join(str(x) for x in row["trays"])
        iccs = sorted(set(row["iccs"]))
        icc = iccs[0] if len(iccs) == 1 else " / ".join(f"{x:g}" for x in row["iccs"])
        return f"{row['block']}, takes {takes} %, {trays} trays, ICC {icc}, {row['truth']}"
    if "level" in row and isinstance(row["level"], str):
        return f"{row['design']}, {row['level']}, ICC {row['icc']:g}, {row['truth']}"
    icc = f"{row['icc_a']:g}"
    if row["icc_a"] != row["icc_b"]:
        icc += f" / {row['icc_b']:g}"
    return (
        f"takes {100 * row['take_a']:g} / {100 * row['take_b']:g} %, "
        f"{row['trays_a']} + {row['trays_b']} trays of {row['size']}, ICC {icc}, {row['truth']}"
    )


def long_form(frame: pd.DataFrame) -> pd.DataFrame:
    """One row per setting, seed and target, with coverage and misses."""
    names = [c.removesuffix("_coverage") for c in frame.columns if c.endswith("_coverage")]
    found = []
    for name in names:
        if name in ("odds", "known"):
            continue
        part = frame[frame[f"{name}_coverage"].notna()].copy()
        part["target"] = name
        for key in ("coverage", "below", "above"):
            part[key] = part[f"{name}_{key}"]
        found.append(part)
    return pd.concat(found, ignore_index=True)


def _at(long: pd.DataFrame, column: str, *, lowest: bool) -> tuple[float, str]:
    place = long[column].idxmin() if lowest else long[column].idxmax()
    row = long.loc[place]
    target = target_words(str(row["target"])) if "target" in row else ""
    words = setting_words(row) + f", seed {row['seed']}"
    return float(row[column]), f"{target}: {words}" if target else words


def lowest(long: pd.DataFrame, number: int = 10) -> pd.DataFrame:
    """The settings with the lowest coverage of any target."""
    worst = long.groupby("index")["coverage"].min().nsmallest(number, keep="first")
    return long[long["index"].isin(worst.index)].drop_duplicates("index")


def grid_bars(frames: Sequence[pd.DataFrame], again: pd.DataFrame | None) -> list[Verdict]:
    """The 216 settings, every seed by itself and what the re-runs gave."""
    found: list[Verdict] = []
    for frame in frames:
        seed = int(frame["seed"].iloc[0])
        long = long_form(frame)
        row = f"grid, seed {seed}"
        worst, where = _at(long, "coverage", lowest=True)
        found.append(
            Verdict(
                row,
                "Takes of both arms and their difference: coverage in every setting",
                "at least .905",
                f"lowest {share(worst)}",
                worst >= 0.905,
                where,
            )
        )
        under = float(np.mean(long["coverage"] < 0.93))
        found.append(
            Verdict(
                row,
                f"Share of the {len(long)} setting-targets under .93",
                "at most 2 %",
                f"{100 * under:.1f} %",
                under <= 0.02,
            )
        )
        means = long.groupby("target")["coverage"].mean()
        found.append(
            Verdict(
                row,
                "Mean coverage of each target (A, B, difference)",
                ".945 to .975",
                " / ".join(share(means[name]) for name in TARGETS),
                bool(means.between(0.945, 0.975).all()),
            )
        )
        found += _ceiling(long, row)
        odds, where = _at(frame, "odds_coverage", lowest=True)
        found.append(
            Verdict(
                row,
                "Averaged log odds ratio: coverage in every setting",
                "at least .905",
                f"lowest {share(odds)}",
                odds >= 0.905,
                where,
            )
        )
    if again is not None and len(again):
        long = long_form(again)
        worst, where = _at(long, "coverage", lowest=True)
        trials = int(long["trials"].iloc[0])
        found.append(
            Verdict(
                "grid, again",
                f"The 10 lowest settings of each seed, {trials:,} fresh trials each",
                "each at least .92",
                f"lowest {share(worst)}",
                worst >= 0.92,
                where,
            )
        )
    return found


def _ceiling(long: pd.DataFrame, row: str) -> list[Verdict]:
    uneven = long[long["icc_a"] >= 0.05]
    if uneven.empty:
        return []
    most, where = _at(uneven, "coverage", lowest=False)
    over = int(np.sum(uneven["coverage"] > 0.990))
    missed = long[["below", "above"]].max(axis=1)
    side, place = _at(long.assign(missed=missed), "missed", lowest=False)
    lost = int(long.drop_duplicates("index")["no_answer"].sum())
    return [
        Verdict(
            row,
            "Settings with ICC .05 and more: coverage of any target",
            "at most .990",
            f"highest {share(most)}; over the bar {over} of {len(uneven)}",
            most <= 0.990,
            where,
        ),
        Verdict(
            row,
            "Misses on either side, any setting and target",
            "at most .060",
            f"most {share(side)}",
            side <= 0.060,
            place,
        ),
        Verdict(row, "Trials without an answer", "0", f"{lost}", lost == 0),
    ]


def ceiling_of_all(frames: Sequence[pd.DataFrame]) -> Verdict:
    """The ceiling once more with the trials of all seeds together."""
    long = pd.concat([long_form(frame) for frame in frames], ignore_index=True)
    long = long[long["icc_a"] >= 0.05]
    mean = long.groupby(["index", "target"])["coverage"].mean()
    place = mean.idxmax()
    row = long[(long["index"] == place[0]) & (long["target"] == place[1])].iloc[0]
    return Verdict(
        "grid, all seeds",
        "Settings with ICC .05 and more: coverage of any target, all trials together",
        "at most .990",
        f"highest {share(float(mean.max()))}; over the bar {int((mean > 0.990).sum())} of "
        f"{len(mean)}",
        bool(mean.max() <= 0.990),
        f"{TARGET_WORDS[str(row['target'])]}: {setting_words(row)}",
    )


def floor_bars(frame: pd.DataFrame, row: str, what: str, bar: float) -> list[Verdict]:
    """Coverage of every target in every setting, and that all trials are answered."""
    long = long_form(frame)
    found = []
    for seed, part in long.groupby("seed"):
        worst, where = _at(part, "coverage", lowest=True)
        gap = part["target"].str.startswith("gap")
        kinds = [
            f"{words}: lowest {share(float(kind['coverage'].min()))}, "
            f"mean {share(float(kind['coverage'].mean()))}, "
            f"{int((kind['coverage'] < bar).sum())} of {len(kind)} under"
            for words, kind in (("takes", part[~gap]), ("differences", part[gap]))
        ]
        found.append(
            Verdict(
                f"{row}, seed {seed}",
                what,
                f"at least {share(bar)}",
                f"lowest {share(worst)} ({'; '.join(kinds)})",
                worst >= bar,
                where,
            )
        )
        lost = int(part.drop_duplicates("index")["no_answer"].sum())
        found.append(
            Verdict(f"{row}, seed {seed}", "Trials without an answer", "0", f"{lost}", lost == 0)
        )
    return found


def width_bars(frame: pd.DataFrame) -> list[Verdict]:
    """Widths beside the two yardsticks."""
    found = []
    for seed, part in frame.groupby("seed"):
        row = f"widths, seed {seed}"
        most, where = _at(part, "to_quick", lowest=False)
        found.append(
            Verdict(
                row,
                "Median width of the difference / effective-number width, any setting",
                "at most 1.45",
                f"highest {most:.2f}",
                most <= 1.45,
                where,
            )
        )
        middle = float(part["to_quick"].median())
        found.append(
            Verdict(
                row,
                "The same, median setting",
                "at most 1.20",
                f"{middle:.2f}",
                middle <= 1.20,
            )
        )
        for trays, bar in KNOWN_BARS.items():
            some = part[part["trays_a"] == trays]
            if some.empty:
                continue
            most, where = _at(some, "to_known", lowest=False)
            found.append(
                Verdict(
                    row,
                    f"Median width / width if the ICC were known, {trays} trays an arm",
                    f"at most {bar:g}",
                    f"highest {most:.2f} (median setting {some['to_known'].median():.2f})",
                    most <= bar,
                    where,
                )
            )
    return found


def fit_take_bars(frame: pd.DataFrame) -> list[Verdict]:
    """The whole way: what was promised, and unequal spreads held to the same floor."""
    uneven = frame["block"] == "unequal spread"
    found = []
    for part, words in (
        (frame[~uneven], "Unequal trays, three levels, unequal arms: takes and differences"),
        (
            frame[uneven],
            "Unequal trays and spreads both, beyond what was promised: takes and differences",
        ),
    ):
        if len(part):
            found += floor_bars(part, "fit-take", f"{words} in every setting", 0.91)
    return found


def regression_bars(frame: pd.DataFrame) -> list[Verdict]:
    """Several factors, a curve and a date: two floors."""
    hard = (frame["icc"] >= 0.15) & (frame["level"] == "one level at 99.5 %")
    found = []
    for part, words, bar in (
        (frame[~hard], "Regression: every target in every setting", REGRESSION_FLOOR),
        (frame[hard], "Regression at ICC .15 with one level at 99.5 %", HARD_FLOOR),
    ):
        if len(part):
            found += floor_bars(part, "regression", words, bar)
    return found


def floored_bars(frame: pd.DataFrame) -> list[Verdict]:
    """Settings that were under their floor, with fresh trials."""
    long = long_form(frame)
    worst, where = _at(long, "coverage", lowest=True)
    trials = " or ".join(f"{int(number):,}" for number in sorted(long["trials"].unique()))
    number = long["index"].nunique()
    return [
        Verdict(
            "regression, again",
            f"Regression: the {number} settings with a target under {share(REGRESSION_FLOOR)}, "
            f"{trials} fresh trials each",
            f"at least {share(REGRESSION_FLOOR)}",
            f"lowest {share(worst)}",
            worst >= REGRESSION_FLOOR,
            where,
        )
    ]
