"""The charts of a plan show the numbers they were given, in one hue, named at their ends."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from takestats.charts.line_axes import spread
from takestats.charts.power import power_chart, tray_size_chart, width_chart
from takestats.charts.svg import chart_svg, figure_svg
from takestats.wording.plan_charts import Planned, PowerPoint, SizePoint

ROWS = [
    PowerPoint(0.02, 2, 120, 0.20, 0.51, 800),
    PowerPoint(0.02, 14, 840, 0.82, 0.15, 10_000),
    PowerPoint(0.02, 74, 4440, 0.999, 0.06, 800),
    PowerPoint(0.20, 2, 120, 0.12, 0.62, 800),
    PowerPoint(0.20, 46, 2760, 0.805, 0.14, 10_000),
    PowerPoint(0.20, 74, 4440, 0.93, 0.11, 800),
]
NEEDED = [ROWS[1], ROWS[4]]
SIZES = [
    SizePoint(15, 23, 690, 0.47),
    SizePoint(30, 23, 1380, 0.52),
    SizePoint(60, 23, 2760, 0.54),
    SizePoint(15, 46, 1380, 0.78),
    SizePoint(30, 46, 2760, 0.805),
    SizePoint(60, 46, 5520, 0.83),
]
PLANNED = Planned(
    trays=46,
    tray_size=30,
    icc=0.2,
    power=0.805,
    wanted=0.8,
    aim="tell 80 % from 90 %",
    each=True,
    of_difference=True,
)


def _marked(axes):
    return [line for line in axes.lines if line.get_marker() not in ("None", "", None)]


def test_every_line_lies_where_the_numbers_say():
    axes = power_chart(ROWS, NEEDED, PLANNED).figure.axes[0]
    lines = [line for line in _marked(axes) if len(line.get_xdata()) == 3]
    drawn = [list(zip(line.get_xdata(), line.get_ydata(), strict=True)) for line in lines]
    assert drawn == [[(r.trays, r.power) for r in ROWS[i : i + 3]] for i in (0, 3)]
    filled = [line for line in _marked(axes) if len(line.get_xdata()) == 1]
    assert [(f.get_xdata()[0], f.get_ydata()[0]) for f in filled] == [(46, 0.805)]
    level = [line for line in axes.lines if list(line.get_ydata()) == [0.8, 0.8]]
    assert level


def test_lines_differ_by_shape_and_name_and_share_one_hue():
    axes = power_chart(ROWS, NEEDED, PLANNED).figure.axes[0]
    lines = [line for line in _marked(axes) if len(line.get_xdata()) == 3]
    assert len({line.get_marker() for line in lines}) == 2
    assert len({line.get_color() for line in lines}) == 1
    texts = [text.get_text() for text in axes.texts]
    assert {"0.02", "0.2", "80 of 100 asked for", "trays differ by"} <= set(texts)
    assert " plan: 46 trays" in texts


def test_the_sentence_tells_the_plan_and_the_spoken_form_every_number():
    chart = power_chart(ROWS, NEEDED, PLANNED, marker="INVENTED DATA.")
    assert chart.sentence == (
        "INVENTED DATA. 46 trays of each tell 80 % from 90 % in 80 of 100 such trials if trays "
        "differ by 0.2; 14 in 82 of 100 if by 0.02."
    )
    assert chart.spoken == (
        "Trays differing by 0.02: 2 trays 20 of 100, 14 trays 82 of 100, 74 trays over 99 of 100. "
        "Trays differing by 0.2: 2 trays 12 of 100, 46 trays 80 of 100, 74 trays 93 of 100."
    )
    assert "800 simulated trials each, right to within about 4 of 100" in chart.key


def test_the_width_is_told_at_the_plan_and_below():
    chart = width_chart(ROWS, PLANNED)
    assert chart.sentence == (
        "At 46 trays of each the 95 % confidence interval of the difference will be about 14 "
        "points wide if trays differ by 0.2, at 2 about 62 points."
    )
    assert "74 trays 11 points" in chart.spoken


def test_trays_buy_power_only_where_the_numbers_say_so():
    chart = tray_size_chart(SIZES, PLANNED, trials=800)
    assert chart.sentence == (
        "46 trays of each of 30 grafts tell 80 % from 90 % in 80 of 100 trials, of 60 in 83 of "
        "100; 23 trays of 60 in 54 of 100: trays buy power, more grafts in a tray soon stop doing "
        "so."
    )
    other = [row._replace(power=0.80) if row.tray_size == 60 else row for row in SIZES]
    assert tray_size_chart(other, PLANNED, trials=800).sentence.endswith(
        "here more grafts in a tray buy nearly as much as more trays."
    )
    assert "23 trays: 15 grafts in a tray 47 of 100" in chart.spoken


@pytest.mark.parametrize("wanted", [0.8, 0.95])
@pytest.mark.parametrize("last", [74, 4])
def test_no_text_lies_on_another(wanted: float, last: int):
    rows = [row._replace(trays=min(row.trays, last)) for row in ROWS]
    planned = PLANNED._replace(wanted=wanted, trays=min(46, last))
    for chart in (
        power_chart(rows, NEEDED, planned),
        width_chart(rows, planned),
        tray_size_chart(SIZES, PLANNED._replace(wanted=wanted), trials=800),
    ):
        canvas = FigureCanvasAgg(chart.figure)
        axes = chart.figure.axes[0]
        canvas.draw()
        boxes = [
            (text.get_text(), text.get_window_extent())
            for text in [*axes.texts, *axes.get_xticklabels(), *axes.get_yticklabels()]
            if text.get_text()
        ]
        for i, (one, first) in enumerate(boxes):
            for two, second in boxes[i + 1 :]:
                shared = first.intersection(first, second)
                assert shared is None or min(shared.width, shared.height) < 1.0, (one, two)
        edge = chart.figure.bbox
        assert all(box.x1 <= edge.x1 and box.y1 <= edge.y1 for _, box in boxes)


def test_the_same_bytes_and_no_colour():
    first = figure_svg(power_chart(ROWS, NEEDED, PLANNED).figure)
    assert first == figure_svg(power_chart(ROWS, NEEDED, PLANNED).figure)
    hues = set(re.findall(r"#[0-9a-f]{6}", chart_svg(power_chart(ROWS, NEEDED, PLANNED))))
    for hue in hues - {"#ffffff", "#000000"}:
        red, green, blue = (int(hue[i : i + 2], 16) for i in (1, 3, 5))
        assert red <= green <= blue, hue  # shades of one blue-grey


def test_names_are_moved_apart_and_keep_their_order():
    places = spread([0.1, 0.99, 0.995, 1.0], 0.05, 1.02)
    assert places == sorted(places)
    assert all(b - a >= 0.05 - 1e-9 for a, b in pairwise(places))
    assert places[-1] <= 1.02
    assert places[0] == 0.1
