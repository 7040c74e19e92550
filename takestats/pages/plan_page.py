"""How does a plan become a page, its tables, and the settings of its trial?"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from takestats.models.progress import silent
from takestats.pages.csv_tables import csv_bytes
from takestats.pages.files import write_whole
from takestats.pages.parts import SeasonReport
from takestats.pages.plan_new import told_new
from takestats.pages.plan_parts import PlanTold, bench_sections, statistician_sections
from takestats.pages.plan_stages import told_stages
from takestats.pages.plan_trays import told_trays
from takestats.pages.render import page_bytes
from takestats.pages.trial_file import (
    FILE,
    named,
    refuse_other_settings,
    trial_settings,
    trial_text,
)
from takestats.planning.new_combination import NewCombinationPlan
from takestats.planning.plan_settings import Settings, asked_by_name, plan_settings
from takestats.planning.stage_plans import StagePlans
from takestats.planning.tray_plan import TrayPlan
from takestats.records.settings import TrialSettings
from takestats.wording import plan_page as words
from takestats.wording.sections import chart_marker
from takestats.wording.two_stage import so_far_line

if TYPE_CHECKING:
    from takestats.records.result import Records

PAGE = "tray_plan"
Plan = TrayPlan | StagePlans | NewCombinationPlan


@dataclass(frozen=True, eq=False, kw_only=True)
class PlanReport:
    """A plan's page computed and not yet written, with the settings of its trial.

    Parameters
    ----------
    page : SeasonReport
    told : PlanTold
    settings : dict
        Sections with their keys, as :func:`takestats.read_records` takes them for ``trial``.
    settings_text : str
        The same as the file ``trial.toml``.
    after : tuple of str
        What is done between the plan and its answer.
    """

    page: SeasonReport
    told: PlanTold
    settings: Settings
    settings_text: str
    after: tuple[str, ...]

    def steps(self, path: str) -> tuple[str, ...]:
        """What is done next, the settings standing at ``path``."""
        return _steps(self.settings, self.after, path)


def _steps(settings: Settings, after: tuple[str, ...], path: str) -> tuple[str, ...]:
    stages = (so_far_line(path),) if "stages" in settings["trial"] else ()
    return (*after, *stages, words.report_line(path))


def plan_report(
    plan: Plan,
    *,
    past: Records | None = None,
    nursery: TrialSettings | None = None,
    new: str = "",
    standard: str = "",
    added: tuple[str, ...] = (),
    progress: Callable[[str], None] | None = None,
) -> PlanReport:
    """What does the plan say, before it is written?

    Parameters
    ----------
    plan : TrayPlan, StagePlans or NewCombinationPlan
    past : Records, optional
        What the plan rests on: an invented or quoted past stands first on the page.
    nursery : TrialSettings, optional
        Names and habits that go into the settings of the trial; those of ``past`` by default.
    new, standard : str
        Names of what is on trial and of what it is held against; the report looks for them.
    added : tuple of str
        Further sentences for the bench.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    PlanReport
    """
    say = progress or silent
    banner = "" if past is None else past.banner
    marker = "" if past is None else chart_marker(past.invented, banner)
    told = _told(plan, marker, say)
    if nursery is None:
        nursery = TrialSettings() if past is None else past.trial
    planned = plan_settings(plan.chosen if isinstance(plan, StagePlans) else plan)
    if isinstance(plan, TrayPlan) and (question := asked_by_name(plan, new, standard)):
        planned["trial"]["question"] = question
    settings = trial_settings(planned, nursery, new=new, standard=standard)
    after = words.next_steps(
        str(settings["trial"].get("randomised", "")),
        named(settings, pair=told.pair),
        told.pair,
    )
    answer = (*told.answer, *added)
    page = SeasonReport(
        page_name=PAGE,
        title=told.title,
        banner=banner,
        sentences=answer,
        sections=(
            *bench_sections(told, answer, _steps(settings, after, FILE)),
            *told.numbers,
            *statistician_sections(told, () if past is None else past.sources),
        ),
        tables={name: table for name, _, table in told.tables},
        table_notes={
            name: words.plan_table_note(what, told.seed, banner) for name, what, _ in told.tables
        },
        notes=told.notes,
        parts=words.PARTS,
    )
    text = trial_text(
        settings, banner=banner, size=told.size, range_line=told.range_line, pair=told.pair
    )
    return PlanReport(page=page, told=told, settings=settings, settings_text=text, after=after)


def _told(plan: Plan, marker: str, say: Callable[[str], None]) -> PlanTold:
    if isinstance(plan, StagePlans):
        return told_stages(plan, marker, say)
    if isinstance(plan, NewCombinationPlan):
        return told_new(plan, marker, say)
    return told_trays(plan, marker, say)


def write_plan(report: PlanReport, folder: str | os.PathLike[str]) -> list[Path]:
    """Write the page, the settings of the trial and the tables: all of them, or none.

    Parameters
    ----------
    report : PlanReport
    folder : path
        Made when it is not there.

    Returns
    -------
    list of pathlib.Path
        The page, ``trial.toml``, then the CSV tables.

    Raises
    ------
    FileError
        When the folder holds the settings of another trial: they are never written over; or when
        it cannot be written.
    """
    refuse_other_settings(Path(folder), report.settings_text)
    files = {
        f"{PAGE}.html": page_bytes(report.page),
        FILE: report.settings_text.encode("utf-8"),
    }
    for name, table in report.page.tables.items():
        files[f"tables/{name}.csv"] = csv_bytes(table, report.page.table_notes[name])
    return write_whole(folder, files)
