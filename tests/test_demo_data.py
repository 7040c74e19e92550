"""Are the demo seasons what they say: invented, remade to the byte, and true to their recipe?"""

from __future__ import annotations

import csv
import subprocess
import sys
from functools import cache
from pathlib import Path

import pandas as pd
import pytest

import takestats as ts
from takestats.answers.cuttings import rooted_shares
from takestats.answers.spending import plan_of
from takestats.answers.stages import stage_shares
from takestats.records.season_so_far import wanted_table

DEMO = Path(__file__).parents[1] / "datasets_demo" / "quern_hollow"
SEASONS = ("2023-24", "2024-25", "2025-26")
FILES = [DEMO / f"season_{season.replace('-', '_')}.csv" for season in SEASONS]
LAST_LAMP = "Hamamelis virginiana 'Last Lamp' on Hamamelis virginiana"


def rows_of(path: Path) -> list[dict[str, str]]:
    """Read a demo table with the standard library alone: line 1 is the mark, line 2 the header."""
    lines = path.read_text(encoding="utf-8").splitlines()[1:]
    return list(csv.DictReader(lines))


def graft_rows(path: Path) -> list[dict[str, str]]:
    """The first and the settled count of the grafts: what the seasons held from the beginning."""
    return [
        row
        for row in rows_of(path)
        if row["count"] in ("first", "settled") and row.get("made_by") != "cutting"
    ]


TRUTHS = rows_of(DEMO / "known_truth.csv")


@cache
def all_seasons() -> ts.Records:
    return ts.read_records(FILES, trial=DEMO / "trial.toml")


@cache
def season_records(season: str) -> ts.Records:
    return ts.read_records(FILES[SEASONS.index(season)], trial=DEMO / "trial.toml")


@cache
def by_method(season: str) -> ts.TakeModel:
    return ts.fit_take(season_records(season), ["method"])


def truth(season: str, level: str, what: str, column: str = "truth_own_trays") -> float:
    found = [
        float(row[column])
        for row in TRUTHS
        if row["season"] == season and row["level"] == level and row["what"] == what
    ]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize("script", ["make_season.py", "plant_faults.py", "so_far.py"])
def test_the_scripts_remake_the_committed_bytes(script: str, tmp_path: Path) -> None:
    subprocess.run([sys.executable, "-B", str(DEMO / script), str(tmp_path)], check=True)
    made = sorted(path.name for path in tmp_path.iterdir())
    assert len(made) == {"make_season.py": 6, "plant_faults.py": 2, "so_far.py": 1}[script]
    for name in made:
        assert (tmp_path / name).read_bytes() == (DEMO / name).read_bytes(), name


