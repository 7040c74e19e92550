"""How many understocks should be lined up for next season, and what goes with them?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.order.asked import (
    check_assurance,
    check_tray_size,
    checked_each,
    typed_of,
    wanted_of,
)
from takestats.order.bench_days import bench_days, trays_of
from takestats.order.changed import OrderChange, order_change
from takestats.order.grafting_window import grafting_window
from takestats.order.order_money import order_money
from takestats.order.order_notes import order_notes
from takestats.order.ordered import ordered_of
from takestats.order.ordered_rows import Ordered
from takestats.order.past_seasons import past_seasons
from takestats.order.scion_wood import WoodDifference, scion_wood
from takestats.order.tray_size import tray_size_of
from takestats.order.understocks import understocks
from takestats.records.result import Records
from takestats.records.settings import TrialSettings, read_trial
from takestats.wording import order_told as words

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
    """

    assurance: float
    tray_size: float
    banner: str
    currency: str
    wood_difference: WoodDifference | None
    _parts: dict[str, DataFrame] = field(repr=False)

    @property
    def understocks(self) -> DataFrame:
        """Understocks by caliper class.

        understock, caliper_class, union, share, understocks, season, recorded_grafts.
        """
        return self._parts["understocks"].copy()

    @property
    def seedlings(self) -> DataFrame:
        """Seedlings to raise.

        understock, grafts, usable_share, years_grown, loss_a_year, seedlings.
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


def understock_order(
    model_or_takes: TakeModel | Records | Mapping[str, Any],
    targets: Mapping[str, Any] | None = None,
    *,
    assurance: float = 0.9,
    takes: Mapping[str, Any] | None = None,
    cull: float | str | Mapping[str, Any] | None = None,
    tray_size: int | None = None,
    settings: TrialSettings | Mapping[str, Any] | str | Path | None = None,
) -> UnderstockOrder:
    """How many understocks should I line up, so that I have the plants I want next season?

    Parameters
    ----------
    model_or_takes : Records, TakeModel or mapping
        Every season of the records is used. A mapping has three typed takes for each
        combination, as (0.60, 0.70, 0.79): poor, usual, good, shares of the grafts made.
    targets : mapping of str to int, optional
        Saleable plants wanted of each combination, short names of the settings allowed; those of
        ``[targets]`` when not given.
    assurance : float
        Chance, .5 to .999, that a combination gives the plants wanted.
    takes : mapping, optional
        Typed takes of some combinations, used before the records.
    cull : float, str or mapping, optional
        Share of the plants that took which are not saleable, for all or for each combination,
        where saleable plants are not recorded; else ``[work]`` cull.
    tray_size : int, optional
        Cells of a tray; else ``[bench]`` tray_size, else as recorded.
    settings : TrialSettings, mapping or path, optional
        Those of the records when not given.

    Returns
    -------
    UnderstockOrder
        One row per combination: combination, scion, understock, rests_on ("records", "others
        like it", "typed takes"), wanted, plants ("saleable"; "taken" where the cull is not
        recorded), assurance, grafts (= understocks), chance_met, seedlings, trays, tray_size,
        expected_take, take_low (lower prediction limit of a new season at the assurance; typed:
        the poor take), kept, kept_low (saleable of those that took), kept_typed, low_plants
        (reached with the assurance), expected_plants, high_plants, expected_surplus,
        largest_surplus, past_seasons, past_trays, past_grafts, graded_seasons, graded_trays,
        graded_plants, pooled. Counts and proportions; nan: not recorded. Further tables:
        ``understocks``, ``seedlings``, ``wood``, ``days``, ``window``, ``costs``, ``surplus``.

    Raises
    ------
    CountsError, SettingsError
        For an assurance, a target, a take, a cull or a tray size that cannot be used.
    UnknownLevelError
        For a combination without a past, likeness or typed takes, or a name that is not there.
    DesignError
        When no number of grafts up to a million is enough.

    Notes
    -----
    The plants of a new season are a sum over trays: the season's take is drawn from its
    predictive distribution (seasons as groups of trays; their spread shared by combinations
    where four have two seasons or more), trays differ around it, and of the plants that took a
    share of a season not yet seen is saleable, which varies in the same way and independently.
    The order is the fewest grafts that reach the plants wanted with the assurance. One season
    on record: how much seasons differ is an assumption, and ``notes`` say which. A bad year
    that hits all combinations is known from as many draws as there are seasons, so that shared
    limits are too narrow when one year is bad for all. The chain after the grafts (classes,
    seedlings, sticks, days) is arithmetic.

    References
    ----------
    Prediction of a new group: Higgins, Thompson & Spiegelhalter 2009, J R Stat Soc A
    172:137-159 (from memory). The chain from plants to sticks: common practice, no source.

    Examples
    --------
    >>> import takestats as ts
    >>> typed = {"Acer rubrum 'Ember' on Acer rubrum": (0.60, 0.70, 0.79)}
    >>> order = ts.understock_order(typed, {"Acer rubrum 'Ember' on Acer rubrum": 500}, cull=0.1,
    ...                             settings={"work": {"usable_share": 0.85}})
    >>> order.table[["grafts", "seedlings"]].values.tolist()
    [[926.0, 1090.0]]
    """
    assurance = check_assurance(assurance)
    past = None
    if isinstance(model_or_takes, TakeModel | Records):
        past = past_seasons(model_or_takes)
    records = None if past is None else past.records
    trial = _settings(settings, records)
    wanted, beside = wanted_of(targets, trial)
    typed = beside | typed_of(takes or {}, trial)
    if isinstance(model_or_takes, Mapping):
        typed |= typed_of(model_or_takes, trial)
    size = tray_size_of(None if tray_size is None else check_tray_size(tray_size), past, trial)
    culls = checked_each("cull", cull, "shares") if cull is not None else None
    ordered = ordered_of(wanted, typed, past, culls, trial, assurance=assurance, size=size.cells)
    count = None if past is None else past.count
    stocks = understocks(ordered, None if past is None else past.lines, trial)
    wood = scion_wood(ordered, records, count, trial)
    costs = order_money(ordered, records, count, trial)
    days = bench_days(ordered, size.cells, trial)
    window = grafting_window(model_or_takes)
    rows = [_row(row, stocks.by_combination[row.combination], size.cells) for row in ordered]
    currency = str(trial.costs.get("currency", ""))
    banner = "" if records is None else records.banner
    return UnderstockOrder(
        _table=DataFrame(rows, columns=list(COLUMNS)),
        notes=order_notes(ordered, past, size, stocks, wood, costs, window, assurance, banner),
        sentences=(
            words.head_sentence(rows, assurance),
            *(words.row_sentence(row) for row in rows),
            *words.class_sentences(_rows(stocks.classes)),
            *words.seedling_sentences(_rows(stocks.seedlings)),
            *words.wood_sentences(
                _rows(wood.table),
                None if wood.difference is None else vars(wood.difference),
                currency,
            ),
            words.days_sentence(_rows(days)[0]),
            *words.money_sentences(
                _rows(costs.table),
                currency,
                "" if costs.plan is None else costs.plan.assumed,
                () if costs.plan is None else costs.plan.without_hour,
                assurance,
            ),
            *window.sentences,
        ),
        assurance=assurance,
        tray_size=size.cells,
        banner=banner,
        currency=currency,
        wood_difference=wood.difference,
        _parts={
            "understocks": stocks.classes,
            "seedlings": stocks.seedlings,
            "wood": wood.table,
            "days": days,
            "window": window.table,
            "costs": costs.table,
        },
    )


def _settings(
    settings: TrialSettings | Mapping[str, Any] | str | Path | None, records: Records | None
) -> TrialSettings:
    if isinstance(settings, TrialSettings):
        return settings
    if settings is not None:
        return read_trial(settings)
    return TrialSettings() if records is None else records.trial


def _rows(table: DataFrame) -> list[dict[str, Any]]:
    return [{str(k): v for k, v in row.items()} for row in table.to_dict("records")]


def _row(row: Ordered, seedlings: float, size: float) -> dict[str, Any]:
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
