"""Small invented records to order from: two combinations or five, with saleable plants."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
import pandas as pd

from takestats.order.order_result import UnderstockOrder
from takestats.order.past_seasons import PastSeasons, past_seasons
from takestats.order.understock_order import understock_order
from takestats.records.read import records_from_frame
from takestats.records.result import Records
from tests.answers.grouped_trials import SCIONS, UNDERSTOCK, seasons_frame

MOTH = "Hamamelis × intermedia 'Copper Moth' on Hamamelis virginiana"
LAMP = "Hamamelis × intermedia 'Last Lamp' on Hamamelis virginiana"
TRIAL: dict[str, Any] = {
    "names": {"moth": SCIONS[0], "lamp": SCIONS[1], "virginiana": UNDERSTOCK},
    "targets": {"moth on virginiana": 200, "lamp on virginiana": 150},
    "classes": {"thin": "6 to 8 mm", "stout": "8 to 10 mm"},
    "costs": {
        "currency": "EUR",
        "hour": 18,
        "understock": "2.40",
        "tie and seal": "3 min, 0.10",
        "stake": "2 min, 0.30, per taken, only sub-terminal",
        "grow on": "0.50, per saleable",
    },
    "work": {
        "grafts_a_day": 120,
        "days_a_week": 4,
        "window": "early January to mid March",
        "usable_share": "80%",
        "years_grown": 2,
        "loss_a_year": 0.1,
        "union_by_class": "thin low, stout high",
        "pieces_a_stick": 4,
    },
}
WOOD: dict[str, Any] = TRIAL | {
    "work": TRIAL["work"]
    | {"terminal_pieces": "moth 150, lamp 500", "sub_terminal_pieces": "moth 40"}
}


def frame(*, saleable: bool = True, **sizes: int) -> pd.DataFrame:
    """Rows with wood, class and (for all but the last combination) saleable plants."""
    rows = seasons_frame(**sizes)
    rng = np.random.default_rng(3)
    number = np.arange(len(rows))
    rows["scion_wood"] = np.where(number % 4 == 3, "sub_terminal", "terminal")
    rows["caliper_class"] = np.where(number % 3 == 0, "stout", "thin")
    if saleable:
        rows["saleable"] = rng.binomial(rows["taken"], 0.92).astype(float)
        rows["saleable_date"] = [f"{year[:4]}-10-15" for year in rows["season"]]
        rows.loc[rows["scion"] == SCIONS[4], ["saleable", "saleable_date"]] = [np.nan, None]
    return rows


@lru_cache(maxsize=8)
def records(*, saleable: bool = True, seasons: int = 3, combinations: int = 2) -> Records:
    """Records of :func:`frame` with settings."""
    made = frame(saleable=saleable, seasons=seasons, combinations=combinations)
    return records_from_frame(made, trial=TRIAL)


@lru_cache(maxsize=8)
def past(*, seasons: int = 3, combinations: int = 2) -> PastSeasons:
    """What these say of the next season, fitted once."""
    return past_seasons(records(seasons=seasons, combinations=combinations))


@lru_cache(maxsize=8)
def order(*, seasons: int = 3, combinations: int = 2) -> UnderstockOrder:
    """The order of the settings, terminal pieces not limited."""
    return understock_order(past(seasons=seasons, combinations=combinations))


@lru_cache(maxsize=1)
def wooded() -> UnderstockOrder:
    """The same with terminal wood that runs out."""
    return understock_order(past(), settings=WOOD)
