"""Are the charts drawn on the other core those that would be drawn here?"""

from __future__ import annotations

from takestats.models.side_by_side import ONE_AT_A_TIME
from takestats.pages.parts import Picture, SeasonReport
from takestats.pages.season_page import season_report
from takestats.pages.studio import Studio
from tests.pages.small_seasons import small_records
from tests.two_cores import forks


@forks
def test_charts_begun_ahead_are_the_same(monkeypatch, small_report: SeasonReport) -> None:
    pictures = small_report.pictures
    here = Studio().drawings([Picture(draw=picture.draw) for picture in pictures])
    monkeypatch.delenv(ONE_AT_A_TIME)
    studio = Studio(ahead=True)
    studio.begin(pictures[:3])
    studio.begin(pictures[4:])  # one of them was never begun
    there = studio.drawings(pictures)
    assert [drawing.files for drawing in there] == [drawing.files for drawing in here]
    assert [drawing.svg for drawing in there] == [drawing.svg for drawing in here]


@forks
def test_every_chart_of_a_season_is_begun_ahead(monkeypatch) -> None:
    monkeypatch.delenv(ONE_AT_A_TIME)
    studio = Studio(ahead=True)
    begun: list[Picture] = []
    real = studio.begin
    monkeypatch.setattr(studio, "begin", lambda some: (begun.extend(some), real(some)))
    report = season_report(small_records(), studio=studio)
    # History stands in the last part of the page and is drawn when it is written.
    late = [picture for picture in report.pictures if picture not in begun]
    assert len(begun) > len(late)
    assert all(picture.chart.name.startswith("history") for picture in late)
    studio.drawings([])
