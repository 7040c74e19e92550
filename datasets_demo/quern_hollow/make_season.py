"""Make the invented seasons of Quern Hollow, an invented nursery.

Run ``python make_season.py`` to write the files beside this script, or
``python make_season.py FOLDER`` to write them elsewhere. Same seed, same bytes.

Nothing here is real: no nursery, no person, no cultivar, no count. The recipe
is written out so that the known truth can be worked out from it, and is: see
``known_truth.csv``. Only uniform random numbers are drawn (numpy's PCG64), and
every count is built from them, so a new numpy release does not change a digit.

How one tray is made:

1. its averaged take is ``1 / (1 + exp(-x))``, x the sum of the log odds below;
2. its grafts are drawn one by one from an urn (a beta-binomial tray with that
   averaged take and the method's own tray correlation);
3. missing labels are lost at random, whether or not the graft took;
4. some failed grafts stand on an understock that died; it is part of the failure;
5. the first count finds, besides the grafts that took, some that push on stored
   food and die before the settled count.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import os
import sys
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

SEED = 20234
SEASONS = ("2023-24", "2024-25", "2025-26")
NEWEST = SEASONS[-1]
TRAY_SIZE = 30
MARK = f"INVENTED DATA: seed {SEED}. Known truth in known_truth.csv. No real nursery or cultivar."

# The truth, in log odds of take unless another unit is named.
BASE = 2.80
METHOD = {"side veneer": 0.0, "cleft": -1.05}
TRAY_CORRELATION = {"side veneer": 0.025, "cleft": 0.08}
SCION_WOOD = {"terminal": 0.0, "sub_terminal": -0.30}
UNION = {"low": 0.0, "high": -0.15}
CALIPER_CLASS = {"thin": 0.0, "stout": 0.10}
SEASON = {"2023-24": 0.0, "2024-25": -0.35, "2025-26": 0.10}
BENCH = {"north": 0.0, "middle": 0.05, "south": -0.05}
GRAFTER = {"AB": 0.0, "JT": 0.05, "MO": -0.05}
COMBINATION = {  # scion, understock (the nursery's short names)
    ("copper moth", "virginiana"): 0.0,
    ("saffron wren", "virginiana"): -0.30,
    ("grey sentry", "hornbeam"): 0.50,
    ("paper kite", "hornbeam"): -0.20,
    ("last lamp", "virginiana"): 3.20,
}
SCION_THINNER = {"virginiana": -0.10, "hornbeam": -0.60}  # witch hazels forgive a poor match
WEEK_BEND = -0.012  # times (week - 5.5) squared: early and late weeks take a little less

MISSING_SHARE = 0.012
DEAD_SHARE_OF_FAILURES = 0.20
PUSHES_ON_STORED_FOOD = 0.30
SALEABLE_SHARE = 0.90

NAMES = {
    "copper moth": "Hamamelis x intermedia 'Copper Moth'",
    "saffron wren": "Hamamelis x intermedia 'Saffron Wren'",
    "last lamp": "Hamamelis virginiana 'Last Lamp'",
    "grey sentry": "Carpinus betulus 'Grey Sentry'",
    "paper kite": "Carpinus japonica 'Paper Kite'",
    "virginiana": "Hamamelis virginiana",
    "hornbeam": "Carpinus betulus",
}
FIRST_TUESDAY = {
    "2023-24": dt.date(2024, 1, 9),
    "2024-25": dt.date(2025, 1, 7),
    "2025-26": dt.date(2026, 1, 6),
}
SETTLED = {
    "2023-24": dt.date(2024, 6, 18),
    "2024-25": dt.date(2025, 6, 17),
    "2025-26": dt.date(2026, 6, 16),
}
BUD_BREAK = {
    ("2023-24", "virginiana"): dt.date(2024, 3, 25),
    ("2023-24", "hornbeam"): dt.date(2024, 3, 29),
    ("2024-25", "virginiana"): dt.date(2025, 3, 21),
    ("2024-25", "hornbeam"): dt.date(2025, 3, 28),
    ("2025-26", "virginiana"): dt.date(2026, 3, 24),
    ("2025-26", "hornbeam"): dt.date(2026, 4, 1),
}
# Two combinations a week, each cleft and side veneer: every week is a whole block.
WEEK_COMBINATIONS = (
    ("copper moth", "grey sentry"),
    ("saffron wren", "paper kite"),
    ("copper moth", "paper kite"),
    ("saffron wren", "grey sentry"),
)
LAST_LAMP_WEEKS = (3, 7)  # newest season: takes the place of copper moth
FACTORS = ("method", "scion_wood", "union_height_mm", "caliper_class", "caliper_match", "combination")


@dataclass(kw_only=True)
class Tray:
    """One tray: what was done to it and what was counted."""

    season: str
    tray: str
    week: int
    scion: str
    understock: str
    method: str
    day: int
    bench: str = ""
    scion_wood: str = ""
    union_height_mm: str = ""
    caliper_class: str = ""
    caliper_match: str = ""
    grafter: str = ""
    storage: int = 0
    grafted: int = 0
    counts: dict[str, dict[str, int]] = field(default_factory=dict)

    @property
    def combination(self) -> str:
        return f"{NAMES[self.scion]} on {NAMES[self.understock]}"

    @property
    def made(self) -> int:
        return self.grafted - self.counts["settled"]["missing"]

    @property
    def settled_yet(self) -> bool:
        """Two trays of the last week were still flushing at the settled count."""
        return not (self.season == NEWEST and self.week == 10 and self.day == 1)


def expected_take(tray: Tray, **change: str) -> float:
    """Averaged take of a tray, or of the same tray with some of its factors changed."""
    of = {name: change.get(name, str(getattr(tray, name))) for name in FACTORS}
    scion, understock = tray.scion, tray.understock
    if "combination" in change:
        scion, understock = next(
            pair for pair in COMBINATION if f"{NAMES[pair[0]]} on {NAMES[pair[1]]}" == change["combination"]
        )
    x = BASE + METHOD[of["method"]] + SCION_WOOD[of["scion_wood"]] + UNION[of["union_height_mm"]]
    x += CALIPER_CLASS[of["caliper_class"]] + COMBINATION[scion, understock]
    x += SCION_THINNER[understock] if of["caliper_match"] == "scion thinner" else 0.0
    x += SEASON[tray.season] + BENCH[tray.bench] + GRAFTER[tray.grafter]
    x += WEEK_BEND * (tray.week - 5.5) ** 2
    return float(1.0 / (1.0 + np.exp(-x)))


def dealt(rng: np.random.Generator, levels: list[str], places: int) -> list[str]:
    """Deal levels over places as evenly as they go, in random order."""
    pack = [levels[i % len(levels)] for i in range(places)]
    return [pack[i] for i in np.argsort(rng.random(places), kind="stable")]


def draw(rng: np.random.Generator, n: int, share: float) -> int:
    """Draw how many of n happen, each with the same chance."""
    return int(np.sum(rng.random(n) < share))


def draw_tray(rng: np.random.Generator, n: int, take: float, correlation: float) -> list[bool]:
    """Draw the grafts of one beta-binomial tray from an urn, one by one."""
    a, b = take * (1 / correlation - 1), (1 - take) * (1 / correlation - 1)
    takes: list[bool] = []
    for u in rng.random(n):
        takes.append(bool(u < (a + sum(takes)) / (a + b + len(takes))))
    return takes


def lay_out(rng: np.random.Generator, season: str) -> list[Tray]:
    """Lay out the forty trays of a season: ten weeks, each a block of four trays."""
    trays: list[Tray] = []
    for week in range(1, 11):
        pair = list(WEEK_COMBINATIONS[(week - 1) % 4])
        if season == NEWEST and week in LAST_LAMP_WEEKS:
            pair[0] = "last lamp"
        for day, scion in enumerate(pair):
            understock = next(s for c, s in COMBINATION if c == scion)
            for method in dealt(rng, list(METHOD), 2):
                number = 100 * (SEASONS.index(season) + 1) + len(trays) + 1
                trays.append(
                    Tray(season=season, tray=f"T{number}", week=week, scion=scion, understock=understock, method=method, day=day)
                )
    for method in METHOD:
        mine = [t for t in trays if t.method == method]
        for name, levels in (
            ("scion_wood", list(SCION_WOOD)),
            ("union_height_mm", list(UNION)),
            ("caliper_class", list(CALIPER_CLASS)),
            ("caliper_match", ["matched", "scion thinner", "matched"]),
            ("grafter", list(GRAFTER)),
            ("bench", list(BENCH)),
        ):
            for tray, level in zip(mine, dealt(rng, levels, len(mine)), strict=True):
                setattr(tray, name, level)
    for tray in trays:
        tray.storage = 4 + int(24 * rng.random())
        tray.grafted = TRAY_SIZE - (int(7 * rng.random()) if rng.random() < 0.25 else 0)
    return trays


def count(rng: np.random.Generator, tray: Tray) -> None:
    """Count a tray twice; the settled count is drawn first, the first count from it."""
    takes = draw_tray(rng, tray.grafted, expected_take(tray), TRAY_CORRELATION[tray.method])
    lost = [bool(u < MISSING_SHARE) for u in rng.random(tray.grafted)]
    lost_early = [gone and bool(u < 0.5) for gone, u in zip(lost, rng.random(tray.grafted), strict=True)]
    taken = sum(t and not gone for t, gone in zip(takes, lost, strict=True))
    failed = tray.grafted - sum(lost) - taken
    dead = draw(rng, failed, DEAD_SHARE_OF_FAILURES)
    dead_first = draw(rng, dead, 0.6)
    pushing = draw(rng, failed - dead_first, PUSHES_ON_STORED_FOOD)
    lost_later = sum(t for t, gone, early in zip(takes, lost, lost_early, strict=True) if gone and not early)
    tray.counts["first"] = {"taken": taken + pushing + lost_later, "understock_dead": dead_first, "missing": sum(lost_early)}
    tray.counts["settled"] = {"taken": taken, "understock_dead": dead, "missing": sum(lost), "saleable": draw(rng, taken, SALEABLE_SHARE)}


HEADER = (
    "season,block,bench,tray,tray_size,scion,understock,method,scion_wood,union_height_mm,caliper_class,caliper_match,"
    "graft_date,scion_cut_date,bud_break_date,grafter,grafted,count,count_date,taken,understock_dead,missing,saleable,note"
).split(",")


def rows_of(tray: Tray) -> list[list[object]]:
    """Write a tray's row once for each count."""
    grafted_on = FIRST_TUESDAY[tray.season] + dt.timedelta(days=7 * (tray.week - 1) + 2 * tray.day)
    same: list[object] = [
        tray.season, f"B{tray.week:02d}", tray.bench, tray.tray, TRAY_SIZE, tray.scion, tray.understock, tray.method,
        tray.scion_wood, tray.union_height_mm, tray.caliper_class, tray.caliper_match, grafted_on,
        grafted_on - dt.timedelta(days=tray.storage), BUD_BREAK[tray.season, tray.understock], tray.grafter, tray.grafted,
    ]  # fmt: skip
    first, settled = tray.counts["first"], tray.counts["settled"]
    rows = [[*same, "first", grafted_on + dt.timedelta(weeks=8), *first.values(), "", ""]]
    if tray.settled_yet:
        on = SETTLED[tray.season] + dt.timedelta(days=int(tray.week > 5))
        rows.append([*same, "settled", on, *settled.values(), ""])
    else:
        rows.append([*same, "settled", "", "", "", "", "", "still flushing in June: not counted yet"])
    return rows


