"""Every layout that is refused, one call each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from takestats.bench.layout import bench_layout
from tests.told_refusals import told_refusals

BOTH: Any = {"method": ["cleft", "side veneer"]}
FOUR: Any = {**BOTH, "scion_wood": ["terminal", "basal"]}


def refusals() -> Iterator[tuple[str, Callable[[], object]]]:
    """A name and a call that must raise."""

    def of(treatments: Any, trays_each: Any = 4, **more: Any) -> Callable[[], object]:
        return lambda: bench_layout(treatments, trays_each, **more)

    yield "no treatments", of(None)
    yield "a word for treatments", of("cleft")
    yield "one treatment", of({"method": ["cleft"]})
    yield "an empty list", of([])
    yield "a factor without levels", of({"method": []})
    yield "a treatment that is a word", of(["cleft", "side veneer"])
    yield "treatments of other columns", of([{"method": "cleft"}, {"scion_wood": "basal"}])
    yield "the same treatment twice", of({"method": ["cleft", "Cleft graft"]})
    yield "a blank level", of({"method": ["cleft", " "]})
    yield "a column twice", of([{"method": "cleft", "Method": "splice"}, {"method": "splice"}])
    yield "a column nearly known", of({"methud": ["cleft", "splice"]})
    yield "a column that is no treatment", of({"count_date": ["June", "July"]})
    yield "an ambiguous graft", of({"method": ["whip", "cleft"]})
    yield "a wood that is none", of({"scion_wood": ["terminal", "tipp"]})
    yield "half a tray each", of(BOTH, 2.5)
    yield "no tray each", of(BOTH, 0)
    yield "no blocks", of(BOTH, blocks=0)
    yield "blocks as a word", of(BOTH, blocks="north")
    yield "an unknown kind of block", of(BOTH, blocks={"row": ["1", "2"]})
    yield "a block twice", of(BOTH, blocks=["north", "North"])
    yield "a block without a name", of(BOTH, blocks=["north", ""])
    yield "places in words", of(BOTH, blocks={"bench": {"north": "ten"}})
    yield "trays that do not go into blocks", of(BOTH, 10, blocks=4)
    yield "fewer trays than blocks", of(BOTH, 2, blocks=4)
    yield "trays that do not go into named blocks", of(BOTH, 5, blocks=["north", "south"])
    yield "a block smaller than a replicate", of(FOUR, blocks={"bench": {"north": 3, "south": 9}})
    yield "more trays than places", of(FOUR, 6, blocks={"bench": {"north": 8, "south": 9}})
    yield "too many trays", of(BOTH, 6000)
    yield "a grafter as block and treatment", of({"grafter": ["A", "B"]}, blocks={"grafter": ["A"]})
    yield "an odd tray, split", of(BOTH, tray_size=35, split_trays=True)
    yield "three methods, split", of({"method": ["cleft", "splice", "saddle"]}, split_trays=True)
    yield "no cells in a tray", of(BOTH, tray_size=0)
    yield "a seed in words", of(BOTH, seed="seven")


def told() -> str:
    """Every message, one after another, for proof-reading."""
    return told_refusals(refusals())
