"""How many understocks should be lined up for next season, and what goes with them?"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pandas import DataFrame

from takestats.models.take_model import TakeModel
from takestats.order.asked import (
    check_assurance,
    check_tray_size,
    checked_each,
    typed_of,
    wanted_of,
)
from takestats.order.bench_days import bench_days
from takestats.order.grafting_window import grafting_window
from takestats.order.order_money import order_money
from takestats.order.order_notes import order_notes
from takestats.order.order_result import COLUMNS, UnderstockOrder, order_row
from takestats.order.ordered import ordered_of
from takestats.order.past_seasons import PastSeasons, past_seasons
from takestats.order.scion_wood import scion_wood
from takestats.order.tray_size import tray_size_of
from takestats.order.understocks import understocks
from takestats.records.result import Records
from takestats.records.settings import TrialSettings, read_trial
from takestats.wording import order_told as words


def understock_order(
    model_or_takes: TakeModel | Records | PastSeasons | Mapping[str, Any],
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
    model_or_takes : Records, TakeModel, PastSeasons or mapping
        Every season of the records is used; what ``past_seasons`` made of them serves several
        orders. A mapping has three typed takes for each
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
    The plants of a new season are a sum over trays: the season's share of saleable plants among
    the grafts made is drawn from its predictive distribution (seasons as groups of trays; their
    spread shared by combinations where four have two seasons or more), and trays differ around
    it. Where not every tray line records its saleable plants, the season's take and the saleable
    share of those that took are drawn apart, as if independent. The order is the fewest grafts
    that reach the plants wanted with the assurance. In simulated seasons, orders at 90 % of one
    combination by itself were met in 94 of 100 on average: in 99 with one season on record and
    seasons that are alike, in 89 with three and seasons that differ much. One season
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
    if isinstance(model_or_takes, PastSeasons):
        past = model_or_takes
    elif isinstance(model_or_takes, TakeModel | Records):
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
    rows = [order_row(row, stocks.by_combination[row.combination], size.cells) for row in ordered]
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
