"""Every question that fit_take refuses, one small invented trial each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache

import pandas as pd

from takestats.errors import TakeError
from takestats.models.fit import fit_take
from tests.models.small_trials import bench, records_of, two_by_two, two_methods

Refusal = tuple[str, Callable[[], object]]


def _fit(frame: pd.DataFrame, factors: object, **asked: object) -> Callable[[], object]:
    return lambda: fit_take(records_of(frame), factors, **asked)  # type: ignore[arg-type]


def refusals() -> Iterator[Refusal]:
    """A name and a call that must raise."""
    two = two_methods()
    yield "an unknown factor", _fit(two, ["metod"])
    yield "a count as a factor", _fit(two, ["grafted"])
    yield "a column that is blank", _fit(two.assign(grafter=None), ["grafter"])
    yield "a factor that is no text", _fit(two, [3])
    yield "a factor twice", _fit(two, ["method", "method"])
    yield "one level only", _fit(bench({"cleft": [(17, 20), (15, 20)]}), ["method"])
    split = pd.concat(
        [two, two.iloc[[0]].assign(method="side veneer"), two.iloc[[1]].assign(method="splice")],
        ignore_index=True,
    )
    yield "nothing counted yet", _fit(two.assign(taken=None, count_date=None), ["method"])
    yield "every graft missing", _fit(two.assign(missing=two["grafted"], taken=0), ["method"])
    yield "no row with the factor filled in", _fit(
        bench({"cleft": [(17, 20)], "splice": [(15, 20)]}).assign(
            taken=[17, None], count_date=["2026-06-15", None], grafter=[None, "AB"]
        ),
        ["grafter"],
    )  # fmt: skip
    yield "an unknown season", _fit(two, ["method"], season="2025-27")
    yield "an unknown count", _fit(two, ["method"], count="setled")
    yield "an unknown share", _fit(two, ["method"], out_of="alive")
    yield "live understock without its deaths", _fit(two, ["method"], out_of="live_understock")
    yield "an unknown engine", _fit(two, ["method"], engine="tray-model")
    yield "an unknown way with blanks", _fit(two, ["method"], missing="impute")
    by_hand = two.assign(grafter=(["AB", "CD", "EF"] * len(two))[: len(two)])
    yield "an unknown grouping", _fit(two, ["method"], grouping="graftr")
    yield "a grouping that is a factor", _fit(by_hand, ["grafter"], grouping="grafter")
    yield "the tray as a grouping", _fit(two, ["method"], grouping="tray")
    yield (
        "a grouping of single trays",
        _fit(by_hand.assign(understock_lot=two["tray"]), [], grouping="understock_lot"),
    )
    yield "a grouping by the quick form", _fit(by_hand, [], grouping="grafter", engine="quick")
    yield (
        "a grouping beside rows in trays",
        _fit(
            split.assign(grafter=(["AB", "CD", "EF"] * len(split))[: len(split)]),
            ["method"],
            grouping="grafter",
        ),
    )
    yield "three groupings", _fit(two, [], grouping=["grafter", "donor", "block"])
    yield (
        "a grouping inside another",
        _fit(
            two.assign(
                donor=[f"bed {i // 2}" for i in range(len(two))],
                grafter=[["AB", "CD", "EF"][min(i // 2, 2)] for i in range(len(two))],
            ),
            [],
            grouping=["donor", "grafter"],
        ),
    )
    yield "a grouping with one level", _fit(two.assign(grafter="AB"), [], grouping="grafter")
    three = bench({name: [(17, 20), (15, 20)] for name in ("cleft", "splice", "side veneer")})
    yield (
        "a grouping that is a factor by another name",
        _fit(
            three.assign(understock_lot=three["method"].str.upper()),
            ["method"],
            grouping="understock_lot",
        ),
    )
    yield "an unknown reference level", _fit(two, ["method"], reference={"method": "clef"})
    yield "a reference for another column", _fit(two, ["method"], reference={"grafter": "AB"})
    cells = two_by_two()
    both = ["method", "scion_wood"]
    yield "an unknown interaction", _fit(cells, both, interactions=[["method", "wood"]])
    yield "an interaction of one", _fit(cells, both, interactions=[["method"]])
    yield (
        "an interaction with an empty cell",
        _fit(
            cells[~((cells["method"] == "cleft") & (cells["scion_wood"] == "terminal"))],
            both,
            interactions=[both],
        ),
    )
    yield (
        "two factors that are one",
        _fit(
            cells.assign(grafter=cells["method"].map({"cleft": "AB", "side veneer": "CD"})),
            ["method", "grafter"],
        ),
    )
    caliper = cells.assign(understock_caliper_mm=[6.0 + i / 2 for i in range(12)])
    twice = caliper.assign(scion_caliper_mm=caliper["understock_caliper_mm"] - 1.0)
    yield (
        "two curves side by side",
        _fit(twice, ["method"], curves=["understock_caliper_mm", "scion_caliper_mm"]),
    )
    yield "a curve along words", _fit(cells, ["method"], curves=["scion_wood"])
    yield (
        "a curve along dates",
        _fit(cells.assign(graft_date="2026-02-03"), ["method"], curves=["graft_date"]),
    )
    yield (
        "a curve with the quick form",
        _fit(caliper, ["method"], curves=["understock_caliper_mm"], engine="quick"),
    )


@cache
def refused() -> tuple[tuple[str, TakeError | None], ...]:
    """Each name with what its call raised, or None; every call is made once."""
    found: list[tuple[str, TakeError | None]] = []
    for name, call in refusals():
        try:
            call()
        except TakeError as error:
            found.append((name, error))
        else:
            found.append((name, None))
    return tuple(found)


def told() -> str:
    """Every refusal as it is told, in a form that a person can proof-read."""
    lines = [
        "What fit_take refuses, as it is told. Pinned by tests/models/test_fit.py;",
        "proof-read it when a text changes. Invented records.",
        "",
    ]
    for name, error in refused():
        if error is None:
            lines += [f"[{name}] WAS NOT REFUSED", ""]
        else:
            lines += [f"[{name}] {type(error).__name__}", str(error), ""]
    return "\n".join(lines)
