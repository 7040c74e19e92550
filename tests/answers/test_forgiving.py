"""Which species forgive a thin scion: the rule, known truth, and raw rates counted elsewhere."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.answers.forgiving import Forgiving, forgiving
from takestats.wording.forgiving import drop_limits, summary_words, verdict_of

PAIR = ["caliper_match", "scion_species"]
TRUTH = {
    ("Acer griseum", "matched"): 0.97,
    ("Acer griseum", "scion thinner"): 0.97,
    ("Carpinus betulus", "matched"): 0.92,
    ("Carpinus betulus", "scion thinner"): 0.70,
}
"""Invented: one species that loses nothing, one that loses 22 points."""


def bench(trays: int, seed: int = 7) -> pd.DataFrame:
    """Invented trays of 40 grafts with a little spread between trays."""
    rng = np.random.default_rng(seed)
    rows = []
    for (species, match), take in TRUTH.items():
        for _ in range(trays):
            own = rng.beta(take * 60, (1 - take) * 60)
            rows.append((species, match, rng.binomial(40, own)))
    frame = pd.DataFrame(rows, columns=["scion_species", "caliper_match", "taken"])
    frame["tray"] = [f"T{i:03d}" for i in range(len(frame))]
    return frame.assign(season="2026", grafted=40, count_date="2026-06-15")


def answer(trays: int) -> tuple[Forgiving, pd.DataFrame]:
    frame = bench(trays)
    model = ts.fit_take(ts.records_from_frame(frame), PAIR, interactions=[PAIR])
    return forgiving(model), frame


@pytest.fixture(scope="module")
def many() -> tuple[Forgiving, pd.DataFrame]:
    return answer(16)


def test_the_known_drops_are_found_and_judged(many: tuple[Forgiving, pd.DataFrame]) -> None:
    table = many[0].table.set_index("scion_species")
    assert table["verdict"].to_dict() == {
        "Acer griseum": "forgives",
        "Carpinus betulus": "does not forgive",
    }
    for species in table.index:
        truth = TRUTH[species, "matched"] - TRUTH[species, "scion thinner"]
        assert table.loc[species, "low"] <= truth <= table.loc[species, "high"]


def test_raw_drops_are_those_of_plain_arithmetic(many: tuple[Forgiving, pd.DataFrame]) -> None:
    result, frame = many
    sums = frame.groupby(["scion_species", "caliper_match"])[["taken", "grafted"]].sum()
    rates = (sums["taken"] / sums["grafted"]).unstack()
    table = result.table.set_index("scion_species")
    for species in rates.index:
        raw = rates.loc[species, "matched"] - rates.loc[species, "scion thinner"]
        assert table.loc[species, "raw_drop"] == pytest.approx(raw, abs=1e-12)
    assert table["trays_matched"].tolist() == [16, 16]
    assert table["grafts_other"].tolist() == [640, 640]


def test_what_is_said(many: tuple[Forgiving, pd.DataFrame]) -> None:
    result, _ = many
    assert result.sentences[0] == (
        "A scion thinner than its understock: Acer griseum forgives it (at most 5 points less "
        "take); Carpinus betulus does not."
    )
    assert result.sentences[2].startswith(
        "Carpinus betulus: does not forgive; with the scion thinner, "
    )
    assert result.held is not None
    assert result.held.verdicts == ("differs",)
    assert "the intervals are not widened for their number" in " ".join(result.notes)


def test_few_trays_that_show_no_drop_are_not_said_to_forgive() -> None:
    """The same truth in three trays: no clear drop is not the same as no drop."""
    verdicts = answer(3)[0].table.set_index("scion_species")["verdict"]
    assert verdicts["Acer griseum"] == "cannot be said"


def test_one_species_alone() -> None:
    frame = bench(8)
    frame = frame[frame["scion_species"] == "Carpinus betulus"]
    model = ts.fit_take(ts.records_from_frame(frame), ["caliper_match"])
    result = forgiving(model, only="Carpinus betulus")
    assert result.table["verdict"].tolist() == ["does not forgive"]
    assert result.held is None


def test_the_rule_at_its_edges() -> None:
    assert verdict_of(-0.2, 0.05, 0.05) == "forgives"
    assert verdict_of(-0.2, 0.0501, 0.05) == "cannot be said"
    assert verdict_of(0.0001, 0.06, 0.05) == "does not forgive"
    assert verdict_of(0.01, 0.04, 0.05) == "forgives"
    assert verdict_of(0.0, 0.2, 0.05) == "cannot be said"


def test_limits_are_read_with_their_direction() -> None:
    assert drop_limits(-0.02, 0.11) == "2 points more to 11 points less"
    assert drop_limits(0.0, 0.11) == "0 points more to 11 points less"


def test_many_species_in_one_sentence() -> None:
    told = [
        ("a", "forgives"),
        ("b", "forgives"),
        ("c", "does not forgive"),
        ("d", "cannot be said"),
    ]
    assert summary_words(told, "scion thinner", 0.05) == (
        "A scion thinner than its understock: a and b forgive it (at most 5 points less take); c "
        "does not; of d it cannot be said."
    )


def test_what_cannot_be_asked_is_refused() -> None:
    model = ts.fit_take(ts.records_from_frame(bench(3)), PAIR)
    with pytest.raises(ts.DesignError, match="no interaction"):
        forgiving(model)
    with pytest.raises(ts.CountsError, match=r"0\.05 for 5 points"):
        forgiving(model, allowed=5)
