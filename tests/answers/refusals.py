"""Every question that the answers refuse, one call each on small invented trials."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pandas as pd

from takestats.answers.expected_take import expected_take
from takestats.answers.gaps import differences
from takestats.answers.group_takes import group_takes
from takestats.answers.history import season_history
from takestats.answers.odds import odds_ratios
from takestats.answers.rates import take_rates
from takestats.errors import TakeError
from takestats.models.fit import fit_take
from takestats.models.take_model import TakeModel
from tests.answers.grouped_trials import seasons_records
from tests.models.small_trials import bench, records_of, two_by_two, two_methods

Refusal = tuple[str, Callable[[], object]]
BOTH = ["method", "scion_wood"]


def _diagonal() -> TakeModel:
    """Three methods; no wood has trays of both cleft and splice."""
    frame = two_by_two()
    keep = (frame["method"] == "side veneer") | (frame["scion_wood"] == "terminal")
    third = bench({"splice": [(15, 20), (14, 20)]}, scion_wood="sub_terminal")
    third["tray"] = ["T13", "T14"]
    records = records_of(pd.concat([frame[keep], third], ignore_index=True))
    return fit_take(records, BOTH, engine="quick")


def refusals() -> Iterator[Refusal]:
    """A name and a call that must raise."""
    model = fit_take(records_of(two_methods()), ["method"])
    cells = fit_take(records_of(two_by_two()), BOTH, engine="quick")
    gapped = _diagonal()
    yield "rates by an unknown factor", lambda: take_rates(model, "methods")
    yield "rates within an unknown factor", lambda: take_rates(model, "method", within="wood")
    yield "at an unknown factor", lambda: take_rates(model, "method", at={"wood": "terminal"})
    yield "at an unknown level", lambda: take_rates(cells, "method", at={"scion_wood": "terminl"})
    yield "over an unknown column", lambda: take_rates(model, "method", over={"wood": "x"})
    yield "over an unknown level", lambda: take_rates(model, "method", over={"method": "cleff"})
    yield (
        "over lines that do not exist",
        lambda: take_rates(
            gapped, "method", over={"method": "cleft", "scion_wood": "sub_terminal"}
        ),
    )
    yield "unknown weights", lambda: take_rates(model, "method", weights="plants")  # type: ignore[arg-type]
    yield "a level in percent", lambda: take_rates(model, "method", level=95)
    yield "differences of an unknown factor", lambda: differences(model, "wood")
    yield "unknown pairs", lambda: differences(model, "method", pairs="some")
    yield (
        "a pair with an unknown level",
        lambda: differences(model, "method", pairs=[("cleft", "side venner")]),
    )
    yield "an unknown adjustment", lambda: differences(model, "method", multiple="bonferroni")  # type: ignore[arg-type]
    yield (
        "a pair without a shared stratum",
        lambda: differences(gapped, "method", pairs=[("cleft", "splice")]),
    )
    yield "nothing to compare", lambda: differences(
        fit_take(records_of(two_methods()), []), []
    )  # fmt: skip
    yield "an unknown kind of odds", lambda: odds_ratios(model, "method", kind="marginal")  # type: ignore[arg-type]
    yield "odds in percent", lambda: odds_ratios(model, "method", level=95)
    yield "group takes without a grouping", lambda: group_takes(model)
    seasons, one = seasons_records(), seasons_records(combinations=1)
    yield "a new year", lambda: expected_take(seasons, "combination", new="year")  # type: ignore[arg-type]
    yield "an unknown side", lambda: expected_take(seasons, "combination", side="left")  # type: ignore[arg-type]
    yield "expected take by an unknown column", lambda: expected_take(seasons, "combinations")
    yield (
        "an unknown relation",
        lambda: expected_take(seasons, "combination", relation="same kind"),
    )
    yield (
        "a relation without names",
        lambda: expected_take(records_of(two_methods()), "method", relation="any"),
    )
    yield (
        "a new combination from one",
        lambda: expected_take(one, "combination", relation="any"),
    )
    yield "history by an unknown column", lambda: season_history(
        records_of(two_methods()), "metod"
    )  # fmt: skip


def told() -> str:
    """Every refusal as it is told, in a form that a person can proof-read."""
    lines = [
        "What the answers refuse, as it is told. Pinned by tests/answers/test_population.py;",
        "proof-read it when a text changes. Invented records.",
        "",
    ]
    for name, call in refusals():
        try:
            call()
        except TakeError as refused:
            lines += [f"[{name}] {type(refused).__name__}", str(refused), ""]
        else:
            lines += [f"[{name}] WAS NOT REFUSED", ""]
    return "\n".join(lines)
