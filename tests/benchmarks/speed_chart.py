"""What does the table of times look like as a picture?"""

from __future__ import annotations

import io
import math
import textwrap
from collections.abc import Sequence

from tests.benchmarks.measures import Speed

_INK, _GREY = "#4a6a78", "#666666"
_PEERS = {
    "GLM": ("D", "statsmodels GLM"),
    "GEE": ("^", "statsmodels GEE"),
    "lme4": ("s", "lme4 glmer (R)"),
    "imports": ("|", "a process that only imports"),
}
"""Mark and label of each peer, by a word of its name."""

_LINE = 0.46
_WIDE = 58


def speed_chart(speeds: Sequence[Speed]) -> str:
    """A row for each thing timed, seconds on a scale of tens: ours, its bar, and the peers."""
    import matplotlib

    matplotlib.use("svg")
    from matplotlib.figure import Figure

    high = _LINE * len(speeds) + 1.1
    with matplotlib.rc_context({"svg.hashsalt": "takestats", "svg.fonttype": "none"}):
        figure = Figure(figsize=(9.0, high), layout="constrained")
        axes = figure.subplots()
        named: set[str] = set()
        for place, speed in enumerate(speeds):
            if not math.isnan(speed.bar):
                axes.plot(
                    [speed.bar] * 2, [place - 0.3, place + 0.3], color=_GREY, linewidth=1.2,
                    label=_once("its bar", named),
                )  # fmt: skip
            for kind, (mark, label) in _PEERS.items():
                for peer in speed.peers:
                    if kind in peer.name:
                        axes.plot(
                            peer.took.processor, place, mark, color=_GREY, markersize=6,
                            fillstyle="none", label=_once(label, named),
                        )  # fmt: skip
            axes.plot(
                speed.took.processor, place, "o", color=_INK, markersize=7,
                label=_once("takestats", named),
            )  # fmt: skip
        axes.set_xscale("log")
        axes.set_yticks(
            range(len(speeds)), [textwrap.fill(speed.what, _WIDE) for speed in speeds], fontsize=8
        )
        axes.set_ylim(len(speeds) - 0.4, -0.6)
        axes.set_xlabel("seconds: of the processor, by the clock for a whole process")
        axes.grid(axis="x", color="#dddddd", linewidth=0.6)
        axes.spines[["top", "right", "left"]].set_visible(False)
        axes.tick_params(axis="y", length=0)
        figure.legend(loc="outside upper center", ncols=3, frameon=False, fontsize=8)
        out = io.StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


def _once(label: str, named: set[str]) -> str:
    """A label the first time; the library leaves out what begins with a line below."""
    if label in named:
        return "_"
    named.add(label)
    return label
