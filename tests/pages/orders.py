"""Orders for the tests of their page: short of wood, from typed takes, with hostile names."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from takestats.order.order_result import UnderstockOrder
from takestats.order.understock_order import understock_order
from takestats.records.read import records_from_frame
from tests.order.small_orders import TRIAL, WOOD, frame
from tests.pages.hostile_names import FORMULA, HEBREW, LONG, PLUS, SCRIPT, TITLE, TURNED

TYPED = "Betula nigra 'Last Frost' on Betula pendula"
INVENTED: dict[str, Any] = {
    "title": "Small invented orders",
    "invented": True,
    "seed": 3,
    "truth": "tests/order/small_orders.py",
}
HOSTILE = f"Acer rubrum '{SCRIPT} {FORMULA} {TURNED}' on Acer '{PLUS} {HEBREW} {LONG}'"


@lru_cache(maxsize=1)
def short_order() -> UnderstockOrder:
    """Terminal wood runs out, one combination rests on typed takes, classes are limited."""
    work = WOOD["work"] | {
        "assumed": True,
        "understocks": "virginiana thin 200, virginiana stout 400",
        "terminal_pieces": "moth 150, lamp 500",
    }
    targets = TRIAL["targets"] | {TYPED: "100, poor 40%, usual 60%, good 80%"}
    trial = WOOD | INVENTED | {"work": work, "targets": targets}
    return understock_order(records_from_frame(frame(combinations=2), trial=trial))


@lru_cache(maxsize=1)
def earlier_order() -> UnderstockOrder:
    """Before the newest count: two seasons."""
    trial = TRIAL | INVENTED
    return understock_order(records_from_frame(frame(combinations=2, seasons=2), trial=trial))


def typed_order() -> UnderstockOrder:
    """No records, no limits, no costs."""
    return understock_order({TYPED: (0.4, 0.6, 0.8)}, {TYPED: 100}, cull=0.1)


def hostile_order() -> UnderstockOrder:
    """Names and settings that try to be something else."""
    settings = {
        "title": TITLE,
        "invented": True,
        "seed": 1,
        "truth": f"nowhere {SCRIPT}",
        "costs": {"currency": "<b>EUR", "hour": 18, f"step {SCRIPT}": "2 min"},
        "work": {
            "window": "2029-01-04 to 2029-03-12",
            "grafts_a_day": 100,
            "days_a_week": 4,
            "understocks": 120,
        },
    }
    return understock_order({HOSTILE: (0.4, 0.6, 0.8)}, {HOSTILE: 100}, settings=settings)
