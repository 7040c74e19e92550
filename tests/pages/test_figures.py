"""Charts beside the page: one drawing, three places."""

from __future__ import annotations

import re
import time
from dataclasses import replace

from takestats.pages.figures import files_of
from takestats.pages.parts import Picture, SeasonReport, Section
from takestats.pages.render import page_bytes
from takestats.pages.studio import Studio


def figure_files(report: SeasonReport) -> dict[str, bytes]:
    return files_of(Studio().drawings(report.pictures))


def test_every_chart_of_the_page_is_there_as_svg_and_png(small_report: SeasonReport) -> None:
    names = re.findall(r'<svg [^>]*aria-labelledby="(\S+)-title', page_bytes(small_report).decode())
    assert len(names) > 3
    assert list(figure_files(small_report)) == [
        f"figures/{name}.{kind}" for name in names for kind in ("svg", "png")
    ]


def test_a_chart_is_drawn_once_for_page_svg_and_png(small_report: SeasonReport) -> None:
    drawn = []

    def counting(picture: Picture) -> Picture:
        def draw() -> object:
            drawn.append(picture)
            return picture.draw()

        return Picture(draw=draw)  # type: ignore[arg-type]

    def with_count(section: Section) -> Section:
        blocks = (counting(b) if isinstance(b, Picture) else b for b in section.blocks)
        return replace(section, blocks=tuple(blocks))

    report = replace(small_report, sections=tuple(map(with_count, small_report.sections)))
    page = page_bytes(report)
    files = figure_files(report)
    assert len(drawn) == len(report.pictures) == len(files) / 2
    # ... and in whichever order they are asked for.
    again = replace(small_report, sections=tuple(map(with_count, small_report.sections)))
    assert figure_files(again) == files
    assert page_bytes(again) == page


def test_every_figure_says_that_the_data_are_invented(small_report: SeasonReport) -> None:
    for name, data in figure_files(small_report).items():
        assert b"INVENTED DATA" in data, name


def test_pictures_are_quick(small_report: SeasonReport) -> None:
    """A dozen took 0.9 s of the processor, page drawing not counted, on a slow machine."""
    page_bytes(small_report)
    begun = time.process_time()
    files = figure_files(small_report)
    assert (time.process_time() - begun) / len(files) < 0.15
