"""Further factors and grafters as blocks: raw rates counted here, known truth, nobody ranked."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from takestats.pages.along import MANY_TRAYS
from takestats.pages.further import further_factors, further_models, grafter_model
from takestats.pages.further_topic import further_topic
from takestats.pages.gathered import Gathered
from takestats.pages.given import drawn_factors, given_blocks
from takestats.pages.parts import Cells, Points, Section, Words
from takestats.pages.topic import Topic
from tests.pages.bench_season import gathered, log_odds, season, silent, unfitted


@pytest.fixture(scope="module")
def frame() -> pd.DataFrame:
    return season(48)


@pytest.fixture(scope="module")
def found(frame: pd.DataFrame) -> Gathered:
    return gathered(frame)


@pytest.fixture(scope="module")
def topic(found: Gathered) -> Topic:
    made = further_topic(found, "", silent)
    assert made is not None
    return made


def words(section: Section) -> list[str]:
    said: list[str] = []
    for block in section.blocks:
        if isinstance(block, Words):
            said.append(block.text)
        elif isinstance(block, Points):
            said += block.items
    return said


def sections(topic: Topic) -> dict[str, Section]:
    return {section.key: section for section in topic.sections}


def test_raw_rates_are_those_of_the_typed_counts(frame: pd.DataFrame, topic: Topic) -> None:
    tables = {name: table for name, _, table in topic.tables}
    rates = tables["further_take_by_sealed"].set_index("sealed")["raw_rate"]
    sums = frame.groupby("sealed")[["taken", "grafted"]].sum()
    for level in ("yes", "no"):
        assert rates[level] == pytest.approx(
            sums.loc[level, "taken"] / sums.loc[level, "grafted"], abs=1e-12
        )
    row = tables["further_difference_by_sealed"].iloc[0]
    raw = rates[row["level_a"]] - rates[row["level_b"]]
    assert row["raw_difference"] == pytest.approx(raw, abs=1e-12)


def test_the_known_gain_of_a_seal_is_within_its_limits(found: Gathered, topic: Topic) -> None:
    """Averaged over the season's own mix of method and caliper."""
    row = {name: table for name, _, table in topic.tables}["further_difference_by_sealed"].iloc[0]
    lines = found.trays
    takes = {
        level: np.mean(
            1 / (1 + np.exp(-log_odds(lines["method"], lines["understock_caliper_mm"], level)))
        )
        for level in ("yes", "no")
    }
    truth = takes[row["level_a"]] - takes[row["level_b"]]
    assert row["low"] <= truth <= row["high"]


def test_the_words_of_a_further_factor(topic: Topic) -> None:
    section = sections(topic)["further-sealed"]
    assert section.heading == "By sealed"
    said = words(section)
    assert said[0].startswith("Sealed: yes took ")
    assert said[0].endswith(", at the same mix of method.")
    assert said[1:] == [
        "Counted at the settled count, 16 June 2026.",
        "Sealed is compared at the same mix of method; trays of one day share its effect.",
        "Sealed was recorded, not given by lot: seen together, not shown to cause.",
    ]
    assert topic.bench == (said[0],)
    assert [type(block) for block in section.blocks].count(Cells) == 2


def test_what_is_not_compared_is_said(topic: Topic) -> None:
    assert words(sections(topic)["further-not-compared"]) == [
        "Relation: one level alone is recorded (same genus), so there is nothing to compare.",
        "Not recorded: union height, healing, caliper class and caliper match.",
    ]


def test_grafters_are_blocks_and_nobody_is_named(topic: Topic) -> None:
    section = sections(topic)["grafters"]
    told = " ".join(words(section))
    for block in section.blocks:
        if isinstance(block, Cells):
            told += " ".join(cell for row in block.rows for cell in row)
    assert "About two thirds of grafters lie within " in told
    assert "Grafters are adjusted for and never ranked: no take of a person stands" in told
    names = {"KL", "RS", "WX"}
    assert not names & set(told.replace(",", " ").split())
    for name, _, table in topic.tables:
        if "grafter" in name:
            assert not names & {str(cell) for cell in table.to_numpy().ravel()}
    assert "spread_between_grafters" in [name for name, _, _ in topic.tables]
    assert "difference_by_method_grafters_as_blocks" in [name for name, _, _ in topic.tables]
    assert not any("grafter" in line for line in topic.bench)


def test_two_grafters_have_no_spread(frame: pd.DataFrame) -> None:
    two = frame.assign(grafter=["KL", "KL", "RS", "RS"] * 12)
    topic = further_topic(unfitted(two[:16].drop(columns="sealed")), "", silent)
    assert topic is not None
    said = words(sections(topic)["grafters"])
    assert said[0].startswith("2 grafters are too few to say how much grafters differ. Grafters")
    assert "spread_between_grafters" not in [name for name, _, _ in topic.tables]


