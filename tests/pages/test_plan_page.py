"""The page of a plan, its tables, and the settings by which the report later answers."""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import takestats as ts
from takestats.errors import FileError
from takestats.pages.plan_page import PlanReport, plan_report, write_plan
from takestats.pages.question_topic import rule_kind
from takestats.pages.render import page_bytes
from takestats.pages.season_page import season_sentences
from takestats.pages.trial_file import refuse_other_settings, trial_text
from takestats.records.settings import read_trial
from tests.pages.page_words import page_words
from tests.pages.plans import KINDS, past_records, plan_of
from tests.planning.few_trials import few_trials

PINNED = Path(__file__).with_name("plan_page_words.txt")
RULES = {
    "tell_apart": "apart",
    "both_in_each_tray": "apart",
    "no_worse": "no worse",
    "above_floor": "floor",
    "estimate": "width",
    "two_stage": "stages",
    "single_grafts": "stages",
    "new": "no worse",
    "new_few": "stages",
    "new_range": "floor",
}
NOT_ALLOWED = re.compile(r"significan|p-value|\bp =|\[T\.|\bC\(| ~ |\bstars?\b", re.IGNORECASE)
_made: dict[str, PlanReport] = {}


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], list[Path]]:
    """Give the files of a plan, written once."""
    known: dict[str, list[Path]] = {}

    def files(kind: str) -> list[Path]:
        if kind not in known:
            known[kind] = write_plan(report_of(kind), tmp_path_factory.mktemp(kind))
        return known[kind]

    return files


Written = Callable[[str], list[Path]]


def report_of(kind: str) -> PlanReport:
    if kind not in _made:
        rests = kind in ("above_floor", "new", "new_few")
        with few_trials():
            _made[kind] = plan_report(plan_of(kind), past=past_records() if rests else None)
    return _made[kind]


@pytest.mark.parametrize("kind", KINDS)
class TestEveryKind:
    def test_the_report_knows_the_rule_of_its_settings(self, kind: str, written: Written) -> None:
        """Plan to file, file to settings, settings to rule: the whole way round."""
        paths = written(kind)
        assert [path.name for path in paths[:2]] == ["tray_plan.html", "trial.toml"]
        settings = read_trial(paths[1])
        stages = tuple(settings.trial.get("stages", ()))
        assert rule_kind(settings.trial["rule"], stages) == RULES[kind]
        assert settings.trial["question"].endswith("?")
        assert not settings.invented
        tables = {path.stem for path in paths[2:]}
        assert tables == set(report_of(kind).page.tables)
        for path in paths[2:]:
            first, *rows = path.read_text("utf-8-sig").splitlines()
            assert "planned, not observed; seed 1" in first
            assert len(rows) == 1 + len(report_of(kind).page.tables[path.stem])

    def test_the_bench_sheet_has_the_rule_and_what_it_cannot_show(
        self, kind: str, written: Written
    ) -> None:
        report = report_of(kind)
        words = page_words(written(kind)[0].read_text("utf-8"))
        bench = words[: words.index("The numbers")]
        assert report.told.rule in bench
        assert "What this trial cannot show" in bench
        assert "Set aside" in bench
        assert "when the trays are counted, `takestats report" in bench.lower()
        assert not NOT_ALLOWED.search(bench)
        assert "The number of trays" not in report.page.sentences[0]
        assert "False finding" in words or "by mistake" in words
        assert "Before you act on this page" in words

    def test_every_chart_has_a_sentence_and_says_its_numbers(self, kind: str) -> None:
        pictures = [
            block.draw()
            for section in report_of(kind).page.sections
            for block in section.blocks
            if block.kind == "picture"
        ]
        assert pictures
        for chart in pictures:
            assert re.search(r"\d", chart.sentence)
            assert chart.sentence.endswith(".")
            assert len(re.findall(r"\d+", chart.spoken)) > 5


def test_words_are_pinned(written: Written) -> None:
    """Remade by running with TAKESTATS_PIN=1; read the difference like code."""
    text = ""
    for kind in ("tell_apart", "above_floor", "two_stage", "new_few", "new_range"):
        words = page_words(written(kind)[0].read_text("utf-8"))
        text += f"===== {kind}\n{words}\n{report_of(kind).settings_text}\n"
    if os.environ.get("TAKESTATS_PIN"):
        PINNED.write_text(text, encoding="utf-8")
    assert text == PINNED.read_text("utf-8")


def test_the_same_plan_makes_the_same_bytes(written: Written) -> None:
    with few_trials():
        again = plan_report(plan_of("tell_apart"))
    assert page_bytes(again.page) == written("tell_apart")[0].read_bytes()
    assert again.settings_text == report_of("tell_apart").settings_text


def test_an_invented_past_is_said_first_everywhere(written: Written) -> None:
    report = report_of("new")
    assert report.page.banner.startswith("INVENTED DATA")
    html = written("new")[0].read_text("utf-8")
    assert '<p class="banner">INVENTED DATA, seed 5' in html
    assert report.settings_text.startswith("# INVENTED DATA, seed 5")
    assert all(note.startswith("INVENTED DATA") for note in report.page.table_notes.values())
    chart = next(
        block.draw()
        for section in report.page.sections
        for block in section.blocks
        if block.kind == "picture"
    )
    assert chart.sentence.startswith("INVENTED DATA.")


