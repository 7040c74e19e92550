"""The bench map: every tray once, in its place, its count in words, odd ones marked."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.patches import Rectangle
from matplotlib.text import Text

from takestats.charts.bench_map import ACROSS, TALLEST, Sheet, Tray, bench_map, bench_sheets
from takestats.charts.lettering import inches


def tray(number: int, *, bench: str = "south", label: str = "", side: str = "") -> Tray:
    row, place = "", None
    if label[:1].isalpha() and label[1:].isdigit():
        row, place = label[0], int(label[1:])
    elif label.isdigit():
        place = int(label)
    return Tray(bench, row, place, label, f"T{number:02d}", 20.0 + number % 10, 30.0, side)


def drawn(sheet: Sheet, **words: object) -> dict[str, tuple[float, float]]:
    chart = bench_map(sheet, name="bench-map", **words)  # type: ignore[arg-type]
    return {
        text.get_text(): text.get_position()
        for text in chart.figure.findobj(Text)
        if isinstance(text, Text) and text.get_text()
    }


def test_trays_of_one_row_stand_side_by_side_and_rows_below_one_another() -> None:
    trays = [tray(1, label="A1"), tray(2, label="A3"), tray(3, label="B1"), tray(4, label="B3")]
    sheets, rest = bench_sheets(trays)
    assert (len(sheets), rest) == (1, 0)
    at = drawn(sheets[0])
    assert at["T01"][1] == at["T02"][1] > at["T03"][1] == at["T04"][1]
    assert at["T01"][0] == at["T03"][0] < at["T02"][0] == at["T04"][0]
    assert at["T02"][0] - at["T01"][0] == pytest.approx(2 * 4.52 / ACROSS)


def test_counts_stand_in_words_and_an_odd_tray_has_a_heavy_outline_and_a_word() -> None:
    sheets, _ = bench_sheets([tray(1, label="A1"), tray(2, label="A2", side="low")])
    chart = bench_map(sheets[0], name="bench-map", marker="INVENTED DATA.")
    words = [text.get_text() for text in chart.figure.findobj(Text) if isinstance(text, Text)]
    assert {"A1", "T01", "21 of 30", "T02", "22 of 30", "▼ low"} <= set(words)
    boxes = [p for p in chart.figure.findobj(Rectangle) if isinstance(p, Rectangle)]
    widths = sorted({p.get_linewidth() for p in boxes if p.get_facecolor()[:3] == (1, 1, 1)})
    assert widths[-1] > 2 * widths[-2]
    # No colour field: every box is white.
    assert {p.get_facecolor()[:3] for p in boxes} <= {(1.0, 1.0, 1.0)}
    assert chart.sentence == (
        "INVENTED DATA. Of 2 trays on bench south, 1 lies far from its group: T02."
    )
    assert chart.spoken == "Bench south: A1 T01 21 of 30. A2 T02 22 of 30, low."


def test_too_few_trays_are_not_said_to_be_in_order() -> None:
    sheets, _ = bench_sheets([tray(1), tray(2)])
    said = bench_map(sheets[0], name="m", judged=False).sentence
    assert said == "2 trays on bench south, too few for one to stand out."


@given(
    st.lists(
        st.tuples(st.sampled_from(["south", "north", ""]), st.integers(1, 40)),
        min_size=1,
        max_size=90,
        unique=True,
    )
)
def test_every_tray_is_drawn_once_and_no_two_on_one_spot(where: list[tuple[str, int]]) -> None:
    trays = [tray(i, bench=bench, label=f"A{place}") for i, (bench, place) in enumerate(where)]
    sheets, rest = bench_sheets(trays, most=99)
    assert rest == 0
    seen = [t.tray for sheet in sheets for line in sheet for _, t in line.boxes]
    assert sorted(seen) == sorted(t.tray for t in trays)
    for sheet in sheets:
        for line in sheet:
            columns = [column for column, _ in line.boxes]
            assert len(set(columns)) == len(columns) <= ACROSS


def test_a_big_season_is_cut_into_sheets_and_the_rest_is_counted() -> None:
    trays = [tray(i, bench=f"bench {i // 200}", label=str(i % 200 + 1)) for i in range(900)]
    sheets, rest = bench_sheets(trays, most=6)
    assert len(sheets) == 6
    shown = sum(len(line.boxes) for sheet in sheets for line in sheet)
    assert shown + rest == 900
    for index, sheet in enumerate(sheets):
        assert not sheet[0].boxes, "a sheet begins with its bench"
        assert sheet[-1].boxes, "no heading stands alone at the foot"
        chart = bench_map(sheet, name=f"m-{index}")
        assert chart.figure.get_size_inches()[1] < TALLEST + 0.5
    assert any(line.more for line in sheets[1])


def test_a_long_name_is_cut_inside_its_box() -> None:
    long = tray(1)._replace(tray="W" * 200, label="by the door, second from the left")
    sheets, _ = bench_sheets([long])
    chart = bench_map(sheets[0], name="m")
    texts = [t for t in chart.figure.findobj(Text) if isinstance(t, Text)]
    cut = [t.get_text() for t in texts if t.get_text().endswith("…")]
    assert len(cut) == 2
    assert all(inches(text, 7.5) < 4.52 / ACROSS for text in cut)
    assert "W" * 200 in chart.spoken
