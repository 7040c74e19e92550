"""Every order within limits, and every window, that is refused: one call each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from takestats.order.week_capacity import weeks_of
from takestats.order.within_limits import Limits, Source, fit_within
from tests.told_refusals import told_refusals

EMBER = "Acer rubrum 'Ember' on Acer rubrum"
SOURCE = Source(
    combination=EMBER,
    wood="terminal",
    understock="thin",
    saleable_per_graft=0.6,
    first_week=0,
    last_week=1,
)
LIMITS = Limits(
    weeks=("week of 5 January 2026", "week of 12 January 2026"),
    grafts_a_week=(500, 500),
    pieces={("Acer rubrum 'Ember'", "terminal"): 300},
    understocks={"thin": 400},
)


def refusals() -> Iterator[tuple[str, Callable[[], object]]]:
    """A name and a call that must raise."""

    def of(wanted: Any = None, sources: Any = None, **more: Any) -> Callable[[], object]:
        limits = replace(LIMITS, **{k: more.pop(k) for k in list(more) if hasattr(LIMITS, k)})
        given = [SOURCE] if sources is None else sources
        return lambda: fit_within(given, {EMBER: 200} if wanted is None else wanted, limits, **more)

    def by(**changed: Any) -> list[Source]:
        return [replace(SOURCE, **changed)]

    yield "nothing wanted", of({})
    yield "no plants wanted", of({EMBER: 0})
    yield "minus plants wanted", of({EMBER: -5})
    yield "half a plant wanted", of({EMBER: 20.5})
    yield "plants in words", of({EMBER: "many"})
    yield "plants beyond any nursery", of({EMBER: 2_000_000})
    yield "no source", of(sources=[])
    yield "a source of nothing wanted", of(sources=by(combination="Acer rubrum 'Embr' on Acer"))
    yield "a source twice", of(sources=[SOURCE, SOURCE])
    yield "a take in percent", of(sources=by(saleable_per_graft=60))
    yield "a take that is none", of(sources=by(saleable_per_graft=float("nan")))
    yield "a take of nothing", of(sources=by(saleable_per_graft=0.0))
    yield "a cost below nothing", of(sources=by(cost_per_graft=-1.0))
    yield "a week beyond the last", of(sources=by(last_week=2))
    yield "half a week", of(sources=by(first_week=0.5))
    yield "a source's window turned round", of(sources=by(first_week=1, last_week=0))
    yield "no weeks", of(weeks=(), grafts_a_week=())
    yield "a week without its grafts", of(grafts_a_week=(500,))
    yield "a week twice", of(weeks=("week 1", "week 1"))
    yield "minus grafts in a week", of(grafts_a_week=(500, -1))
    yield "no graft in any week", of(grafts_a_week=(0, 0))
    yield "minus pieces", of(pieces={("Acer rubrum 'Ember'", "sub_terminal"): -3})
    yield "pieces in words", of(pieces={("Acer rubrum 'Ember'", "not recorded"): "some"})
    yield "half an understock", of(understocks={"thin": 1.5})
    yield "a tray of nothing", of(tray_size=0)
    yield "a priority of nothing", of(priorities={"Acer rubrum": 1})
    yield "a priority of 0", of(priorities={EMBER: 0})
    yield "least of something else", of(least="days")

    def weeks(window: Any, a_day: Any = 120, a_week: Any = 4, year: Any = 2026):
        return lambda: weeks_of(window, a_day, a_week, year)

    usual = "early January to mid March"
    yield "no window", weeks(None)
    yield "a blank window", weeks("  ")
    yield "a window in other words", weeks("after the frost")
    yield "a month that is none", weeks("early Janury to mid March")
    yield "three sides", weeks("January to February to March")
    yield "a list of one", weeks(["2026-01-05"])
    yield "a day that is none", weeks("31 February to mid March")
    yield "a date of figures only", weeks("5/1/2026 to 13/3/2026")
    yield "a number", weeks(11)
    yield "a window that ends first", weeks("mid March to early January")
    yield "a window over New Year", weeks("early December to late January")
    yield "days that end first", weeks([dt.date(2026, 3, 13), dt.date(2026, 1, 5)])
    yield "a window of years", weeks("2026-01-05 to 2027-03-13")
    yield "no grafts a day given", weeks(usual, None)
    yield "0 grafts a day", weeks(usual, 0)
    yield "minus grafts a day", weeks(usual, -20)
    yield "grafts a day in words", weeks(usual, "many")
    yield "grafts a day beyond any bench", weeks(usual, 50_000)
    yield "no days a week given", weeks(usual, 120, None)
    yield "0 days a week", weeks(usual, 120, 0)
    yield "8 days a week", weeks(usual, 120, 8)
    yield "a year of figures two", weeks(usual, 120, 4, 26)


def told() -> str:
    """Every message, one after another, for proof-reading."""
    return told_refusals(refusals())
