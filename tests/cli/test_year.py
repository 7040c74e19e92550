"""Does the year name what is run when, in the order of the year?"""

from __future__ import annotations

from takestats.cli.year import year


def test_begin_graft_count_choose() -> None:
    text = year()
    order = [
        "takestats start bench",
        "takestats trays tell-apart",
        "Early winter",
        "takestats check",
        "takestats order",
        "settled count",
        "takestats report",
        "--earlier",
        "takestats compare",
        "takestats demo",
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    assert text.count("bench/records.xlsx") == 8  # the file that start writes is the one checked
