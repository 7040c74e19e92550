"""A chart shows the numbers it was given, every tray, and a word for each."""

from __future__ import annotations

import re

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.patches import PathPatch

from takestats.charts.svg import chart_svg, figure_svg
from takestats.charts.takes import axis_floor, takes_chart
from takestats.wording.charts import Take

TAKES = [
    Take("side veneer", 0.93, 0.88, 0.96, 312, 340, 9),
    Take("cleft", 0.86, 0.78, 0.91, 290, 340, 9),
]
TRAYS = {"side veneer": [0.9, 0.92, 1.0, 1.0, 1.0, 1.0, 0.95, 0.7], "cleft": [0.5, 0.8, 0.8]}


def _chart(**more):
    return takes_chart(TAKES, "method", name="take-by-method", tray_takes=TRAYS, **more)


def test_dots_and_lines_lie_where_the_numbers_say():
    axes = _chart().figure.axes[0]
    dots = [line for line in axes.lines if line.get_marker() not in ("None", "", None)]
    assert [float(dot.get_xdata()[0]) for dot in dots] == [0.93, 0.86]
    spans = [
        tuple(float(x) for x in line.get_xdata())
        for line in axes.lines
        if line.get_linewidth() == 2.2
    ]
    assert spans == [(0.88, 0.96), (0.78, 0.91)]


def test_every_tray_has_its_own_tick():
    axes = _chart().figure.axes[0]
    marks = [patch.get_path() for patch in axes.patches if isinstance(patch, PathPatch)]
    ticks = [ends for path in marks for ends in path.vertices.reshape(-1, 2, 2)]
    assert sorted(round(float(x), 6) for ((x, _), _) in ticks) == sorted(
        value for values in TRAYS.values() for value in values
    )
    # Upright, and each by itself: the pen is lifted between them.
    assert all(low[0] == high[0] and low[1] < high[1] for low, high in ticks)
    assert all(path.codes.tolist() == [1, 2] * (len(path.codes) // 2) for path in marks)


def test_levels_differ_by_shape_and_share_one_hue():
    dots = [
        line
        for line in _chart().figure.axes[0].lines
        if line.get_marker() not in ("None", "", None)
    ]
    assert len({dot.get_marker() for dot in dots}) == len(TAKES)
    assert len({dot.get_color() for dot in dots}) == 1


def test_the_sentence_and_the_spoken_form_carry_the_numbers():
    chart = _chart(marker="INVENTED DATA.")
    assert chart.sentence == (
        "INVENTED DATA. Take by method: side veneer 93 % (88 to 96), cleft 86 % (78 to 91)."
    )
    assert chart.spoken == (
        "side veneer: 93 % (88 to 96), 312 of 340 took, 9 trays. "
        "cleft: 86 % (78 to 91), 290 of 340 took, 9 trays."
    )


def test_no_text_lies_over_another():
    long = "Hamamelis × intermedia 'Copper Moth Improved' on Hamamelis virginiana"
    chart = takes_chart(
        [*TAKES, Take(long, 0.995, 0.91, 1.0, 1040, 1040, 12)], "combination", name="c"
    )
    figure = chart.figure
    renderer = FigureCanvasAgg(figure).get_renderer()
    boxes = [text.get_window_extent(renderer) for text in figure.axes[0].texts]
    wide = figure.bbox.width
    for index, box in enumerate(boxes):
        assert box.x0 >= 0
        assert box.x1 <= wide
        for other in boxes[index + 1 :]:
            assert not box.overlaps(other), (index, box, other)


def test_svg_is_the_same_twice_and_says_what_it_is():
    first, second = chart_svg(_chart()), chart_svg(_chart())
    assert first == second
    assert '<title id="take-by-method-title">Take by method</title>' in first
    assert "312 of 340 took" in first
    assert "<metadata" not in first
    assert "<style" not in first
    assert "<script" not in first
    ids = re.findall(r'\bid="([^"]+)"', first)
    assert all(name.startswith("take-by-method-") for name in ids)
    assert len(ids) == len(set(ids))


def test_a_name_with_markup_stays_text():
    chart = takes_chart([Take("<b>&x", 0.5, 0.4, 0.6, 5, 10, 2)], "method", name="m")
    svg = chart_svg(chart)
    assert "<b>" not in svg
    assert "&lt;b&gt;&amp;x" in svg


def test_a_name_with_dollar_signs_is_not_set_as_mathematics():
    chart = takes_chart([Take("lot $5_a$", 0.5, 0.4, 0.6, 5, 10, 2)], "lot", name="m")
    texts = chart.figure.axes[0].texts
    assert texts[0].get_text() == "lot $5_a$"
    assert all(not text.get_parse_math() for text in texts)
    figure_svg(chart.figure)


@pytest.mark.parametrize(
    ("values", "floor"), [([0.83], 0.8), ([0.99, 1.0], 0.8), ([0.04], 0.0), ([0.7], 0.7), ([], 0.0)]
)
def test_the_axis_starts_at_the_ten_below(values, floor):
    assert axis_floor(values) == pytest.approx(floor, abs=1e-12)
