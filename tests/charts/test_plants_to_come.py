"""Plants to come: numbers as given, wanted in sight, nothing over anything."""

from __future__ import annotations

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

from takestats.charts.plants_to_come import plants_chart
from takestats.wording.order_chart import Plants

LONG = "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana"
ROWS = [
    Plants(LONG, 120, 120, 137.1, 153, "saleable"),
    Plants("Acer rubrum 'Ember' on Acer rubrum", 5000, 5000, 9000, 14000, "taken"),
]


def chart(rows=ROWS, **more):
    given = {"assurance": 0.9, "typed": False, "recorded": True} | more
    return plants_chart(rows, name="p", **given)


def test_dots_and_lines_are_the_numbers_for_every_hundred_wanted():
    axes = chart().figure.axes[0]
    dots = [line for line in axes.lines if line.get_marker() not in ("None", "", None)]
    assert [dot.get_xdata()[0] for dot in dots] == pytest.approx([137.1 / 1.2, 180.0])
    lines = [x for line in axes.lines if line.get_linewidth() == 2.2 for x in line.get_xdata()]
    assert lines == pytest.approx([100.0, 127.5, 100.0, 280.0])


@pytest.mark.parametrize("high", [121.0, 130.0, 200.0, 900.0])
def test_no_text_lies_over_another_and_the_wanted_line_is_inside(high):
    rows = [ROWS[0]._replace(high=high, expected=120.5), ROWS[1]._replace(low=4000.0)]
    for shown in (rows, rows[:1]):
        figure = chart(shown).figure
        axes = figure.axes[0]
        assert axes.get_xlim()[0] < 100.0 < axes.get_xlim()[1]
        renderer = FigureCanvasAgg(figure).get_renderer()
        texts = [*axes.texts, *axes.get_xticklabels()]
        boxes = [text.get_window_extent(renderer) for text in texts]
        for index, box in enumerate(boxes):
            assert box.x1 <= figure.bbox.width
            assert not any(box.overlaps(other) for other in boxes[index + 1 :])


def test_words():
    found = chart(marker="INVENTED DATA.")
    assert found.sentence == (
        "INVENTED DATA. For every 100 plants wanted the order is expected to give from 114 "
        f"({LONG}) to 180 (Acer rubrum 'Ember' on Acer rubrum)."
    )
    assert found.spoken.endswith("5,000 plants that take wanted; 9,000 (5,000 to 14,000).")
    assert "10 seasons in 100" in found.key
    assert "usual take" not in found.key
    assert "usual take" in chart(typed=True).key
    assert chart(ROWS[:1]).sentence == f"{LONG}: 137 plants are to be expected for 120 wanted."