def csv_text(header: list[str], rows: list[list[object]], *, mark: str = MARK) -> str:
    """Write a table as text, under the line that says it is invented."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([mark])
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()


def truth_rows(trays: list[Tray]) -> list[list[object]]:
    """Work out the true takes, differences and tray correlations of each season."""
    rows: list[list[object]] = []
    for season in SEASONS:
        lines = [t for t in trays if t.season == season and t.settled_yet]
        made = np.array([t.made for t in lines], dtype=float)

        def averaged(rows_in: list[Tray], weights: np.ndarray, **change: str) -> float:
            return float(np.average([expected_take(t, **change) for t in rows_in], weights=weights))

        rows.append([season, "all", "all", "", "take", averaged(lines, made), averaged(lines, made), len(lines), int(made.sum())])
        for factor in FACTORS:
            standard, own = {}, {}
            for level in dict.fromkeys(str(getattr(t, factor)) for t in lines):
                at = np.array([str(getattr(t, factor)) == level for t in lines])
                mine = [t for t, here in zip(lines, at, strict=True) if here]
                standard[level] = averaged(lines, made, **{factor: level})
                own[level] = averaged(mine, made[at])
                rows.append([season, factor, level, "", "take", standard[level], own[level], len(mine), int(made[at].sum())])
            levels = sorted(standard)
            for i, a in enumerate(levels):
                for b in levels[i + 1 :]:
                    rows.append([season, factor, a, b, "difference", standard[a] - standard[b], own[a] - own[b], "", ""])
        for method, within in TRAY_CORRELATION.items():
            mine = [t for t in lines if t.method == method]
            m = np.array([expected_take(t) for t in mine])
            spread = float(np.mean(within * m * (1 - m)) + np.var(m))
            rows.append([season, "method", method, "", "tray_correlation", within, spread / (m.mean() * (1 - m.mean())), len(mine), ""])
    return rows


TRUTH_HEADER = ["season", "factor", "level", "against", "what", "truth", "truth_own_trays", "trays", "grafts"]


def truth_page(rows: list[list[object]]) -> str:
    """Write the headline truths as a page a person can read."""
    lines = [
        "# Known truth of the Quern Hollow seasons", "", f"**{MARK}**", "",
        "`known_truth.csv` holds every figure at full precision. `truth` is the averaged take with every counted tray of the season",
        "set to the level (a tray counts as often as it has grafts, missing ones left out), as `take_rates` asks it of a model with all the factors.",
        "`truth_own_trays` averages over the level's own trays only: what a model with that factor alone looks for. Differences are the level minus `against`.",
        "For `tray_correlation`, `truth` is the correlation left once all factors are known; `truth_own_trays` counts the other factors as tray-to-tray spread too.",
        "", "| season | side veneer | cleft | cleft minus side veneer | tray correlation, cleft | tray correlation, side veneer |", "|---|---|---|---|---|---|",
    ]  # fmt: skip
    for season in SEASONS:
        got = {(r[1], r[2], r[4]): float(str(r[5])) for r in rows if r[0] == season}
        lines.append(
            f"| {season} | {100 * got['method', 'side veneer', 'take']:.1f} % | {100 * got['method', 'cleft', 'take']:.1f} % "
            f"| {100 * got['method', 'cleft', 'difference']:.1f} points | {TRAY_CORRELATION['cleft']} | {TRAY_CORRELATION['side veneer']} |"
        )
    lamp = next(float(str(r[6])) for r in rows if r[1] == "combination" and str(r[2]).startswith(NAMES["last lamp"]) and r[4] == "take")
    lines += [
        "", f"{NAMES['last lamp']} on {NAMES['virginiana']}, new in {NEWEST}: true take {100 * lamp:.1f} % over its own trays.",
        "Every graft of it took in these counts; its true take is not 100 %.", "",
        "Log odds of take added by each level (`make_season.py` holds the same numbers):", "", "| what | level | log odds |", "|---|---|---|",
        f"| base | side veneer, terminal, low, thin, matched, {SEASONS[0]} | {BASE:+.2f} |",
    ]  # fmt: skip
    tables = {"method": METHOD, "scion wood": SCION_WOOD, "union": UNION, "caliper class": CALIPER_CLASS, "season": SEASON, "bench": BENCH}
    for what, table in tables.items():
        lines += [f"| {what} | {level} | {value:+.2f} |" for level, value in table.items()]
    lines += [f"| combination | {NAMES[c]} on {NAMES[s]} | {value:+.2f} |" for (c, s), value in COMBINATION.items()]
    lines += [f"| scion thinner than the understock | on {NAMES[s]} | {value:+.2f} |" for s, value in SCION_THINNER.items()]
    lines += [
        f"| week | times (week - 5.5) squared | {WEEK_BEND:+.3f} |",
        f"| grafter | three initials | between {min(GRAFTER.values()):+.2f} and {max(GRAFTER.values()):+.2f} |", "",
    ]  # fmt: skip
    return "\n".join(lines)


SETTINGS = f"""# INVENTED DATA: settings of the invented seasons of Quern Hollow.
title = "Quern Hollow: cleft and side veneer on seedling understock"
invented = true
source = "{MARK}"