@pytest.mark.parametrize("path", sorted(DEMO.glob("*.csv")), ids=lambda path: path.name)
def test_every_table_says_on_its_first_line_that_it_is_invented(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("INVENTED DATA")
    assert "," not in first
    assert ";" not in first


def test_the_seasons_are_read_without_a_fault() -> None:
    records = all_seasons()
    assert records.problems.empty, records.problems.to_string()
    assert records.set_aside.empty
    grafts = records.trays[records.trays["made_by"] == "graft"]
    assert grafts["season"].value_counts().to_dict() == dict.fromkeys(SEASONS, 40)
    cuttings = records.trays[records.trays["made_by"] == "cutting"]
    assert cuttings["season"].tolist() == ["2025-26"] * 8
    assert records.count == "settled"
    assert records.invented
    assert "INVENTED DATA" in records.banner
    assert "20234" in records.banner
    assert "known_truth" in records.banner


def test_the_tray_table_holds_the_settled_counts_as_written() -> None:
    written = {
        (row["season"], row["tray"]): row
        for path in FILES
        for row in graft_rows(path)
        if row["count"] == "settled"
    }
    trays = all_seasons().trays
    trays = trays[trays["made_by"] == "graft"]
    assert len(trays) == len(written) == 120
    for tray in trays.itertuples():
        row = written[tray.season, tray.tray]
        assert tray.grafted == int(row["grafted"])
        assert bool(tray.counted) is (row["taken"] != "")
        for name in ("taken", "understock_dead", "missing"):
            value = getattr(tray, name)
            assert pd.isna(value) if row[name] == "" else value == int(row[name])


def test_the_sheet_of_february_is_the_season_without_what_was_not_known_yet() -> None:
    known = {row["tray"]: row for row in graft_rows(FILES[2]) if row["count"] == "settled"}
    so_far = rows_of(DEMO / "so_far_2026_02_13.csv")
    assert [r["tray"] for r in so_far] == [
        tray for tray, row in known.items() if row["graft_date"] <= "2026-02-13"
    ]
    for row in so_far:
        assert row["graft_date"] <= "2026-02-13" < known[row["tray"]]["bud_break_date"]
        blank = {name for name, value in row.items() if value == ""}
        assert {"bud_break_date", "count_date", "taken", "saleable"} <= blank
        assert all(row[name] == known[row["tray"]][name] for name in row if name not in blank)


def test_two_trays_wait_for_their_settled_count() -> None:
    trays = all_seasons().trays
    waiting = trays[~trays["counted"].astype(bool)]
    assert waiting["tray"].tolist() == ["T339", "T340"]
    assert set(waiting["season"]) == {"2025-26"}


def test_the_first_count_is_never_lower_than_the_settled_one() -> None:
    for path in FILES:
        first = {row["tray"]: row for row in graft_rows(path) if row["count"] == "first"}
        for row in graft_rows(path):
            if row["count"] == "settled" and row["taken"]:
                early = first[row["tray"]]
                assert int(early["taken"]) >= int(row["taken"])
                assert int(early["understock_dead"]) <= int(row["understock_dead"])
                assert int(early["missing"]) <= int(row["missing"])
                assert int(row["saleable"]) <= int(row["taken"])


def test_grafting_ends_before_bud_break() -> None:
    for path in FILES:
        for row in graft_rows(path):
            assert row["scion_cut_date"] < row["graft_date"] < row["bud_break_date"]


def test_every_week_holds_both_methods_so_no_date_goes_with_a_method() -> None:
    for path in FILES:
        weeks: dict[tuple[str, str], list[str]] = {}
        for row in graft_rows(path):
            if row["count"] == "settled":
                weeks.setdefault((row["block"], row["scion"]), []).append(row["method"])
        assert all(sorted(methods) == ["cleft", "side veneer"] for methods in weeks.values())


def listed_faults() -> list[tuple[int, str, str]]:
    """Row, column and kind of every fault, read off the page a person would read."""
    page = (DEMO / "planted_faults.md").read_text(encoding="utf-8")
    cells = [[cell.strip() for cell in line.split("|")] for line in page.splitlines()]
    return [(int(c[1]), c[2], c[5]) for c in cells if len(c) > 5 and c[1].isdigit()]


def test_the_check_finds_every_planted_fault_in_its_cell() -> None:
    with pytest.raises(ts.RecordsError) as refused:
        ts.read_records(DEMO / "planted_faults.csv", trial=DEMO / "trial.toml")
    problems = refused.value.problems
    found = set(zip(problems["row"], problems["column"], problems["kind"], strict=True))
    found_rows = {(row, kind) for row, _, kind in found}
    listed = listed_faults()
    assert len(listed) == 23
    # The last four faults are faults of a whole row: its number is enough.
    missed = [
        fault
        for fault in listed
        if fault not in found and not (fault[0] >= 25 and (fault[0], fault[2]) in found_rows)
    ]
    assert missed == []


def test_the_check_accuses_no_sound_row() -> None:
    with pytest.raises(ts.RecordsError) as refused:
        ts.read_records(DEMO / "planted_faults.csv", trial=DEMO / "trial.toml")
    problems = refused.value.problems
    # Rows 23 and 24 are the sound halves of the two pairs that cannot both stand.
    allowed = {row for row, _, _ in listed_faults()} | {23, 24}
    assert set(problems.loc[problems["kind"] == "error", "row"]) <= allowed


@pytest.mark.parametrize("season", SEASONS)
def test_the_true_takes_and_their_difference_lie_in_the_intervals(season: str) -> None:
    rates = ts.take_rates(by_method(season), "method").table.set_index("method")
    for method in ("cleft", "side veneer"):
        row = rates.loc[method]
        assert row["low"] <= truth(season, method, "take") <= row["high"]
    gap = ts.differences(by_method(season), "method").table.iloc[0]
    sign = 1 if gap["level_a"] == "cleft" else -1
    assert gap["low"] <= sign * truth(season, "cleft", "difference") <= gap["high"]


def test_the_newest_season_shows_that_side_veneer_takes_better() -> None:
    # The recipe says so (log odds of cleft -1.05); the data must be able to show it.
    # As the page asks: the other factors side by side, blocks above the trays.
    asked = ["method", "scion_wood", "union_height_mm", "caliper_class", "combination"]
    model = ts.fit_take(season_records("2025-26"), asked)
    gap = ts.differences(model, "method").table.iloc[0]
    assert model.grouping == "block"
    sign = 1 if gap["level_a"] == "side veneer" else -1
    assert min(sign * gap["low"], sign * gap["high"]) > 0


@pytest.mark.parametrize("season", SEASONS)
@pytest.mark.parametrize(
    "factor", ["scion_wood", "union_height_mm", "caliper_class", "caliper_match", "combination"]
)
def test_the_true_takes_of_the_other_factors_lie_in_their_intervals(
    season: str, factor: str
) -> None:
    # 37 takes at 95 %: about two would be expected to lie outside over many such data sets. These
    # data are fixed, and none does; a change that moves one out should be looked at.
    rates = ts.take_rates(ts.fit_take(season_records(season), [factor]), factor).table
    assert len(rates) >= 2
    for row in rates.itertuples():
        level = getattr(row, factor).replace("×", "x")
        assert row.low <= truth(season, level, "take") <= row.high, level


@pytest.mark.parametrize("season", SEASONS)
def test_the_true_tray_correlations_lie_in_their_intervals(season: str) -> None:
    spread = by_method(season).tray_variation.table.set_index("level")
    for method in ("cleft", "side veneer"):
        row = spread.loc[method]
        assert row["low"] <= truth(season, method, "tray_correlation") <= row["high"]


def test_every_graft_of_last_lamp_took_and_its_upper_limit_is_all() -> None:
    records = season_records("2025-26")
    lamp = records.trays[records.trays["scion"].str.contains("Last Lamp")]
    assert lamp["taken"].sum() == (lamp["grafted"] - lamp["missing"]).sum()
    model = ts.fit_take(records, ["combination"])
    rates = ts.take_rates(model, "combination").table
    row = rates[rates["combination"].str.contains("Last Lamp")].iloc[0]
    assert row["raw_rate"] == 1.0
    assert row["high"] == 1.0
    assert row["low"] <= truth("2025-26", LAST_LAMP, "take") < 1.0


def test_what_was_added_later_moved_no_earlier_number() -> None:
    # The sums of the first release, by hand from its files: grafted and taken at the settled count.
    sums = {}
    for season, path in zip(SEASONS, FILES, strict=True):
        settled = [row for row in graft_rows(path) if row["count"] == "settled" and row["taken"]]
        sums[season] = (
            sum(int(row["grafted"]) for row in settled),
            sum(int(row["taken"]) for row in settled),
            sum(int(row["saleable"]) for row in settled),
        )
    assert sums == {
        "2023-24": (1183, 1001, 912),
        "2024-25": (1178, 928, 832),
        "2025-26": (1120, 973, 883),
    }


def test_next_spring_is_counted_in_the_two_older_seasons_and_none_rose() -> None:
    for season, path in zip(SEASONS, FILES, strict=True):
        spring = {row["tray"]: row for row in rows_of(path) if row["count"] == "next spring"}
        assert len(spring) == (0 if season == "2025-26" else 40)
        settled = {row["tray"]: row for row in graft_rows(path) if row["count"] == "settled"}
        for tray, row in spring.items():
            assert int(row["taken"]) <= int(settled[tray]["taken"])
            assert row["count_date"] > settled[tray]["count_date"]


@pytest.mark.parametrize("season", SEASONS[:2])
@pytest.mark.parametrize("by", [None, "method", "combination"])
def test_the_true_survival_lies_in_the_intervals(season: str, by: str | None) -> None:
    shares = stage_shares(all_seasons(), by, season=season).table
    rows = shares[shares["stage"] == "alive later"]
    assert len(rows) == {None: 1, "method": 2, "combination": 4}[by]
    for row in rows.to_dict("records"):
        level = str(row[by or "level"]).replace("×", "x")
        assert row["low"] <= truth(season, level, "alive_later") <= row["high"], level


@pytest.mark.parametrize("season", SEASONS)
def test_the_true_share_fit_for_sale_lies_in_its_interval(season: str) -> None:
    row = stage_shares(all_seasons(), season=season).row("saleable of taken")
    assert row["low"] <= truth(season, "all", "saleable_of_taken") <= row["high"]


def test_the_true_rooting_lies_in_its_intervals_and_is_under_one_in_ten() -> None:
    rows = rooted_shares(all_seasons()).table
    assert len(rows) == 2
    for row in rows.to_dict("records"):
        true = truth("2025-26", str(row["scion"]).replace("×", "x"), "rooted")
        assert row["low"] <= true <= row["high"]
        assert true < 0.1


def test_one_target_is_short_and_four_are_met() -> None:
    trays = all_seasons().trays
    newest = trays[(trays["season"] == "2025-26") & (trays["made_by"] == "graft")]
    fit = newest.groupby("combination")["saleable"].sum()
    wanted = wanted_table(all_seasons()).set_index("combination")["wanted"]
    assert len(wanted) == 5
    short = {name.split("'")[1] for name in wanted.index if fit[name] < wanted[name]}
    assert short == {"Paper Kite"}


def test_the_costs_of_the_demo_are_marked_assumed() -> None:
    plan = plan_of(all_seasons().trial)
    assert plan is not None
    assert plan.assumed == "all"
    assert plan.left_out == ()
