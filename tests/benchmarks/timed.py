"""Everything that is timed, by the name it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from tests.benchmarks.measures import (
    Speed,
    batched,
    eight_coefficients,
    five_coefficients,
    many_trays,
    one_factor,
    planned,
    ten_coefficients,
    whole_reports,
)
from tests.benchmarks.orders import orders

MEASURES: Mapping[str, Callable[[], list[Speed]]] = {
    "one-factor": one_factor,
    "five": five_coefficients,
    "eight": eight_coefficients,
    "ten": ten_coefficients,
    "many": many_trays,
    "batched": batched,
    "planned": planned,
    "order": orders,
    "reports": whole_reports,
}