[trial]
question = "Does side veneer take better than cleft on our witch hazels and hornbeams?"
new = "side veneer"
standard = "cleft"
margin_points = 5
randomised = "tray"

[records]
caliper_unit = "mm"
count = "settled"
out_of = "made"

[names]
{{names}}

[classes]
thin = "6 to 8 mm"
stout = "8 to 10 mm"

[compare]
factors = ["method", "scion_wood", "union_height_mm", "caliper_class", "combination"]

[work]
grafts_a_day = 120
days_a_week = 4
window = "early January to mid March"
"""


def made_files() -> dict[str, str]:
    """Make every file: its name and its text."""
    rng = np.random.Generator(np.random.PCG64(SEED))
    trays = [tray for season in SEASONS for tray in lay_out(rng, season)]
    for tray in trays:
        count(rng, tray)
    files = {}
    for season in SEASONS:
        rows = [row for tray in trays if tray.season == season for row in rows_of(tray)]
        files[f"season_{season.replace('-', '_')}.csv"] = csv_text(HEADER, rows)
    truth = truth_rows(trays)
    rounded = [[f"{cell:.6f}" if isinstance(cell, float) else cell for cell in row] for row in truth]
    files["known_truth.csv"] = csv_text(TRUTH_HEADER, [list(row) for row in rounded])
    files["known_truth.md"] = truth_page(truth)
    files["trial.toml"] = SETTINGS.format(names="\n".join(f'"{short}" = "{full}"' for short, full in NAMES.items()))
    return files


def write_files(folder: Path, files: dict[str, str]) -> None:
    """Write each file whole or not at all."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        part = folder / f"{name}.part"
        part.write_bytes(text.encode("utf-8"))
        os.replace(part, folder / name)


if __name__ == "__main__":
    write_files(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent, made_files())
