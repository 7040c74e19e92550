"""Honest numbers from a nursery's grafting records.

Every public name is listed here and loaded when it is first used, so that
``import takestats`` and the command line's help stay quick.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING

from takestats._version import __version__ as __version__

if TYPE_CHECKING:
    from takestats.answers.curves import take_curve as take_curve
    from takestats.answers.expected_take import expected_take as expected_take
    from takestats.answers.gaps import differences as differences
    from takestats.answers.group_takes import group_takes as group_takes
    from takestats.answers.model_checks import model_checks as model_checks
    from takestats.answers.odds import odds_ratios as odds_ratios
    from takestats.answers.rates import take_rates as take_rates
    from takestats.answers.second_opinions import second_opinions as second_opinions
    from takestats.bench.layout import bench_layout as bench_layout
    from takestats.errors import CountsError as CountsError
    from takestats.errors import DesignError as DesignError
    from takestats.errors import FileError as FileError
    from takestats.errors import RecordsError as RecordsError
    from takestats.errors import SettingsError as SettingsError
    from takestats.errors import TakeError as TakeError
    from takestats.errors import UnknownColumnError as UnknownColumnError
    from takestats.errors import UnknownLevelError as UnknownLevelError
    from takestats.interval import Interval as Interval
    from takestats.interval import take_interval as take_interval
    from takestats.models.correlation import intra_tray_correlation as intra_tray_correlation
    from takestats.models.fit import fit_take as fit_take
    from takestats.models.take_model import TakeModel as TakeModel
    from takestats.models.two_counts import difference_interval as difference_interval
    from takestats.order.understock_order import understock_order as understock_order
    from takestats.pages.bench_papers import write_bench as write_bench
    from takestats.pages.order_page import write_order as write_order
    from takestats.pages.season_page import write_report as write_report
    from takestats.planning.above_floor import trays_to_exceed_floor as trays_to_exceed_floor
    from takestats.planning.estimate import trays_to_estimate as trays_to_estimate
    from takestats.planning.new_combination import plan_new_combination as plan_new_combination
    from takestats.planning.no_worse import trays_to_show_no_worse as trays_to_show_no_worse
    from takestats.planning.tell_apart import trays_to_tell_apart as trays_to_tell_apart
    from takestats.planning.two_stage import two_stage as two_stage
    from takestats.records.calipers import caliper_mm as caliper_mm
    from takestats.records.plants import plant_name as plant_name
    from takestats.records.read import read_records as read_records
    from takestats.records.read import records_from_frame as records_from_frame
    from takestats.records.result import Records as Records

#: Where each public name lives.
_HOMES = {
    "CountsError": "takestats.errors",
    "DesignError": "takestats.errors",
    "FileError": "takestats.errors",
    "Interval": "takestats.interval",
    "Records": "takestats.records.result",
    "RecordsError": "takestats.errors",
    "SettingsError": "takestats.errors",
    "TakeError": "takestats.errors",
    "TakeModel": "takestats.models.take_model",
    "UnknownColumnError": "takestats.errors",
    "UnknownLevelError": "takestats.errors",
    "bench_layout": "takestats.bench.layout",
    "caliper_mm": "takestats.records.calipers",
    "difference_interval": "takestats.models.two_counts",
    "differences": "takestats.answers.gaps",
    "expected_take": "takestats.answers.expected_take",
    "fit_take": "takestats.models.fit",
    "group_takes": "takestats.answers.group_takes",
    "intra_tray_correlation": "takestats.models.correlation",
    "model_checks": "takestats.answers.model_checks",
    "odds_ratios": "takestats.answers.odds",
    "plan_new_combination": "takestats.planning.new_combination",
    "plant_name": "takestats.records.plants",
    "read_records": "takestats.records.read",
    "records_from_frame": "takestats.records.read",
    "second_opinions": "takestats.answers.second_opinions",
    "take_curve": "takestats.answers.curves",
    "take_interval": "takestats.interval",
    "take_rates": "takestats.answers.rates",
    "trays_to_estimate": "takestats.planning.estimate",
    "trays_to_exceed_floor": "takestats.planning.above_floor",
    "trays_to_show_no_worse": "takestats.planning.no_worse",
    "trays_to_tell_apart": "takestats.planning.tell_apart",
    "two_stage": "takestats.planning.two_stage",
    "understock_order": "takestats.order.understock_order",
    "write_bench": "takestats.pages.bench_papers",
    "write_order": "takestats.pages.order_page",
    "write_report": "takestats.pages.season_page",
}

__all__ = list(_HOMES)


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'takestats' has no attribute {name!r}")
    found: object = getattr(import_module(_HOMES[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOMES])
