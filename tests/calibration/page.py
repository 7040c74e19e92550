"""The run in plain words: a table to open elsewhere, a page to read, a picture."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import pandas as pd

from tests.calibration.bars import Verdict, long_form, share
from tests.calibration.chart import coverage_chart
from tests.calibration.grouping import grouping_words
from tests.calibration.pieces import write_whole
from tests.calibration.reasons import reasons
from tests.calibration.rows import ROWS

_ROW_WORDS = {
    "grid": "the 216 settings of two methods with equal trays",
    "unequal": "one method's trays more uneven than the other's",
    "two-trays": "two trays a method",
    "widths": "widths beside two yardsticks",
    "fit-take": "trials sent the whole way: records, fit, rates, differences",
    "regression": "22 unbalanced trays, two factors, caliper and date",
    "blocks": "trays in blocks: a method given to whole blocks, or both in every block",
    "several-rows": "two methods in each tray",
    "grouping": "combinations on record and one not yet tried",
    "new-season": "orders placed by the lower limit of a new season, one combination",
    "pooled-season": "the same, five combinations sharing what they say of seasons",
    "order": "grafts ordered for the plants wanted, one combination",
    "pooled-order": "the same, five combinations sharing what they say of seasons",
    "planning": "twelve planned trials: claimed power, and findings where there is nothing",
}

_ORDERS = ("order", "pooled-order")
_PAGES = {
    "calibration": ("Do the 95 % limits hold what they say?", "python -m tests.calibration"),
    "calibration_orders": (
        "Are orders met that were placed with nine chances in ten?",
        f"python -m tests.calibration --row {' '.join(_ORDERS)}",
    ),
}
"""Title, and the command that remakes it, of each page."""


def flat(frames: Mapping[str, pd.DataFrame]) -> str:
    """All settings of all rows as one CSV text."""
    parts = []
    for frame in frames.values():
        table = frame.copy()
        for column in table.columns:
            if table[column].map(lambda v: isinstance(v, list | tuple)).any():
                table[column] = table[column].map(lambda v: " / ".join(f"{x:g}" for x in v))
        parts.append(table)
    joined = pd.concat(parts, ignore_index=True)
    return joined.to_csv(index=False, float_format="%.5g", lineterminator="\n")


def _table(verdicts: Sequence[Verdict]) -> list[str]:
    lines = [
        "| what was promised | bar | measured | | where the worst was |",
        "|---|---|---|---|---|",
    ]
    for verdict in verdicts:
        met = "met" if verdict.met else "**not met**"
        lines.append(
            f"| {verdict.what} | {verdict.bar} | {verdict.measured} | {met} | {verdict.worst} |"
        )
    return lines


def once(verdicts: Sequence[Verdict]) -> list[Verdict]:
    """Each promise once, by its worst seed, with the seeds that did not meet it."""
    groups: dict[tuple[str, str], list[Verdict]] = {}
    for verdict in verdicts:
        groups.setdefault((verdict.row.partition(",")[0], verdict.what), []).append(verdict)
    found = []
    for same in groups.values():
        worst = min(same, key=lambda v: (v.met, v.order))
        lost = sum(not v.met for v in same)
        if lost and len(same) > 1:
            worst = replace(worst, measured=f"{worst.measured}; not met in {lost} of {len(same)}")
        found.append(worst)
    return found


def _by_trays(frame: pd.DataFrame) -> list[str]:
    long = long_form(frame)
    lines = [
        "| trays an arm | lowest take | mean take | lowest difference | mean difference "
        "| highest of any |",
        "|---|---|---|---|---|---|",
    ]
    pooled = long.groupby(["trays_a", "index", "target"])["coverage"].mean().reset_index()
    for trays, part in pooled.groupby("trays_a"):
        takes = part[part["target"] != "gap"]["coverage"]
        gaps = part[part["target"] == "gap"]["coverage"]
        lines.append(
            f"| {trays} | {share(takes.min())} | {share(takes.mean())} | {share(gaps.min())} "
            f"| {share(gaps.mean())} | {share(part['coverage'].max())} |"
        )
    return lines


def words(
    frames: Mapping[str, pd.DataFrame], verdicts: Sequence[Verdict], name: str = "calibration"
) -> str:
    """The page, as Markdown; ``name`` is that of its file."""
    title, remade = _PAGES[name]
    promises = once(verdicts)
    missed = [v for v in promises if not v.met]
    counted = f"{len(promises) - len(missed)} of {len(promises)} promises are met with every seed."
    if missed:
        counted += f" {len(missed)} are **not met**; they are listed first."
    lines = [
        f"# {title}",
        "",
        "Trials were invented with a known truth, thousands of them; each was given to the "
        "program; and it was counted how often the limits it printed held that truth. A 95 % "
        "interval should do so in about 95 of 100 trials: fewer, and a grower is misled; many "
        "more, and the interval is wider than it need be.",
        "",
        counted,
        "",
        f"Remade by `{remade}`. Every setting stands in `{name}.csv`: what was invented, the "
        "coverage, how often the limits lay wholly below or above the truth, the median width. "
        "Seeds are fixed. A coverage counted in 1,000 trials is itself good to about .014 either "
        "way (.019 in 500 trials).",
        "",
    ]
    if missed:
        lines += [
            "## Not met",
            "",
            "The worst seed of each.",
            "",
            *_table(missed),
            "",
            *reasons(frames, missed),
        ]
    kept = [v for v in promises if v.met]
    if kept:
        lines += ["## Met", "", "The worst seed of each.", "", *_table(kept), ""]
    for row, asked in _ROW_WORDS.items():
        mine = [v for v in verdicts if v.row.partition(",")[0] == row]
        if not mine:
            continue
        lines += [f"## {asked[0].upper()}{asked[1:]}", ""]
        if row in frames:
            frame = frames[row]
            trials = sorted({int(t) for t in frame["trials"]})
            done, whole = frame["index"].nunique(), len(ROWS[row].settings())
            count = f"{done} settings"
            if done < whole:
                count = f"**{done} of the {whole} settings; the others were not run**"
            each = " or ".join(f"{number:,}" for number in trials)
            seeds = ", ".join(str(seed) for seed in sorted(frame["seed"].unique()))
            lines += [f"{count}, {each} trials each, seed {seeds}.", ""]
        for part in dict.fromkeys(v.row for v in mine):
            lines += [f"*{part}*", "", *_table([v for v in mine if v.row == part]), ""]
        if row == "grouping" and row in frames:
            lines += [grouping_words(frames[row]), ""]
        if row == "grid" and row in frames:
            lines += ["All seeds together, by trays:", "", *_by_trays(frames[row]), ""]
            lines += [
                "![Coverage of the takes and of the difference, by trays an arm; every dot a "
                "setting; dashed the floor of .905, dotted the ceiling of .990](calibration.svg)",
                "",
                "Every dot is one of the 216 settings. Limits hold least often with few, very "
                "uneven trays, and hold too often where trays are few and alike: with three trays "
                "nobody can know yet how uneven trays are, so the limits allow for it.",
                "",
            ]
    lines += [
        "## What these trials cannot show",
        "",
        "Trays are invented as independent of each other, beta-binomial or logit-normal. A bench "
        "with a cold end, a method given to whole days, or two methods in one tray are other "
        "questions. The settings run with the batched form of the grid are the same computation "
        "as a single fit (a test holds the two together); the rows that go through `fit_take` "
        "take the whole way.",
    ]
    return "\n".join(lines) + "\n"


def write_reports(
    folder: Path, frames: Mapping[str, pd.DataFrame], verdicts: Sequence[Verdict]
) -> list[Path]:
    """Write a table and a page of the limits, the same of the orders, the picture; give paths."""
    made: list[Path] = []
    for name in _PAGES:
        mine = {row: frame for row, frame in frames.items() if _page_of(row) == name}
        if not mine:
            continue
        told = [v for v in verdicts if _page_of(v.row.partition(",")[0]) == name]
        made += [folder / f"{name}.csv", folder / f"{name}.md"]
        write_whole(made[-2], flat(mine))
        write_whole(made[-1], words(mine, told, name))
    if "grid" in frames:
        made.append(folder / "calibration.svg")
        write_whole(made[-1], coverage_chart(frames["grid"]))
    return made


def _page_of(row: str) -> str:
    return "calibration_orders" if row in _ORDERS else "calibration"
