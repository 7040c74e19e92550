"""The chart of a curve: band, tray marks, the bar of the window, words that match."""

from __future__ import annotations

import math

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from takestats.charts.curve import CurveLine, curve_chart
from takestats.charts.style import SHAPES
from takestats.charts.svg import chart_svg
from takestats.wording.along import Place, Scale, Window

CALIPER = Scale("understock_caliper_mm")
PLACES = tuple(
    Place(6.0 + 0.2 * k, 0.9 - 0.002 * (k - 10) ** 2, 0.8 - 0.002 * (k - 10) ** 2, 0.97)
    for k in range(25)
)
WINDOW = Window(8.0, 7.0, 9.0, 7.5, 8.5, 6.4, 9.9)
DOTS = {"cleft": [(5.5, 0.61), (8.0, 0.9)], "side veneer": [(7.0, 0.95), (11.4, 0.4)]}
LINE = CurveLine(name="", places=PLACES, window=WINDOW, dots=DOTS)
LONG = (
    "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana grown from a lot with a long name"
)


def _chart(*lines: CurveLine, scale: Scale = CALIPER):
    return curve_chart(lines or [LINE], scale, name="along-x")


def test_every_number_of_the_curve_is_drawn_as_given():
    axes = _chart().figure.axes[0]
    curve = [line for line in axes.lines if len(line.get_xdata()) == len(PLACES)]
    assert [float(x) for x in curve[0].get_xdata()] == [place.at for place in PLACES]
    assert [float(y) for y in curve[0].get_ydata()] == [place.take for place in PLACES]
    band = axes.collections[0].get_paths()[0].vertices
    for place in PLACES:
        mine = band[abs(band[:, 0] - place.at) < 1e-9][:, 1]
        assert min(mine) == pytest.approx(place.low)
        assert max(mine) == pytest.approx(place.high)


def test_each_tray_has_a_mark_and_levels_differ_by_shape_not_by_colour():
    axes = _chart().figure.axes[0]
    marks = [line for line in axes.lines if line.get_marker() in SHAPES]
    assert [line.get_marker() for line in marks] == list(SHAPES[:2])
    assert [list(zip(m.get_xdata(), m.get_ydata(), strict=True)) for m in marks] == list(
        DOTS.values()
    )
    assert len({line.get_markeredgecolor() for line in marks}) == 1
    assert "circle cleft, square side veneer" in _chart().key


def test_the_bar_runs_over_the_window_and_its_thick_part_over_the_sure_one():
    axes = _chart().figure.axes[0]
    flat = {
        tuple(line.get_xdata())
        for line in axes.lines
        if len(line.get_xdata()) == 2 and line.get_ydata()[0] == line.get_ydata()[1]
    }
    assert (7.0, 9.0) in flat
    assert (7.5, 8.5) in flat
    assert {line.get_linewidth() for line in axes.lines} >= {2.2, 5.0}
    said = [text.get_text() for text in axes.texts]
    assert said == ["within 5 points of the best: 7.0 to 9.0 mm"]


def test_the_sentence_the_key_and_what_is_spoken():
    chart = _chart()
    assert chart.sentence == (
        "Understock caliper: between 7.0 and 9.0 mm the take is within 5 points of its best."
    )
    assert chart.title == "Take along understock caliper"
    assert chart.spoken == (
        "At 6.0 mm: 70 % (95 % confidence interval 60 to 97). "
        "At 7.2 mm: 87 % (95 % confidence interval 77 to 97). "
        "At 8.4 mm: 89 % (95 % confidence interval 79 to 97). "
        "At 9.6 mm: 77 % (95 % confidence interval 67 to 97). "
        "At 10.8 mm: 51 % (95 % confidence interval 41 to 97). "
        "Within 5 points of the best: 7.0 to 9.0 mm."
    )
    marked = curve_chart([LINE], CALIPER, name="x", marker="INVENTED DATA.")
    assert marked.sentence.startswith("INVENTED DATA. Understock caliper")


def test_no_window_is_said_and_not_drawn():
    nowhere = Window(8.0, *[math.nan] * 6)
    chart = _chart(CurveLine(name="", places=PLACES, window=nowhere, dots=DOTS))
    assert "these trays cannot say where between 6.0 and 10.8 mm" in chart.sentence
    axes = chart.figure.axes[0]
    assert not [line for line in axes.lines if line.get_linewidth() in (2.2, 5.0)]
    assert "nan" not in chart.sentence + chart.spoken + "".join(t.get_text() for t in axes.texts)


def test_one_panel_a_level_on_the_same_axes():
    lines = [
        CurveLine(name=name, places=PLACES, window=WINDOW, dots={name: dots})
        for name, dots in DOTS.items()
    ]
    chart = _chart(*lines)
    first, second = chart.figure.axes
    assert first.get_xlim() == second.get_xlim()
    assert first.get_ylim() == second.get_ylim()
    assert chart.sentence.count("within 5 points of its best") == 2
    assert "Understock caliper, side veneer: between" in chart.sentence
    assert "side veneer, at 8.4 mm: 89 %" in chart.spoken


@pytest.mark.parametrize(
    ("low", "high"), [(6.0, 6.4), (10.2, 10.8), (7.0, 9.0), (6.0, 10.8), (8.0, 8.0)]
)
def test_no_text_lies_over_another_or_outside(low, high):
    line = CurveLine(
        name=LONG, places=PLACES, window=WINDOW._replace(low=low, high=high), dots=DOTS
    )
    figure = _chart(line, line).figure
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    renderer = canvas.get_renderer()
    texts = [*figure.texts, *(t for axes in figure.axes for t in axes.texts)]
    for axes in figure.axes:
        texts += [t for t in axes.get_xticklabels() if t.get_text()]
        texts += [axes.xaxis.label, axes.yaxis.label]
        texts += [t for t in axes.get_yticklabels() if t.get_text()]
    boxes = [t.get_window_extent(renderer) for t in texts if t.get_text()]
    assert len(boxes) > 12
    for index, box in enumerate(boxes):
        assert box.x0 >= 0
        assert box.x1 <= figure.bbox.width
        assert box.y0 >= 0
        assert box.y1 <= figure.bbox.height
        assert not any(box.overlaps(other) for other in boxes[index + 1 :])


def test_dates_stand_on_the_axis_of_a_season():
    scale = Scale("day_of_season", "2025-12-29")
    places = tuple(place._replace(at=2.5 * k) for k, place in enumerate(PLACES))
    window = Window(25.0, 20.0, 40.0, math.nan, math.nan, 0.0, 60.0)
    dots = {"": [(0.0, 0.9), (64.0, 0.7)]}
    chart = _chart(CurveLine(name="", places=places, window=window, dots=dots), scale=scale)
    labels = [text.get_text() for text in chart.figure.axes[0].get_xticklabels()]
    assert labels == ["29 Dec", "12 Jan", "26 Jan", "9 Feb", "23 Feb"]
    assert "between 18 January and 7 February" in chart.sentence
    assert chart.spoken.startswith("At 29 December: 70 %")


def test_hostile_names_stay_text():
    name = '<script>alert("x")</script> $\\frac{1}{2}$ {{7*7}}'
    line = CurveLine(name=name, places=PLACES, window=WINDOW, dots={name: DOTS["cleft"]})
    text = chart_svg(_chart(line, scale=Scale("<b>warmth</b>")))
    assert "<script" not in text
    assert "<b>" not in text
    assert "&lt;b&gt;warmth" in text


def test_the_same_bytes_twice():
    assert chart_svg(_chart()) == chart_svg(_chart())
