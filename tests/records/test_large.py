"""Gathered first or row by row: the same records, and every doubt goes to the ordinary way."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Iterator
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from takestats.errors import RecordsError
from takestats.models.fit import fit_take
from takestats.records import files, graft_files
from takestats.records.contract import check_contract
from takestats.records.large import read_large
from takestats.records.read import read_records
from takestats.records.result import Records
from takestats.records.settings import TrialSettings, read_trial

NEVER = 10**15


@pytest.fixture(autouse=True)
def _small_files_are_large() -> Iterator[None]:
    """Files of a few rows are read in blocks of a few hundred bytes."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(files, "LARGE_TEXT", 1)
        patch.setattr(graft_files, "LARGE_ROWS", 1)
        patch.setattr(graft_files, "_PIECE", 700)
        patch.setattr(graft_files, "_TOP", 4000)
        yield


def ordinary(path: Path, **how: Any) -> Records:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(files, "LARGE_TEXT", NEVER)
        patch.setattr(graft_files, "LARGE_ROWS", NEVER)
        return read_records(path, **how)


def gathered(path: Path, trial: TrialSettings | None = None) -> Records | None:
    return read_large(path, path.name, trial or TrialSettings())


def bench(trays: int = 12, grafts: int = 12, **columns: Any) -> pd.DataFrame:
    """Trays of two methods, in the order of the bench."""
    rng = np.random.default_rng(3)
    tray = np.repeat(np.arange(trays), grafts)
    frame = pd.DataFrame(
        {
            "season": "2025-26",
            "tray": [f"T{i:03d}" for i in tray],
            "graft": np.tile(np.arange(1, grafts + 1), trays),
            "method": np.where(tray % 2 == 0, "cleft", "side veneer"),
            "taken": (rng.random(len(tray)) < np.where(tray % 2 == 0, 0.7, 0.9)).astype(int),
            "count_date": "2026-06-15",
        }
    )
    return frame.assign(**{name: value for name, value in columns.items() if value is not None})


def same(quick: Records | None, path: Path, **how: Any) -> Records:
    """The two ways say the same, but for the table of rows; gives the gathered records."""
    slow = ordinary(path, **how)
    assert quick is not None
    pd.testing.assert_frame_equal(quick.trays, slow.trays)
    pd.testing.assert_frame_equal(quick.counts, slow.counts)
    pd.testing.assert_frame_equal(quick.changes, slow.changes)
    pd.testing.assert_frame_equal(quick.problems, slow.problems)
    assert quick.notes[:-1] == slow.notes
    assert "single grafts were gathered" in quick.notes[-1]
    assert (quick.sources, quick.count) == (slow.sources, slow.count)
    assert asdict(quick.trial) == asdict(slow.trial)
    assert quick.table["grafted"].sum() == len(slow.table)
    assert quick.table["taken"].sum() == slow.table["taken"].sum()
    assert set(quick.table["row"]) <= set(slow.table["row"])
    check_contract(quick.trays)
    return quick


def write(frame: pd.DataFrame, folder: Path, kind: str = "csv", **how: Any) -> Path:
    path = folder / f"grafts.{kind}"
    if kind == "parquet":
        frame.to_parquet(path, index=False)
    else:
        frame.to_csv(path, index=False, **how)
    return path


@pytest.mark.parametrize("kind", ["csv", "parquet"])
def test_the_same_trays_counts_and_digits(tmp_path: Path, kind: str) -> None:
    path = write(bench(), tmp_path, kind)
    quick = same(gathered(path), path)
    slow = ordinary(path)
    models = [fit_take(records, ["method"]) for records in (quick, slow)]
    for name in ("coefficients", "tray_variation"):
        one, other = (getattr(model, name).table for model in models)
        pd.testing.assert_frame_equal(one, other, check_exact=True)
    assert models[0].notes == models[1].notes
    assert len(quick.table) == 12
    assert quick.table["row"].tolist() == [2 + 12 * i for i in range(12)]
    assert quick.notes == (
        f"{path.name}: 144 rows of single grafts were gathered to 12 lines of trays; the table "
        "of rows holds these lines, not the grafts.",
    )
    assert len(read_records(path).table) == 12  # the public way takes the gathered one


def test_every_change_of_every_row_is_told(tmp_path: Path) -> None:
    methods = np.tile(["Cleft graft", "cleft", " side veneer"], 48)
    path = write(bench(method=methods, Wood=" tip"), tmp_path)
    quick = same(gathered(path), path)
    assert len(quick.changes) == 96 + 144
    assert quick.trays["method"].tolist()[:2] == ["cleft", "side veneer"]


