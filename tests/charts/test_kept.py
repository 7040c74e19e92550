"""The chart of a two-stage rule shows its chances by the true take."""

from __future__ import annotations

from takestats.charts.kept import kept_chart
from takestats.charts.svg import figure_svg
from takestats.wording.plan_charts import KeptPoint

ROWS = [
    KeptPoint(0.5, 0.98, 0.0, 6.5),
    KeptPoint(0.7, 0.58, 0.049, 15.0),
    KeptPoint(0.9, 0.11, 0.805, 24.7),
    KeptPoint(0.95, 0.03, 0.97, 26.3),
]


def test_both_lines_and_both_takes():
    chart = kept_chart(ROWS, ROWS[1], ROWS[2], marker="INVENTED DATA.")
    lines = [line for line in chart.figure.axes[0].lines if line.get_marker() in ("o", "s")]
    assert [list(line.get_ydata()) for line in lines] == [
        [row.kept for row in ROWS],
        [row.dropped for row in ROWS],
    ]
    upright = [
        line.get_xdata()[0]
        for line in chart.figure.axes[0].lines
        if len(set(line.get_xdata())) == 1 and len(line.get_xdata()) == 2
    ]
    assert upright == [0.7, 0.9]
    assert chart.sentence == (
        "INVENTED DATA. Kept in 4.9 of 100 trials if its true take is 70 %, in 80 of 100 if it is "
        "90 %."
    )
    assert "True take 95 %: kept 97 of 100, dropped early 3.0 of 100, 26 grafts" in chart.spoken


def test_the_same_bytes():
    one, two = (figure_svg(kept_chart(ROWS, ROWS[1], ROWS[2]).figure) for _ in range(2))
    assert one == two
