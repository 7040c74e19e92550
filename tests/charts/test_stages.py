"""The chart of stages: one hue, a shape a stage, every number in words, the same bytes."""

from __future__ import annotations

import re

import pytest

from takestats.charts.stages import stages_chart
from takestats.charts.svg import chart_svg
from takestats.wording.stage_chart import Stage

STAGES = [
    Stage("cleft", "taken", 0.83, 0.76, 0.88, 463, 559, 19),
    Stage("cleft", "alive later", 0.93, 0.89, 0.95, 431, 463, 19),
    Stage("cleft", "saleable of taken", 0.91, 0.88, 0.93, 422, 463, 19),
    Stage("cleft", "saleable of made", 0.75, 0.69, 0.81, 422, 559, 19),
    Stage("side veneer", "taken", 0.92, 0.87, 0.96, 510, 552, 19),
    Stage("side veneer", "saleable of made", 0.84, 0.78, 0.88, 461, 552, 19),
]


def test_every_number_is_spoken() -> None:
    chart = stages_chart(STAGES, "2026", name="stages", marker="INVENTED DATA.")
    assert chart.spoken == (
        "cleft, taken: 83 % (76 to 88), 463 of 559, 19 trays. cleft, alive later: 93 % (89 to 95), "
        "431 of 463, 19 trays. cleft, saleable of taken: 91 % (88 to 93), 422 of 463, 19 trays. "
        "cleft, saleable of made: 75 % (69 to 81), 422 of 559, 19 trays. side veneer, taken: 92 % "
        "(87 to 96), 510 of 552, 19 trays. side veneer, saleable of made: 84 % (78 to 88), 461 of "
        "552, 19 trays."
    )
    assert chart.sentence.startswith("INVENTED DATA. From graft to saleable plant, season 2026: ")
    assert chart.key.startswith("Circle: taken; square: alive later; diamond: saleable of taken; ")


def test_a_stage_has_its_own_shape_whatever_stands_before_it() -> None:
    chart = stages_chart(STAGES, "", name="stages")
    (axes,) = chart.figure.axes
    marks = [line.get_marker() for line in axes.lines if line.get_marker() not in ("None", "")]
    assert marks == ["o", "s", "D", "^", "o", "^"]
    colours = {str(line.get_color()) for line in axes.lines}
    assert len(colours) <= 3  # ink, its lighter line, the pale grid: one hue


def test_dots_stand_where_their_numbers_are() -> None:
    chart = stages_chart(STAGES[:1], "2026", name="stages")
    (axes,) = chart.figure.axes
    dot = next(line for line in axes.lines if line.get_marker() == "o")
    labels = [text.get_text() for text in axes.get_xticklabels()]
    ticks = dict(zip(labels, axes.get_xticks(), strict=True))
    at = (float(dot.get_xdata()[0]) - ticks["80 %"]) / (ticks["100 %"] - ticks["80 %"])
    assert 0.8 + 0.2 * at == pytest.approx(0.83, abs=1e-9)


def test_many_levels_are_told_by_their_ends() -> None:
    many = [Stage(f"pair {i}", "taken", 0.5 + i / 20, 0.4, 0.99, 1, 2, 3) for i in range(5)]
    assert stages_chart(many, "2026", name="stages").sentence == (
        "From graft to saleable plant, season 2026, 5 of them: taken from 50 % (40 to 99) for "
        "pair 0 to 70 % (40 to 99) for pair 4."
    )


def test_the_same_bytes_each_time() -> None:
    drawn = [chart_svg(stages_chart(STAGES, "2026", name="stages")) for _ in range(2)]
    assert drawn[0] == drawn[1]
    assert not re.search(r"NaN|nan", drawn[0])