SHAPES: dict[str, dict[str, Any]] = {
    "two methods in every tray": {"method": np.tile(["cleft", "side veneer"], 72)},
    "no season and no date": {"season": None, "count_date": None},
    "a season told by its date": {"season": ""},
    "trays of the same name in two seasons": {
        "tray": np.tile(np.repeat([f"T{i}" for i in range(6)], 12), 2),
        "season": np.repeat(["2024-25", "2025-26"], 72),
        "count_date": np.repeat(["2025-06-15", "2026-06-15"], 72),
    },
    "two trials": {"trial": np.repeat(["A", "B"], 72)},
    "missing grafts": {"missing": np.where(np.arange(144) % 30 == 7, "1", ""), "taken": 0},
    "dead understocks": {"understock_dead": (np.arange(144) % 11 == 0).astype(int), "taken": 0},
    "grafts numbered through": {"graft": np.arange(144)},
    "grafts with letters": {"graft": [f"G{i}" for i in range(144)]},
    "a place for each graft, and notes": {
        "position": [f"A{i % 12 + 1}" for i in range(144)],
        "note": np.where(np.arange(144) % 50 == 3, "split scion", ""),
    },
    "an unknown column": {"shelf": np.repeat(["upper", "lower"], 72)},
    "one graft made in each row": {"grafted": 1},
    "plants, calipers and dates": {
        "scion": "Hamamelis x intermedia 'Copper Moth'",
        "understock": "Hamamelis virginiana",
        "understock caliper (in)": np.repeat(["3/8", "0.5"], 72),
        "scion_caliper_mm": np.repeat([9.5, 9], 72),
        "graft_date": np.repeat(["2026-02-03", "2026-02-10"], 72),
        "scion_cut_date": "2026-01-05",
        "tray_size": 12,
        "block": np.repeat(["1", "2"], 72),
    },
    "trays with marks": {"tray": [f"A-{i}.1" for i in np.repeat(np.arange(12), 12)]},
    "a plant in two spellings": {
        "scion": np.repeat(["Hamamelis mollis", "hamamelis mollis", "hamamelis mollis"], 48)
    },
    "words of the nursery's own": {
        "method": np.repeat(["butterfly cut", "cleft", "Butterfly cut"], 48),
        "scion": np.repeat(["moth", "Hamamelis mollis", "copper"], 48),
    },
    "trays in figures": {"tray": np.repeat(np.arange(12), 12)},
    "trays with accents": {"tray": [f"Träy {i}" for i in np.repeat(np.arange(12), 12)]},
}


@pytest.mark.parametrize("kind", ["csv", "parquet"])
@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("shuffled", [False, True], ids=["in order", "shuffled"])
def test_shapes_that_growers_write(tmp_path: Path, kind: str, shape: str, shuffled: bool) -> None:
    columns = SHAPES[shape]
    frame = bench(**columns)
    frame = frame.drop(columns=[name for name, value in columns.items() if value is None])
    if shuffled:
        frame = frame.sample(frac=1.0, random_state=5)
    path = write(frame, tmp_path, kind)
    same(gathered(path), path)


def test_a_parquet_file_with_real_dates(tmp_path: Path) -> None:
    path = write(bench(count_date=dt.date(2026, 6, 15)), tmp_path, "parquet")
    quick = same(gathered(path), path)
    assert quick.trays["count_date"].iloc[0] == "2026-06-15"


@pytest.mark.parametrize("how", [{"sep": ";"}, {"quoting": 1}, {"lineterminator": "\r\n"}])
def test_text_written_in_other_ways(tmp_path: Path, how: dict[str, Any]) -> None:
    path = write(bench(), tmp_path, **how)
    same(gathered(path), path)


def test_the_settings_hold(tmp_path: Path) -> None:
    trial = read_trial({"methods": {"our cut": "cleft"}, "names": {"moth": "Hamamelis mollis"}})
    path = write(bench(method="our cut", scion="moth"), tmp_path)
    quick = same(gathered(path, trial), path, trial=trial)
    assert set(quick.trays["scion"]) == {"Hamamelis mollis"}


MESSES = {
    "a take that is not 0 or 1": (30, "taken", "2"),
    "a take in words": (30, "taken", "yes"),
    "a take not counted": (30, "taken", ""),
    "a doubtful count": (30, "taken", "1?"),
    "a blank tray": (30, "tray", ""),
    "a blank graft": (30, "graft", ""),
    "a graft told twice": (30, "graft", "1"),
    "a method of the nursery's own": (30, "method", "butterfly cut"),
    "a method that is asked about": (30, "method", "whip"),
    "a tray written in two ways": (30, "tray", "t005"),
    "a tray that was a date": (30, "tray", "3-Feb"),
    "a total": (30, "tray", "Total"),
    "a space at a tray": (30, "tray", " T002"),
    "a sign for blank": (30, "tray", "-"),
    "a formula": (30, "tray", "=A1"),
    "a date before the season": (30, "count_date", "2019-06-15"),
    "another date of one tray": (30, "count_date", "2026-06-17"),
    "a season of another form": (30, "season", "2026"),
    "a quote in a cell": (30, "method", 'cle"ft'),
    "a line in a cell": (30, "method", "cleft\n"),
}


