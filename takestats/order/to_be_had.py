"""How many understocks are there to graft on, of each understock and class?"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import Any

from pandas import DataFrame

from takestats.errors import UnknownLevelError
from takestats.models.lines import nearest
from takestats.records.each_of import EVERY
from takestats.records.settings import TrialSettings
from takestats.records.targets import pair_name

KEY = "understocks"
Stocks = dict[tuple[str, str], float]


def understocks_to_be_had(
    settings: TrialSettings, stocks: Collection[str], classes: Mapping[str, Collection[str]]
) -> Stocks:
    """Read ``[work] understocks``: one number for all, for each understock, or for its classes.

    Parameters
    ----------
    settings : TrialSettings
    stocks : collection of str
        Understocks that may be named, in full.
    classes : mapping of str to collection of str
        Caliper classes on record of each understock.

    Returns
    -------
    dict of (understock, class) to float
        The class is blank where the number is for the whole understock; an understock that is
        not named is not in it.

    Raises
    ------
    UnknownLevelError
        For a name that is neither an understock nor one with its class.
    """
    given = settings.work.get(KEY, {})
    found: Stocks = {}
    if EVERY in given:
        found = {(stock, ""): float(given[EVERY]) for stock in stocks}
    for typed, value in given.items():
        if typed != EVERY:
            found[_named(typed, settings, stocks, classes)] = float(value)
    return found


def _named(
    typed: str,
    settings: TrialSettings,
    stocks: Collection[str],
    classes: Mapping[str, Collection[str]],
) -> tuple[str, str]:
    lower = {stock.lower(): stock for stock in stocks}
    whole = pair_name(typed, settings.names).lower()
    if whole in lower:
        return lower[whole], ""
    for stock in stocks:
        for name in classes.get(stock, ()):
            start, end = typed[: -len(name)].strip(" ,"), typed[-len(name) :]
            of = pair_name(start, settings.names).lower() if start else ""
            if end.lower() == name.lower() and lower.get(of) == stock:
                return stock, name
    known = [*stocks, *(f"{stock} {name}" for stock in stocks for name in classes.get(stock, ()))]
    raise UnknownLevelError(
        where=f"{settings.file or 'settings'}, work.{KEY}",
        what=f"{typed!r}",
        rule="understocks to be had are given for all, for an understock of the records or "
        "targets, or for a caliper class of one",
        next_step=nearest(typed, sorted(known)),
    )


def most_of(stock: str, held: Stocks, classes: Collection[str]) -> float:
    """Understocks of one kind in all; nan: not recorded.

    Examples
    --------
    >>> most_of("B", {("B", "thin"): 20.0, ("B", "stout"): 30.0}, ["thin", "stout"])
    50.0
    >>> most_of("B", {("B", "thin"): 20.0}, ["thin", "stout"])
    nan
    """
    if (stock, "") in held:
        return held[stock, ""]
    own = [held.get((stock, name), math.nan) for name in classes]
    return sum(own) if own else math.nan


def with_to_be_had(classes: DataFrame, held: Stocks) -> DataFrame:
    """The table of classes with what is to be had of each, and what is short.

    Parameters
    ----------
    classes : DataFrame
        As :class:`takestats.order.understocks.Understocks` has it.
    held : dict

    Returns
    -------
    DataFrame
        With to_be_had and short (understocks of that class; nan: not recorded). A number for a
        whole understock stands in the row of an understock without classes only.
    """
    rows: list[dict[str, Any]] = []
    for row in classes.to_dict("records"):
        had = held.get((str(row["understock"]), str(row["caliper_class"])), math.nan)
        short = max(0.0, float(row["understocks"]) - had) if had == had else math.nan
        rows.append({str(k): v for k, v in row.items()} | {"to_be_had": had, "short": short})
    return DataFrame(rows, columns=[*classes.columns, "to_be_had", "short"])
