"""Letters of a drawing: their width against the library's own, and what it cannot draw."""

from __future__ import annotations

import warnings

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path

from takestats.charts.lettering import FONT, drawable, inches, letter_safely
from takestats.charts.style import MARGIN, NAME_SIZE, WIDTH, wrapped
from takestats.charts.svg import figure_svg


@pytest.mark.parametrize(
    "text", ["Hamamelis × intermedia 'Copper Moth'", "WWWW", "ill", "Ή אב 91 %"]
)
def test_widths_are_those_of_the_drawing_library(text: str) -> None:
    """Letters that move together (kerning) are the whole difference: three percent at most."""
    font = FontProperties(family=FONT, size=NAME_SIZE)
    own = text_to_path.get_text_width_height_descent(text, font, ismath=False)[0] / 72.0
    assert inches(text, NAME_SIZE) == pytest.approx(own, rel=0.03)


@given(st.text(max_size=30))
def test_any_text_at_all_can_be_drawn_without_a_complaint(text: str) -> None:
    figure = Figure(figsize=(2, 1))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        figure.text(0.1, 0.5, text, parse_math=False)
        figure_svg(figure)


def test_a_name_cannot_turn_round_what_stands_after_it() -> None:
    assert drawable("T01 \u202e21 of 30") == "T01 \ufffd21 of 30"
    figure = Figure(figsize=(2, 1))
    said = figure.text(0.1, 0.5, "T01 \u202e21 of 30\nnext")
    letter_safely(figure)
    assert said.get_text() == "T01 \ufffd21 of 30\nnext"


@example("\n")
@given(st.text(min_size=1, max_size=220))
def test_every_line_of_a_long_name_fits_and_no_letter_is_lost(text: str) -> None:
    lines = wrapped(text)
    assert max(inches(line, NAME_SIZE) for line in lines) <= WIDTH - 4 * MARGIN + 0.01
    assert max(map(len, lines)) <= 54
    # An end of line within a name is a blank, as for every text that `drawable` prepares.
    assert "".join(lines).replace(" ", "") == text.replace("\n", "").replace(" ", "")
