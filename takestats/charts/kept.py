"""What does a two-stage rule do with a combination, by its true take?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from takestats.charts.chart import Chart
from takestats.charts.line_axes import level_ticks, line_axes, name_ends
from takestats.charts.style import INK, LINE, SMALL_SIZE, SOFT, house_style
from takestats.wording import plan_charts as words
from takestats.wording.charts import axis_percent

#: Further to the right the name of the upright axis does not reach.
_CLEAR = 0.45
_HUNDREDS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


def kept_chart(
    rows: Sequence[words.KeptPoint],
    floor: words.KeptPoint,
    promising: words.KeptPoint,
    *,
    marker: str = "",
) -> Chart:
    """What does the rule do with a combination, by its true take?

    Parameters
    ----------
    rows : sequence of KeptPoint
        By rising take.
    floor, promising : KeptPoint
        The two takes of the rule, marked.
    marker : str
        Set before the sentence when the past was invented or quoted.
    """
    takes = [row.take for row in rows]
    with house_style():
        figure, axes = line_axes(right=1.3)
        pad = 0.02 * (takes[-1] - takes[0])
        axes.set_xlim(takes[0] - pad, takes[-1] + pad)
        step = 0.1 if takes[-1] - takes[0] <= 0.65 else 0.2
        first = math.ceil(takes[0] / step - 1e-9)
        places = [step * k for k in range(first, math.floor(takes[-1] / step + 1e-9) + 1)]
        axes.set_xticks(places, [axis_percent(place) for place in places])
        axes.set_xlabel(words.AXIS_TAKE, fontsize=SMALL_SIZE, labelpad=3)
        axes.set_ylim(0.0, 1.02)
        texts = [words.axis_hundred(place) for place in _HUNDREDS]
        level_ticks(axes, _HUNDREDS, texts, words.AXIS_POWER)
        for take, name in ((floor.take, words.FLOOR), (promising.take, words.PROMISING)):
            axes.axvline(take, color=SOFT, linewidth=0.9, linestyle=(0, (3, 3)), zorder=1)
            if take - takes[0] > _CLEAR * (takes[-1] - takes[0]):
                axes.text(
                    take, 1.06, name, transform=axes.get_xaxis_transform(), fontsize=SMALL_SIZE,
                    color=INK, ha="center",
                )  # fmt: skip
        ends = []
        for values, name, mark, face in (
            ([row.kept for row in rows], words.KEPT, "o", INK),
            ([row.dropped for row in rows], words.DROPPED, "s", "white"),
        ):
            axes.plot(
                takes, values, color=LINE, linewidth=1.3, marker=mark, markersize=4.6,
                markerfacecolor=face, markeredgecolor=INK, markeredgewidth=0.8, zorder=4,
                clip_on=False,
            )  # fmt: skip
            ends.append((takes[-1], values[-1], name))
        name_ends(axes, ends)
    return Chart(
        name="kept-by-take",
        figure=figure,
        title=words.KEPT_TITLE,
        sentence=f"{marker} {words.kept_sentence(floor, promising)}".strip(),
        key=words.KEPT_KEY,
        spoken=words.kept_spoken(rows),
    )
