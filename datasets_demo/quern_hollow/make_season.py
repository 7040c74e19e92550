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

import datetime as dt
import sys
from pathlib import Path

import numpy as np
from known_truth import TRUTH_HEADER, later_truths_of, truth_page, truths_of
from recipe import (
    ALIVE_NEXT_SPRING,
    BENCH,
    BUD_BREAK,
    CALIPER_CLASS,
    COMBINATION,
    CUTTING_TRAYS,
    CUTTINGS_COUNTED,
    CUTTINGS_STRUCK,
    DEAD_SHARE_OF_FAILURES,
    FIRST_TUESDAY,
    GRAFTER,
    LAST_LAMP_WEEKS,
    LATER_CORRELATION,
    LATER_STREAM,
    MARK,
    METHOD,
    MISSING_SHARE,
    NAMES,
    NEWEST,
    NEXT_SPRING,
    PUSHES_ON_STORED_FOOD,
    ROOTED_SHARE,
    ROOTING_CORRELATION,
    SALEABLE_SHARE,
    SCION_WOOD,
    SEASONS,
    SEED,
    SETTLED,
    TARGETS,
    TRAY_CORRELATION,
    TRAY_SIZE,
    UNION,
    WEEK_COMBINATIONS,
    CuttingTray,
    Tray,
    expected_take,
)
from table_files import csv_text, write_files


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
                    Tray(
                        season=season,
                        tray=f"T{number}",
                        week=week,
                        scion=scion,
                        understock=understock,
                        method=method,
                        day=day,
                    )
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
    lost_early = [
        gone and bool(u < 0.5) for gone, u in zip(lost, rng.random(tray.grafted), strict=True)
    ]
    taken = sum(t and not gone for t, gone in zip(takes, lost, strict=True))
    failed = tray.grafted - sum(lost) - taken
    dead = draw(rng, failed, DEAD_SHARE_OF_FAILURES)
    dead_first = draw(rng, dead, 0.6)
    pushing = draw(rng, failed - dead_first, PUSHES_ON_STORED_FOOD)
    lost_later = sum(
        t for t, gone, early in zip(takes, lost, lost_early, strict=True) if gone and not early
    )
    tray.counts["first"] = {
        "taken": taken + pushing + lost_later,
        "understock_dead": dead_first,
        "missing": sum(lost_early),
    }
    tray.counts["settled"] = {
        "taken": taken,
        "understock_dead": dead,
        "missing": sum(lost),
        "saleable": draw(rng, taken, SALEABLE_SHARE),
    }


def count_next_spring(rng: np.random.Generator, trays: list[Tray]) -> None:
    """Count the older seasons once more: of the grafts that took, those alive next spring."""
    for tray in trays:
        if tray.season in NEXT_SPRING:
            share = ALIVE_NEXT_SPRING[tray.scion, tray.understock]
            taken = tray.counts["settled"]["taken"]
            alive = sum(draw_tray(rng, taken, share, LATER_CORRELATION))
            tray.counts["next spring"] = {"taken": alive}


def strike_cuttings(rng: np.random.Generator) -> list[CuttingTray]:
    """Strike the trays of cuttings of the newest season and count the rooted ones."""
    trays = []
    for scion, share in ROOTED_SHARE.items():
        for bench in dealt(rng, list(BENCH), CUTTING_TRAYS):
            rooted = sum(draw_tray(rng, TRAY_SIZE, share, ROOTING_CORRELATION))
            number = f"C3{len(trays) + 1:02d}"
            trays.append(
                CuttingTray(tray=number, scion=scion, bench=bench, struck=TRAY_SIZE, rooted=rooted)
            )
    return trays


def graft_date(tray: Tray) -> dt.date:
    """Tell the day of grafting."""
    return FIRST_TUESDAY[tray.season] + dt.timedelta(days=7 * (tray.week - 1) + 2 * tray.day)


def same_at_every_count(tray: Tray) -> dict[str, object]:
    """Write what was done to a tray; the keys are the columns of the sheet."""
    grafted_on = graft_date(tray)
    return {
        "season": tray.season,
        "block": f"B{tray.week:02d}",
        "bench": tray.bench,
        "tray": tray.tray,
        "tray_size": TRAY_SIZE,
        "scion": tray.scion,
        "understock": tray.understock,
        "method": tray.method,
        "scion_wood": tray.scion_wood,
        "union_height_mm": tray.union_height_mm,
        "caliper_class": tray.caliper_class,
        "caliper_match": tray.caliper_match,
        "graft_date": grafted_on,
        "scion_cut_date": grafted_on - dt.timedelta(days=tray.storage),
        "bud_break_date": BUD_BREAK[tray.season, tray.understock],
        "grafter": tray.grafter,
        "grafted": tray.grafted,
    }


def sheet_rows(tray: Tray) -> list[dict[str, object]]:
    """Write a tray's row once for each of its first two counts."""
    same = same_at_every_count(tray)
    settled_on = SETTLED[tray.season] + dt.timedelta(days=int(tray.week > 5))
    blank: dict[str, object] = dict.fromkeys(
        ("count_date", "taken", "understock_dead", "missing", "saleable"), ""
    )
    first: dict[str, object] = {"count": "first", **blank, **tray.counts["first"], "note": ""}
    first["count_date"] = graft_date(tray) + dt.timedelta(weeks=8)
    settled: dict[str, object] = {"count": "settled", **blank, "note": ""}
    if tray.settled_yet:
        settled |= {"count_date": settled_on, **tray.counts["settled"]}
    else:
        settled["note"] = "still flushing in June: not counted yet"
    return [same | first, same | settled]


