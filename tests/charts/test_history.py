"""Earlier seasons stand one by one."""

from __future__ import annotations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from takestats.charts.history import history_chart
from takestats.wording.charts import Take

ROWS = [
    (season, Take(name, rate, rate - 0.05, min(1.0, rate + 0.04), 1200, 1220, 6))
    for name in ("cleft", "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana")
    for season, rate in (("2024", 0.8), ("2025", 0.9), ("2026", 0.995))
]


def test_each_season_and_level_has_an_open_mark():
    axes = history_chart(ROWS, "method", name="h").figure.axes[0]
    dots = [line for line in axes.lines if line.get_marker() not in ("None", "", None)]
    assert len(dots) == len(ROWS)
    assert all(dot.get_markerfacecolor() == "white" for dot in dots)


@pytest.mark.parametrize("lower", [0.0, 0.1, 0.2, 0.4, 0.55, 0.7])
def test_no_text_lies_over_another(lower):
    rows = [(season, take._replace(low=take.low - lower)) for season, take in ROWS]
    figure = history_chart(rows, "method", name="h").figure
    renderer = FigureCanvasAgg(figure).get_renderer()
    axes = figure.axes[0]
    boxes = [text.get_window_extent(renderer) for text in [*axes.texts, *axes.get_xticklabels()]]
    for index, box in enumerate(boxes):
        assert box.x1 <= figure.bbox.width
        assert not any(box.overlaps(other) for other in boxes[index + 1 :])


def test_the_sentence_says_that_nothing_is_pooled():
    chart = history_chart(ROWS, "method", name="h")
    assert chart.sentence == (
        "Raw takes by method of 3 seasons, each season on its own: between 80 and 99.5 %."
    )
    assert "not added together" in chart.key
