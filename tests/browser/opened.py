"""Which pages are opened, and what does the system's own Chromium see of them?"""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import takestats as ts
from takestats.cli.app import main
from takestats.cli.demo import demo_season
from takestats.pages.comparison_page import write_comparison
from takestats.pages.order_page import write_order
from takestats.pages.plan_page import plan_report, write_plan
from takestats.pages.season_page import write_report
from tests.browser.programs import program, stop_or_skip
from tests.pages.hostile_names import FORMULA, HEBREW, LONG, PLUS, SCRIPT, TURNED, hostile_records
from tests.pages.orders import hostile_order
from tests.pages.plans import past_records, plan_of
from tests.pages.small_seasons import small_records
from tests.planning.few_trials import few_trials

HERE = Path(__file__).parent
PAGES = (
    "demo",
    "order",
    "plan",
    "comparison",
    "check",
    "hostile season",
    "hostile order",
    "hostile plan",
)
ON_TRIAL = f"Hamamelis mollis '{SCRIPT} {FORMULA} {TURNED} {HEBREW} {LONG}'"


def node_with_libraries() -> str:
    """Where node is, once what drives the browser stands beside the tests."""
    found = program("node", package="nodejs")
    for name in ("playwright-core", "axe-core", "html-validate"):
        if not (HERE / "node_modules" / name).is_dir():
            stop_or_skip(f"{name} is missing: run `npm install` in tests/browser")
    return found


def pages_in(folder: Path) -> dict[str, str]:
    """Write all pages but that of the demo; where each stands, below the folder."""
    return {
        "order": _order(folder / "order"),
        "plan": _plan(folder / "plan"),
        "comparison": _below(folder, write_comparison(small_records(), folder / "c", "scion_wood")),
        "check": _check(folder / "check"),
        "hostile season": _below(folder, write_report(hostile_records(), folder / "hostile")),
        "hostile order": _below(folder, write_order(hostile_order(), folder / "hostile_order")),
        "hostile plan": _hostile_plan(folder / "hostile_plan"),
    }


def _below(folder: Path, paths: list[Path]) -> str:
    return str(paths[0].relative_to(folder))


def _order(out: Path) -> str:
    season = demo_season()
    seasons = [str(file) for file in sorted(season.glob("season_*.csv"))]
    placed = ["order", *seasons, "--trial", str(season / "trial.toml")]
    assert main([*placed, "--out", str(out)]) == 0
    return f"{out.name}/order_page.html"


def _check(out: Path) -> str:
    season = demo_season()
    faulty = HERE.parents[1] / "datasets_demo" / season.name / "planted_faults.csv"
    words = ["check", str(faulty), "--trial", str(season / "trial.toml"), "--on", "2026-06-20"]
    assert main([*words, "--out", str(out)]) == 2
    return f"{out.name}/check.html"


def _plan(out: Path) -> str:
    with few_trials():
        report = plan_report(plan_of("above_floor"), past=past_records(), new="side veneer")
    return _below(out.parent, write_plan(report, out))


def _hostile_plan(out: Path) -> str:
    """The plan of a hostile name, resting on a past whose title and source are hostile."""
    with few_trials():
        plan = ts.plan_new_combination(
            ON_TRIAL,
            f"Hamamelis virginiana '{PLUS}'",
            past_records(),
            tray_size=24,
            at_most_grafts=30,
        )
        report = plan_report(plan, past=hostile_records())
    return _below(out.parent, write_plan(report, out))


def seen_in(folder: Path, page: Path, node: str, chromium: str) -> dict[str, Any]:
    """What Chromium sees of a page; its prints and pictures go into the folder."""
    done = subprocess.run(
        [node, str(HERE / "look.mjs"), chromium, str(page), str(folder)],
        capture_output=True,
        text=True,
        timeout=180,
    )
    assert done.returncode == 0, done.stderr
    seen: dict[str, Any] = json.loads(done.stdout)
    return seen