def test_a_new_combination_carries_its_cautions() -> None:
    told = report_of("new").told
    assert any("plant breeders' rights" in line for line in told.before)
    assert any("not a lasting union" in line for line in told.before)
    assert "scions of the new one and as many of the standard" in told.aside


def test_few_scions_get_no_spare_tray_and_smaller_trays_are_said() -> None:
    told = report_of("new_few").told
    assert "Of 30 there are too few for a spare tray" in told.aside
    assert any(line.startswith("Trays of 10 grafts instead of 24") for line in told.answer)


def test_settings_of_another_plan_are_never_written_over(tmp_path: Path) -> None:
    write_plan(report_of("tell_apart"), tmp_path)
    write_plan(report_of("tell_apart"), tmp_path)  # the same plan again is no fault
    before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    with pytest.raises(FileError) as told:
        write_plan(report_of("estimate"), tmp_path)
    assert "another plan" in told.value.what
    assert "--out" in told.value.next_step
    (tmp_path / "trial.toml").write_text('title = "mine"\n', encoding="utf-8")
    before[tmp_path / "trial.toml"] = b'title = "mine"\n'
    with pytest.raises(FileError, match="did not write"):
        write_plan(report_of("tell_apart"), tmp_path)
    assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before


def test_a_plan_with_a_long_banner_may_be_made_again(tmp_path: Path) -> None:
    banner = "INVENTED DATA: " + "a long story " * 80
    (tmp_path / "trial.toml").write_text(
        trial_text({"trial": {}}, banner=banner, size="", range_line="", pair=False), "utf-8"
    )
    refuse_other_settings(tmp_path)
    with pytest.raises(FileError, match="another plan"):
        refuse_other_settings(tmp_path, "of another")


def test_names_and_habits_of_the_nursery_go_into_the_settings() -> None:
    nursery = read_trial(
        {
            "title": "Old trial",
            "invented": True,
            "records": {"caliper_unit": "in"},
            "names": {'our "best" one': "Hamamelis mollis"},
            "trial": {"margin_points": 5, "rule": "an old rule"},
            "targets": {"x": 5},
        }
    )
    with few_trials():
        report = plan_report(
            plan_of("no_worse"), nursery=nursery, new="side veneer", standard='cl"eft'
        )
    read = tomllib.loads(report.settings_text)
    assert set(read) == {"trial", "bench", "records", "names"}
    assert read["names"] == {'our "best" one': "Hamamelis mollis"}
    assert read["trial"]["standard"] == 'cl"eft'
    assert read["trial"]["margin_points"] == 15.0
    assert "an old rule" not in report.settings_text
    assert "Still to be written in" not in report.settings_text
    assert "Still to be written in" in report_of("no_worse").settings_text


def _season(take_new: float, trays: int) -> ts.Records:
    rng = np.random.default_rng(4)
    methods = ["cleft"] * trays + ["side veneer"] * trays
    frame = pd.DataFrame({"tray": [f"T{i:02d}" for i in range(2 * trays)], "method": methods})
    takes = np.where(frame["method"] == "cleft", 0.6, take_new)
    return ts.records_from_frame(
        frame.assign(grafted=12, taken=rng.binomial(12, takes), season="2026",
                     count_date="2026-06-15")
    )  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "answer"),
    [
        ("tell_apart", "Yes, by the rule set beforehand: side veneer took"),
        ("no_worse", "Yes, by the rule set beforehand: side veneer is less than 15 points worse"),
        ("above_floor", "Yes, by the rule set beforehand: the take of side veneer is"),
        ("estimate", "by the rule set beforehand: the take of side veneer is"),
        ("two_stage", "By the rule of the stages set beforehand, side veneer: 1"),
    ],
)
def test_the_report_answers_the_planned_question_by_its_rule(
    kind: str, answer: str, tmp_path: Path
) -> None:
    """From the plan's file to the first sentence of the season page."""
    with few_trials():
        report = plan_report(plan_of(kind), new="side veneer", standard="cleft")
    path = tmp_path / "trial.toml"
    path.write_text(report.settings_text, encoding="utf-8")
    first = season_sentences(_season(0.96, 9 if kind == "two_stage" else 12), trial=path)[0]
    assert first.startswith(report.settings["trial"]["question"])
    assert answer in first


def test_tables_are_read_back(written: Written) -> None:
    paths = written("tell_apart")
    plan = plan_of("tell_apart")
    at = paths[0].parent / "tables" / "plan.csv"
    table = pd.read_csv(at, skiprows=1, encoding="utf-8-sig")
    assert table["trays"].tolist() == plan.table["trays"].tolist()
    assert table["power"].tolist() == plan.table["power"].tolist()
    assert {"power_by_trays.csv", "power_by_tray_size.csv"} <= {path.name for path in paths}


def test_a_rule_that_was_not_followed_is_said(tmp_path: Path) -> None:
    with few_trials():
        report = plan_report(plan_of("two_stage"), new="side veneer")
    path = tmp_path / "trial.toml"
    path.write_text(report.settings_text, encoding="utf-8")
    first = season_sentences(_season(0.96, 12), trial=path)[0]
    assert first.endswith(
        "The rule of the stages was not followed: 144 grafts, the rule has 108. Read the take with "
        "its interval instead."
    )
