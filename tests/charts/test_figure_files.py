"""A chart as a file of its own: its words with it, the same bytes each time."""

from __future__ import annotations

import io
import re
import struct
import zlib
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.image import imread

from takestats.charts.chart import Chart
from takestats.charts.figure_files import (
    DOTS,
    caption_lines,
    caption_strip,
    png_file,
    svg_file,
)
from takestats.charts.lettering import inches
from takestats.charts.style import MARGIN, WIDTH
from takestats.charts.svg import chart_svg
from takestats.charts.takes import takes_chart
from takestats.wording.charts import Take

SVG = "{http://www.w3.org/2000/svg}"


def chart(name: str = "cleft") -> Chart:
    return takes_chart(
        [Take(name, 0.84, 0.76, 0.9, 84, 100, 5), Take("side veneer", 0.9, 0.8, 0.95, 90, 100, 5)],
        "method",
        name="take-method",
        marker="INVENTED DATA.",
    )


@pytest.fixture(scope="module")
def files() -> tuple[bytes, bytes]:
    made = chart()
    strip = caption_strip(made)
    return svg_file(made, chart_svg(made), strip), png_file(made, strip)


def test_the_svg_stands_alone_and_says_what_it_shows(files: tuple[bytes, bytes]) -> None:
    root = ElementTree.fromstring(files[0])
    assert root.tag == f"{SVG}svg"
    assert str(root.get("width")).endswith("pt")
    described = root.findtext(f"{SVG}desc") or ""
    assert described.startswith("INVENTED DATA. Take by method: ")
    assert "84 of 100 took" in described
    text = files[0].decode()
    assert set(re.findall(r'https?://[^\s"<]+', text)) <= {
        "http://www.w3.org/2000/svg",
        "http://www.w3.org/1999/xlink",
    }
    ids = re.findall(r'\bid="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    assert set(re.findall(r'href="#([^"]+)"', text)) <= set(ids)


def test_the_drawing_in_the_file_is_the_one_of_the_page() -> None:
    made = chart()
    page = chart_svg(made)
    inside = page[page.index("</desc>") + 7 : -len("</svg>")]
    assert inside in svg_file(made, page, caption_strip(made)).decode()


def _chunks(data: bytes) -> list[tuple[bytes, bytes]]:
    """Parts of a PNG, read as its specification (ISO/IEC 15948, section 5) says."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    found, at = [], 8
    while at < len(data):
        (size,) = struct.unpack(">I", data[at : at + 4])
        kind, body = data[at + 4 : at + 8], data[at + 8 : at + 8 + size]
        assert struct.unpack(">I", data[at + 8 + size : at + 12 + size])[0] == zlib.crc32(
            kind + body
        )
        found.append((kind, body))
        at += 12 + size
    return found


def test_the_png_has_its_dots_its_words_and_no_clock(files: tuple[bytes, bytes]) -> None:
    chunks = _chunks(files[1])
    head = next(body for kind, body in chunks if kind == b"IHDR")
    wide, high = struct.unpack(">II", head[:8])
    sizes = chart().figure.get_size_inches()
    assert wide == round(sizes[0] * DOTS)
    assert high > round(sizes[1] * DOTS)
    assert tuple(head[8:10]) == (8, 2), "eight bits of red, green and blue, nothing see-through"
    texts = b" ".join(body for kind, body in chunks if kind in (b"tEXt", b"iTXt", b"zTXt"))
    assert b"INVENTED DATA" in texts
    assert b"matplotlib" not in texts
    assert not {kind for kind, _ in chunks} & {b"tIME"}
    density = next(body for kind, body in chunks if kind == b"pHYs")
    assert struct.unpack(">I", density[:4])[0] == pytest.approx(DOTS / 0.0254, abs=1)


def test_the_caption_is_drawn_below_the_chart(files: tuple[bytes, bytes]) -> None:
    dots = np.asarray(imread(io.BytesIO(files[1])))
    below = dots[round(chart().figure.get_size_inches()[1] * DOTS) :, :, :3]
    assert (below < 0.5).mean() > 0.005


def test_the_same_chart_gives_the_same_bytes(files: tuple[bytes, bytes]) -> None:
    made = chart()
    strip = caption_strip(made)
    png = png_file(made, strip)
    assert (svg_file(made, chart_svg(made), strip), png) == files


def test_names_that_are_markup_stay_words() -> None:
    made = chart("<script>alert(1)</script> & \u202e'x'")
    text = svg_file(made, chart_svg(made), caption_strip(made)).decode()
    assert "<script" not in text
    described = ElementTree.fromstring(text.encode()).findtext(f"{SVG}desc") or ""
    assert "<script>alert(1)</script> & \ufffd'x'" in described


@given(st.text(min_size=1, max_size=200))
def test_every_line_of_a_caption_fits(text: str) -> None:
    lines = caption_lines(text)
    assert all(inches(line, 8.0) <= WIDTH - 4 * MARGIN for line in lines)
    assert "".join(lines).replace(" ", "") == "".join(text.split())
