"""What does an order hold, and how is it held against an earlier one?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.order.bench_days import trays_of
from takestats.order.changed import OrderChange, order_change
from takestats.order.order_origin import OrderOrigin
from takestats.order.ordered_rows import Ordered
from takestats.order.scion_wood import WoodDifference
from takestats.order.within_limits import Fitted

SHAPE = "takestats understock order 1"
COLUMNS = (
    "combination",
    "scion",
    "understock",
    "rests_on",
    "wanted",
    "plants",
    "assurance",
    "grafts",
    "chance_met",
    "seedlings",
    "trays",
    "tray_size",
    "expected_take",
    "take_low",
    "kept",
    "kept_low",
    "kept_typed",
    "low_plants",
    "expected_plants",
    "high_plants",
    "expected_surplus",
    "largest_surplus",
    "past_seasons",
    "past_trays",
    "past_grafts",
    "graded_seasons",
    "graded_trays",
    "graded_plants",
    "pooled",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class UnderstockOrder(TableResult):
    """An order for next season.

    Parameters
    ----------
    assurance : float
    tray_size : float
        nan: not recorded.
    banner : str
        What stands first wherever invented or reconstructed records are shown; else blank.
    currency : str
    wood_difference : WoodDifference or None
        Take of sub-terminal minus terminal wood.
    costs_assumed : str
        "all", "some" or blank: which of the costs are marked as assumed.
    window_words : tuple of str
        When the take was best, from a date curve; empty without one.
    origin : OrderOrigin
        Files, settings and count it was made from.
    fitted : Fitted or None
        The order held against wood, understock and days: what is met, what is short, and which
        limit would have to grow; None where no limit was given.
    """

    assurance: float
    tray_size: float
    banner: str
    currency: str
    wood_difference: WoodDifference | None
    costs_assumed: str
    window_words: tuple[str, ...]
    origin: OrderOrigin
    fitted: Fitted | None
    _parts: dict[str, DataFrame] = field(repr=False)

    @property
    def understocks(self) -> DataFrame:
        """Understocks by caliper class.

        understock, caliper_class, union, share, understocks, season, recorded_grafts, to_be_had,
        short.
        """
        return self._parts["understocks"].copy()

    @property
    def seedlings(self) -> DataFrame:
        """Seedlings to raise.

        understock, grafts, usable_share, years_grown, loss_a_year, seedlings, to_be_had
        (understocks fit to graft).
        """
        return self._parts["seedlings"].copy()

    @property
    def wood(self) -> DataFrame:
        """Scion pieces and sticks.

        combination, scion, pieces, pieces_a_stick, sticks, terminal, sub_terminal, short,
        fewer_plants, fewer_low, fewer_high, training.
        """
        return self._parts["wood"].copy()

    @property
    def days(self) -> DataFrame:
        """Trays, days and weeks of the whole order, one row.

        grafts, trays, tray_size, grafts_a_day, days, days_a_week, grafts_a_week, weeks, window.
        """
        return self._parts["days"].copy()

    @property
    def weeks(self) -> DataFrame:
        """What is grafted in which week, within the limits; empty where no limit was given.

        combination, wood, understock, week, grafts, saleable (plants to count on).
        """
        return DataFrame() if self.fitted is None else self.fitted.table

    @property
    def window(self) -> DataFrame:
        """Days of the season on which the take is close to its best; empty without a date curve.

        best_at, low, high and more, as :meth:`takestats.answers.curves.TakeCurve.window` gives.
        """
        return self._parts["window"].copy()

    @property
    def costs(self) -> DataFrame:
        """Hours and money by combination and for all; empty without costs.

        combination, grafts; hours, labour, material, cost and cost_per_plant, each with _low and
        _high.
        """
        return self._parts["costs"].copy()

    @property
    def surplus(self) -> DataFrame:
        """What is to be expected beyond the plants wanted.

        combination, wanted, low_plants, expected_plants, high_plants, expected_surplus,
        largest_surplus.
        """
        names = ["combination", "wanted", "low_plants", "expected_plants", "high_plants"]
        return self._table[[*names, "expected_surplus", "largest_surplus"]].copy()

    def as_record(self) -> dict[str, Any]:
        """What a later order is held against: plain text and numbers, fit for JSON."""
        return {
            "shape": SHAPE,
            "assurance": self.assurance,
            "table": [
                {str(k): _plain(v) for k, v in row.items()}
                for row in self._table.to_dict("records")
            ],
        }

    def changed_since(self, earlier: UnderstockOrder | Mapping[str, Any]) -> OrderChange:
        """What is ordered now that was not before the count, and the other way round?

        Parameters
        ----------
        earlier : UnderstockOrder or mapping
            An order, or what :meth:`as_record` made of one.

        Returns
        -------
        OrderChange
            One row per combination of either order: combination, wanted_before, wanted,
            grafts_before, grafts, change, seedlings_before, seedlings, expected_take_before,
            expected_take, take_low_before, take_low, past_seasons_before, past_seasons,
            past_grafts_before, past_grafts. nan: not in that order.

        Raises
        ------
        CountsError
            For anything that is no order.
        """
        before = earlier.as_record() if isinstance(earlier, UnderstockOrder) else earlier
        return order_change(before, self.as_record())


def _plain(value: Any) -> Any:
    found = value.item() if hasattr(value, "item") else value
    return None if isinstance(found, float) and found != found else found


def order_row(row: Ordered, seedlings: float, size: float) -> dict[str, Any]:
    """One row of the table of an order."""
    nan = float("nan")
    past, graded = row.past, row.graded
    return {
        "combination": row.combination,
        "scion": row.scion,
        "understock": row.understock,
        "rests_on": row.rests_on,
        "wanted": row.wanted,
        "plants": row.plants,
        "assurance": row.assurance,
        "grafts": row.grafts,
        "chance_met": row.chance,
        "seedlings": seedlings,
        "trays": trays_of(row.grafts, size),
        "tray_size": size,
        "expected_take": row.expected_take,
        "take_low": row.take_low,
        "kept": row.kept,
        "kept_low": row.kept_low,
        "kept_typed": row.kept_typed,
        "low_plants": float(row.low_plants),
        "expected_plants": row.plants_expected,
        "high_plants": float(row.high_plants),
        "expected_surplus": row.plants_expected - row.wanted,
        "largest_surplus": float(row.high_plants) - row.wanted,
        "past_seasons": nan if past is None else float(past.seasons),
        "past_trays": nan if past is None else past.trays,
        "past_grafts": nan if past is None else past.plants,
        "graded_seasons": nan if graded is None else float(graded.seasons),
        "graded_trays": nan if graded is None else graded.trays,
        "graded_plants": nan if graded is None else graded.plants,
        "pooled": past is not None and past.pooled,
    }
