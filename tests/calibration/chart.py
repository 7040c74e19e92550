"""One picture of the run: every setting a dot, the promises as lines."""

from __future__ import annotations

import io

import matplotlib
import pandas as pd

from tests.calibration.bars import TARGETS, long_form

matplotlib.use("svg")
from matplotlib.figure import Figure

_INK, _DOT, _LINE = "#222222", "#4a6a78", "#888888"
_TITLES = {"a": "Take of A", "b": "Take of B", "gap": "Difference A minus B"}
_CORRELATIONS = (0.0, 0.02, 0.05, 0.10, 0.20)
_MARKS = {0.0: "o", 0.02: "s", 0.05: "^", 0.10: "D", 0.20: "v"}


def coverage_chart(frame: pd.DataFrame) -> str:
    """Coverage of the 216 settings by trays an arm, all trials of all seeds, as SVG text."""
    keys = ["index", "trays_a", "icc_a", "size"]
    long = long_form(frame)
    mean = long.groupby([*keys, "target"])["coverage"].mean().reset_index()
    with matplotlib.rc_context({"svg.hashsalt": "takestats", "svg.fonttype": "none"}):
        figure = Figure(figsize=(10.0, 4.2), layout="constrained")
        axes = figure.subplots(1, 3, sharey=True)
        trays = sorted(mean["trays_a"].unique())
        for axis, target in zip(axes, TARGETS, strict=True):
            axis.axhline(0.95, color=_INK, linewidth=0.8)
            axis.axhline(0.905, color=_LINE, linewidth=0.8, linestyle="--")
            axis.axhline(0.990, color=_LINE, linewidth=0.8, linestyle=":")
            for place, number in enumerate(trays):
                for step, icc in enumerate(_CORRELATIONS):
                    part = mean[
                        (mean["target"] == target)
                        & (mean["trays_a"] == number)
                        & (mean["icc_a"] == icc)
                    ]
                    axis.scatter(
                        [place + 0.15 * (step - 2)] * len(part),
                        part["coverage"],
                        s=13,
                        marker=_MARKS[icc],
                        facecolors="none",
                        edgecolors=_DOT,
                        linewidths=0.8,
                        label=f"ICC {icc:g}" if place == 0 else None,
                    )
            axis.set_xticks(range(len(trays)), [str(t) for t in trays])
            axis.set_title(_TITLES[target], fontsize=10)
            axis.set_xlabel("trays an arm")
            axis.spines[["top", "right"]].set_visible(False)
        axes[0].set_ylabel("share of trials whose 95 % limits held the truth")
        axes[0].set_ylim(0.89, 1.002)
        figure.legend(
            *axes[0].get_legend_handles_labels(),
            loc="outside lower center",
            ncols=5,
            frameon=False,
            fontsize=9,
        )
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"