def test_a_grafter_for_each_method_cannot_be_adjusted_for(frame: pd.DataFrame) -> None:
    one_each = frame.assign(method=np.resize(["cleft", "side veneer", "chip bud"], 48))
    one_each["grafter"] = one_each["method"].map(
        {"cleft": "KL", "side veneer": "RS", "chip bud": "WX"}
    )
    said = grafter_model(unfitted(one_each))
    assert said == "Grafters are not adjusted for: its levels are those of method, one for one."


def test_what_the_page_compares_already_is_not_compared_again(frame: pd.DataFrame) -> None:
    found = unfitted(frame)
    found.rates["sealed"] = found.rates["method"]
    assert further_factors(found).factors == ()


def test_many_heights_are_not_compared_two_by_two(frame: pd.DataFrame) -> None:
    said = further_factors(unfitted(frame.assign(union_height_mm=np.arange(48) + 50.0))).said
    assert said[0].startswith("Union height: 48 different ones are too many to compare; ")


def test_a_relation_counts_its_combinations_not_its_trays(frame: pd.DataFrame) -> None:
    scions = [
        "Hamamelis mollis",
        "Hamamelis virginiana 'Lamp'",
        "Hamamelis vernalis",
        "Hamamelis japonica",
    ]
    several = frame.assign(scion=np.resize(np.repeat(scions, 2), 48))
    assert further_factors(unfitted(several)).factors == ("sealed", "relation")
    found = unfitted(several.drop(columns=["sealed", "grafter"])[:24])
    topic = further_topic(found, "", silent)
    assert topic is not None
    assert topic.bench == (), "nothing clear of zero, nothing on the one sheet"
    said = " ".join(words(sections(topic)["further-relation"]))
    assert "at the same mix of method; trays of one combination share its effect" in said
    assert (
        "Relation was given to whole combinations (3 combinations of same genus and 1 combination "
        "of same species): these combinations cannot tell relation from the combination." in said
    )


def test_many_blanks_stand_beside_the_main_factor_alone(frame: pd.DataFrame) -> None:
    frame = frame.assign(healing=np.resize(["hot pipe", "hot pipe", "open bench"], 48))
    frame.loc[:3, "healing"] = None
    models = further_models(unfitted(frame[:24]), ["sealed", "healing"]).models
    assert models["sealed"].factors == ("method", "sealed")
    assert models["healing"].factors == ("method", "healing")
    assert models["healing"].trays == 20


def test_a_big_season_is_fitted_cell_by_cell() -> None:
    trays = MANY_TRAYS + 1
    found = unfitted(season(trays).assign(graft_date="2026-01-05"))
    model = further_models(found, ["sealed"]).models["sealed"]
    assert model.design.interactions == (("method", "sealed"),)
    assert model.grouping is None


def test_with_nothing_further_there_is_no_topic(frame: pd.DataFrame) -> None:
    assert further_topic(unfitted(frame.drop(columns=["sealed", "grafter"])), "", silent) is None


def test_hostile_levels_stay_as_they_were_typed(frame: pd.DataFrame) -> None:
    bad = "<i>hot</i> {{1}} ~ C(x)"
    topic = further_topic(
        unfitted(
            frame.assign(healing=np.resize([bad, "open"], 48))[:16].drop(
                columns=["grafter", "sealed", "graft_date"]
            )
        ),
        "",
        silent,
    )
    assert topic is not None
    cells = [b for b in sections(topic)["further-healing"].blocks if isinstance(b, Cells)]
    assert bad in {row[0] for row in cells[0].rows}


# --- how each factor was given --------------------------------------------------------------


def test_how_each_factor_was_given(found: Gathered) -> None:
    text, cells = given_blocks(found)
    assert isinstance(text, Words)
    assert text.text == (
        "Given by lot, as the settings say: method. Recorded only: sealed, understock caliper and "
        "date of grafting; what these show was seen together, not shown to cause."
    )
    assert isinstance(cells, Cells)
    assert [row[:2] for row in cells.rows] == [
        ("method", "by lot, to whole trays"),
        ("sealed", "recorded only"),
        ("understock caliper", "recorded only"),
        ("date of grafting", "recorded only"),
    ]


def test_without_a_lot_everything_is_recorded_only(frame: pd.DataFrame) -> None:
    found = gathered(frame.drop(columns=["understock_caliper_mm", "graft_date"])[:12])
    object.__setattr__(found.asked, "randomised", "no")
    assert drawn_factors(found) == []
    text = given_blocks(found)[0]
    assert isinstance(text, Words)
    assert text.text.startswith("Recorded only: method and sealed; what these show")


def test_what_stands_with_a_factor_is_named(frame: pd.DataFrame) -> None:
    together = frame[:12].drop(columns=["understock_caliper_mm", "graft_date"])
    together["grafter"] = np.where(together["method"] == "cleft", "KL", "RS")
    found = gathered(together)
    cells = given_blocks(found)[1]
    assert isinstance(cells, Cells)
    # The sentences further down the page say the same.
    assert found.confounded.table["other"].unique().tolist() == ["grafter"]
    assert cells.rows[0] == ("method", "by lot, to whole trays", "grafter (both levels)")
    assert cells.rows[1] == ("sealed", "recorded only", "nothing that is recorded")