@pytest.mark.parametrize("mess", MESSES)
@pytest.mark.parametrize("shuffled", [False, True], ids=["in order", "shuffled"])
def test_a_doubt_is_left_to_the_ordinary_way(tmp_path: Path, mess: str, shuffled: bool) -> None:
    row, column, text = MESSES[mess]
    frame = bench().astype(object)
    frame.loc[row, column] = text
    if shuffled:
        frame = frame.sample(frac=1.0, random_state=5)
    path = write(frame, tmp_path)
    quick = gathered(path)
    if quick is not None:
        same(quick, path)
        return
    told = [_told(lambda: read_records(path)), _told(lambda: ordinary(path))]
    assert told[0] == told[1]


def _told(read: Any) -> object:
    try:
        records = read()
    except RecordsError as fault:
        return fault.problems.to_dict("list"), str(fault)
    return records.trays.to_csv(), records.problems.to_csv(), records.changes.to_csv()


TRAY_FAULTS: dict[str, dict[str, Any]] = {
    "a tray in two places": {"bench": np.tile(["north", "south"], 72)},
    "more grafts than the tray holds": {"tray_size": 11},
    "two counts": {"count": np.tile(["first", "settled"], 72)},
    "a missing graft that took": {"missing": 1},
    "saleable beside": {"saleable": 1},
    "two dates and no season": {
        "season": "",
        "count_date": np.tile(["2026-06-15", "2025-06-15"], 72),
    },
    "no graft numbers": {"graft": ""},
    "a percent": {"take %": "50"},
    "a column twice": {"Tray no": "T1"},
}


@pytest.mark.parametrize("fault", TRAY_FAULTS)
def test_what_a_whole_tray_contradicts(tmp_path: Path, fault: str) -> None:
    path = write(bench(**TRAY_FAULTS[fault]), tmp_path)
    assert gathered(path) is None


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.encode("utf-8-sig"),
        lambda text: text.encode("utf-16"),
        lambda text: text.replace("cleft", "clëft").encode("cp1252"),
        lambda text: b"Our grafts\n" + text.encode(),
        lambda text: text.encode() + b"\n2025-26,T1\n",
        lambda text: text.replace("\n", "\n\n", 9).encode(),
        lambda text: text.replace("\n", "\r").encode(),
        lambda text: text.replace("cleft", "cl\x00eft", 1).encode(),
        lambda text: text.encode() + b"Total,144,,,100,\n",
    ],
)
def test_another_text_is_read_in_the_ordinary_way(tmp_path: Path, change: Any) -> None:
    path = tmp_path / "grafts.csv"
    path.write_bytes(change(write(bench(), tmp_path).read_text()))
    assert gathered(path) is None


def test_settings_that_need_every_row(tmp_path: Path) -> None:
    path = write(bench(), tmp_path)
    for told in ({"trays": "none"}, {"fill_down": True}):
        assert gathered(path, read_trial({"records": told})) is None


def test_a_small_file_and_another_shape(tmp_path: Path) -> None:
    path = write(bench(), tmp_path)
    wide = write(bench().drop(columns="graft").assign(grafted=1), tmp_path, "tsv", sep="\t")
    assert gathered(wide) is None
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(files, "LARGE_TEXT", NEVER)
        assert gathered(path) is None


CELLS = {
    "tray": ["T1", "t1", "T2", " T2", "1", "01", "", "Total", "A 1", "A1", "=B", "3/8"],
    "graft": ["1", "2", "3", "01", "a", "A", "", "x 1"],
    "method": ["cleft", "Cleft graft", "side veneer", " cleft", "cleft ", "", "whip", "na"],
    "taken": ["0", "1", "1", "1", "1.0", "", "?"],
    "bench": ["north", "", "North", "south"],
    "count_date": ["2026-06-15", "15 June 2026", "", "2026-06"],
    "missing": ["", "0", "1"],
    "shelf": ["a", "b", "A", '"', "a,b", "-"],
}
MESSY_ROWS = st.lists(
    st.tuples(*[st.sampled_from(cells) for cells in CELLS.values()]), min_size=8, max_size=40
)


@settings(max_examples=40, suppress_health_check=list(HealthCheck))
@given(rows=MESSY_ROWS, often=st.integers(0, 12))
def test_never_another_answer(rows: list[tuple[str, ...]], often: int) -> None:
    frame = pd.DataFrame(rows, columns=list(CELLS))
    for i, name in enumerate(CELLS):  # most columns plain, so that not every file is refused
        if (often + i) % 3:
            frame[name] = CELLS[name][0]
    if often % 2:
        frame["graft"] = [str(i) for i in range(len(frame))]
    frame = pd.concat([frame] * 3, ignore_index=True) if often == 4 else frame
    with tempfile.TemporaryDirectory() as folder:
        path = write(frame, Path(folder))
        quick = gathered(path)
        if quick is not None:
            same(quick, path)