def next_spring_row(tray: Tray) -> dict[str, object]:
    """Write a tray's row of the next spring."""
    return same_at_every_count(tray) | {
        "count": "next spring",
        "count_date": NEXT_SPRING[tray.season],
        **tray.counts["next spring"],
    }


def cutting_row(tray: CuttingTray) -> dict[str, object]:
    """Write a tray of cuttings: struck stands under grafted, rooted under taken."""
    return {
        "season": NEWEST,
        "bench": tray.bench,
        "tray": tray.tray,
        "tray_size": TRAY_SIZE,
        "scion": tray.scion,
        "grafted": tray.struck,
        "count": "settled",
        "count_date": CUTTINGS_COUNTED,
        "taken": tray.rooted,
        "missing": 0,
        "note": f"cuttings struck {CUTTINGS_STRUCK}",
        "made_by": "cutting",
    }


def sheet_of(
    season: str, trays: list[Tray], cuttings: list[CuttingTray]
) -> tuple[list[str], list[list[object]]]:
    """Set out a season's sheet: its columns and rows, what was added later at the end."""
    own = [tray for tray in trays if tray.season == season]
    rows = [row for tray in own for row in sheet_rows(tray)]
    header = [*rows[0], "saleable_date"]
    for row in rows:
        row["saleable_date"] = "" if row["saleable"] == "" else row["count_date"]
    if season in NEXT_SPRING:
        rows += [next_spring_row(tray) for tray in own]
    if season == NEWEST:
        header.append("made_by")
        rows = [row | {"made_by": "graft"} for row in rows]
        rows += [cutting_row(tray) for tray in cuttings]
    return header, [[row.get(name, "") for name in header] for row in rows]


SETTINGS = f"""# INVENTED DATA: settings of the invented seasons of Quern Hollow.
title = "Quern Hollow: cleft and side veneer on seedling understock"
invented = true
seed = {SEED}
truth = "known_truth.csv and known_truth.md, beside the seasons"

[trial]
question = "Does side veneer take better than cleft on our witch hazels and hornbeams?"
new = "side veneer"
standard = "cleft"
margin_points = 5
rule = "The two differ if the 95 % interval of the difference lies wholly on one side of 0."
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

[targets]
{{targets}}

[costs]
currency = "EUR"
hour = 18
price = 14.50
assumed = true
"understock" = "2.40"
"scion piece" = "0.25 min, 0.10"
"prepare and graft" = "1.5 min"
"tie and seal" = "0.5 min, 0.08"
"label and place" = "0.3 min, 0.05"
"aftercare" = "1.2 min, 0.40"
"head back" = "0.6 min, per taken, only side veneer"
"grow on" = "2 min, 1.90, per taken"

[work]
grafts_a_day = 120
days_a_week = 4
window = "early January to mid March"
# For the order: invented like all else, and assumed as the costs are.
assumed = true
usable_share = "virginiana 80%, hornbeam 85%"
years_grown = 2
loss_a_year = "6%"
understocks = "virginiana 640, hornbeam 800"
union_by_class = "thin low, stout high"
pieces_a_stick = "copper moth 4, saffron wren 4, last lamp 4, grey sentry 5, paper kite 5"
sub_terminal_pieces = "saffron wren 120, paper kite 120"
[work.terminal_pieces]
"copper moth" = 200
"saffron wren" = 220
"last lamp" = 150
"grey sentry" = 330
"paper kite" = 240
"""


def made_files() -> dict[str, str]:
    """Make every file: its name and its text."""
    rng = np.random.Generator(np.random.PCG64(SEED))
    trays = [tray for season in SEASONS for tray in lay_out(rng, season)]
    for tray in trays:
        count(rng, tray)
    rng = np.random.Generator(np.random.PCG64([SEED, LATER_STREAM]))
    count_next_spring(rng, trays)
    cuttings = strike_cuttings(rng)
    files = {}
    for season in SEASONS:
        header, cells = sheet_of(season, trays, cuttings)
        files[f"season_{season.replace('-', '_')}.csv"] = csv_text(header, cells, mark=MARK)
    truths = [*truths_of(trays), *later_truths_of(trays, cuttings)]
    rows = [
        [f"{cell:.6f}" if isinstance(cell, float) else cell for cell in vars(truth).values()]
        for truth in truths
    ]
    files["known_truth.csv"] = csv_text(TRUTH_HEADER, rows, mark=MARK)
    files["known_truth.md"] = truth_page(truths)
    files["trial.toml"] = SETTINGS.format(
        names="\n".join(f'"{short}" = "{full}"' for short, full in NAMES.items()),
        targets="\n".join(
            f'"{scion} on {stock}" = {plants}' for (scion, stock), plants in TARGETS.items()
        ),
    )
    return files


if __name__ == "__main__":
    write_files(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent, made_files())
