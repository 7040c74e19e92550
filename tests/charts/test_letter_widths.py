"""The table of letter widths, held against the font it was read from."""

from __future__ import annotations

import subprocess
import sys

from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.ft2font import LoadFlags

from takestats.charts.letter_widths import UNITS, WIDTHS
from takestats.charts.lettering import FONT


def test_every_width_is_that_of_the_font() -> None:
    font = get_font(findfont(FontProperties(family=FONT)))
    assert font.units_per_EM == UNITS
    known = font.get_charmap()
    assert all(ord(letter) in known for letter in WIDTHS)
    assert {
        letter: font.load_char(ord(letter), flags=LoadFlags.NO_SCALE).horiAdvance
        for letter in WIDTHS
    } == WIDTHS


def test_usual_names_are_measured_without_the_drawing_library() -> None:
    told = (
        "import sys; from takestats.charts.lettering import inches; "
        "inches('Hamamelis × intermedia', 9.0); print('matplotlib' in sys.modules); "
        "inches('木', 9.0); print('matplotlib' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "True"]
