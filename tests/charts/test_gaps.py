"""The chart of differences: zero line, adjusted beside raw, words that match."""

from __future__ import annotations

import math

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from takestats.charts.gaps import gaps_chart
from takestats.charts.svg import chart_svg
from takestats.wording.charts import Gap

CLEAR = Gap("side veneer", "cleft", 0.06, 0.01, 0.12, 0.05, -0.02, 0.13)
CROSSING = Gap("whip-and-tongue", "cleft", 0.02, -0.05, 0.09, math.nan, math.nan, math.nan)
LONG = Gap(
    "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana",
    "Carpinus betulus 'Grey Sentry' on Carpinus betulus",
    -0.02,
    -0.25,
    0.19,
    -0.03,
    -0.2,
    0.14,
)


def test_a_line_stands_at_zero():
    axes = gaps_chart([CLEAR], "method", name="g").figure.axes[0]
    assert any(
        list(line.get_xdata()) == [0.0, 0.0] and line.get_linewidth() > 1 for line in axes.lines
    )


def test_raw_is_open_and_adjusted_is_filled():
    axes = gaps_chart([CLEAR], "method", name="g").figure.axes[0]
    dots = [line for line in axes.lines if line.get_marker() not in ("None", "", None)]
    assert [float(dot.get_xdata()[0]) for dot in dots] == [0.06, 0.05]
    assert dots[1].get_markerfacecolor() == "white"
    assert dots[0].get_markerfacecolor() != "white"


@pytest.mark.parametrize(
    ("gaps", "sentence"),
    [
        ([CLEAR], "The line of side veneer minus cleft lies wholly above zero."),
        ([CROSSING], "The line of whip-and-tongue minus cleft crosses zero."),
        (
            [CLEAR, CROSSING],
            "Of 2 differences, 1 has a line that keeps clear of zero; 1 crosses it.",
        ),
    ],
)
def test_the_sentence_says_where_the_line_lies(gaps, sentence):
    assert gaps_chart(gaps, "method", name="g").sentence == sentence


def test_no_text_lies_over_another():
    figure = gaps_chart([CLEAR, CROSSING, LONG], "combination", name="g").figure
    renderer = FigureCanvasAgg(figure).get_renderer()
    boxes = [text.get_window_extent(renderer) for text in figure.axes[0].texts]
    for index, box in enumerate(boxes):
        assert box.x1 <= figure.bbox.width
        assert not any(box.overlaps(other) for other in boxes[index + 1 :])


def test_the_zero_line_cuts_no_text():
    at_zero = CLEAR._replace(low=0.0, raw_low=0.0)
    figure = gaps_chart([at_zero, CROSSING, LONG], "combination", name="g").figure
    axes = figure.axes[0]
    renderer = FigureCanvasAgg(figure).get_renderer()
    zero = [line for line in axes.lines if line.get_linewidth() == 1.1]
    lines = [line.get_window_extent(renderer) for line in zero]
    assert len(lines) == 3
    for text in axes.texts:
        box = text.get_window_extent(renderer)
        assert not any(box.y0 < line.y1 and line.y0 < box.y1 for line in lines)


def test_the_same_bytes_twice():
    assert chart_svg(gaps_chart([CLEAR], "method", name="g")) == chart_svg(
        gaps_chart([CLEAR], "method", name="g")
    )
