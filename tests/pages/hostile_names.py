"""Records whose names try to be markup, formulas, or what turns a line round."""

from __future__ import annotations

import pandas as pd

from takestats.records.read import records_from_frame
from takestats.records.result import Records

SCRIPT = "<script>alert(1)</script>"
FORMULA = '=HYPERLINK("x","y")'
PLUS = "+cmd|' /C calc'!A0"
QUOTES = 'O\'Neil "the" & <b>bold</b> {{ 7 * 7 }}'
TURNED = "\u202eevil 03 fo 12"
HEBREW = "שלום עולם"
ARABIC = "مرحبا بالعالم"
LONG = "W" * 200
LINES = "two\nlines"
TITLE = f"{FORMULA} {SCRIPT} {TURNED} {HEBREW} {LONG}"

METHODS = (f"{SCRIPT} {QUOTES}", LONG)
CULTIVARS = (f"'{HEBREW} {FORMULA}'", f"'{LONG}'")
DONORS = (PLUS, QUOTES, TURNED)
BENCHES = (f"{LINES} {SCRIPT}", TURNED, ARABIC)
GRAFTERS = ("@SUM(A1)", TURNED)


def hostile_records() -> Records:
    """Twelve trays; every number typed here."""
    rows = []
    for n in range(12):
        rows.append(
            {
                "season": "2026",
                "tray": f"{(SCRIPT, TURNED, PLUS, LINES, LONG, QUOTES)[n % 6]} {n}",
                "method": METHODS[n % 2],
                "scion": f"Hamamelis × intermedia {CULTIVARS[n // 2 % 2]}",
                "understock": "Hamamelis virginiana",
                "donor": DONORS[(n // 2) % 3],
                "bench": BENCHES[n % 3],
                "position": (SCRIPT, "A3", "7")[n // 4],
                "grafter": GRAFTERS[n % 2],
                "note": f"{SCRIPT} {FORMULA}",
                "grafted": 31,
                "missing": n % 2,
                "taken": (24, 30, 27, 29, 11, 28)[n % 6],
                "count_date": "2026-06-16",
            }
        )
    settings = {
        "title": TITLE,
        "invented": True,
        "seed": 1,
        "truth": f"nowhere {SCRIPT}",
        "trial": {"question": f"{PLUS} {TURNED}"},
        "compare": {"factors": ["method", "combination"]},
    }
    return records_from_frame(pd.DataFrame(rows), trial=settings)
