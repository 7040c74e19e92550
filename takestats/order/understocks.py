"""How many understocks of each caliper class, and how many seedlings must be raised?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from pandas import DataFrame

from takestats.models.lines import as_level
from takestats.order.asked import given_each, value_for
from takestats.order.ordered_rows import Ordered
from takestats.order.plain_chain import whole_up
from takestats.order.to_be_had import most_of, understocks_to_be_had, with_to_be_had
from takestats.records.classes import class_bounds, class_of
from takestats.records.settings import TrialSettings

CLASS_COLUMNS = (
    "understock",
    "caliper_class",
    "union",
    "share",
    "understocks",
    "season",
    "recorded_grafts",
    "to_be_had",
    "short",
)
SEEDLING_COLUMNS = (
    "understock",
    "grafts",
    "usable_share",
    "years_grown",
    "loss_a_year",
    "seedlings",
    "to_be_had",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class Understocks:
    """Understocks by class, and seedlings to raise.

    Parameters
    ----------
    classes : DataFrame
        understock, caliper_class (blank: not recorded), union ("low", "high", blank), share,
        understocks, season, recorded_grafts, to_be_had, short.
    seedlings : DataFrame
        understock, grafts, usable_share, years_grown, loss_a_year, seedlings, to_be_had; nan: not
        recorded.
    by_combination : dict of str to float
        Seedlings; nan where the usable share is not recorded.
    """

    classes: DataFrame
    seedlings: DataFrame
    by_combination: dict[str, float]


def understocks(
    ordered: Sequence[Ordered], lines: DataFrame | None, settings: TrialSettings
) -> Understocks:
    """From grafts to understocks by class and to seedlings.

    Parameters
    ----------
    ordered : sequence of Ordered
    lines : DataFrame or None
        Tray lines of every season; None without records.
    settings : TrialSettings

    Raises
    ------
    UnknownLevelError
        For a setting of an understock or a class that is not there.

    Notes
    -----
    One understock for each graft. The shares of the classes are those of the newest season in
    which classes were recorded on that understock; whole understocks by the largest remainder.
    Seedlings: grafts divided by the usable share, and by what is left after the yearly losses
    where years and losses are both given; rounded up for each combination.
    """
    stocks = list(dict.fromkeys(row.understock for row in ordered))
    known = {*stocks, *_recorded(lines)}
    usable = given_each(settings, "usable_share", known, "an understock")
    years = given_each(settings, "years_grown", known, "an understock")
    losses = given_each(settings, "loss_a_year", known, "an understock")
    by_combination = {
        row.combination: _seedlings(
            row.exact_grafts,
            value_for(usable, row.understock),
            value_for(years, row.understock),
            value_for(losses, row.understock),
        )
        for row in ordered
    }
    seedlings = [
        {
            "understock": stock,
            "grafts": sum(row.grafts for row in ordered if row.understock == stock),
            "usable_share": value_for(usable, stock),
            "years_grown": value_for(years, stock),
            "loss_a_year": value_for(losses, stock),
            "seedlings": sum(
                by_combination[row.combination] for row in ordered if row.understock == stock
            ),
        }
        for stock in stocks
    ]
    named = [*stocks, *sorted(known - set(stocks))]
    shares = {stock: class_shares(lines, stock, settings) for stock in named}
    classes = {stock: list(found[0]) for stock, found in shares.items()}
    held = understocks_to_be_had(settings, named, classes)
    for row in seedlings:
        stock = str(row["understock"])
        row["to_be_had"] = most_of(stock, held, classes[stock])
    table = DataFrame(_classes(stocks, ordered, shares, settings))
    return Understocks(
        classes=with_to_be_had(table, held)[list(CLASS_COLUMNS)],
        seedlings=DataFrame(seedlings, columns=list(SEEDLING_COLUMNS)),
        by_combination=by_combination,
    )


def _recorded(lines: DataFrame | None) -> set[str]:
    if lines is None or "understock" not in lines:
        return set()
    return {str(name) for name in lines["understock"].dropna().unique()}


def _seedlings(grafts: float, usable: float, years: float, loss: float) -> float:
    if math.isnan(usable):
        return math.nan
    left = usable
    if not math.isnan(years) and not math.isnan(loss):
        left *= (1.0 - loss) ** years
    return float(whole_up(grafts / left)) if left > 0.0 else math.inf


def _classes(
    stocks: Sequence[str],
    ordered: Sequence[Ordered],
    found: Mapping[str, tuple[dict[str, float], str, float]],
    settings: TrialSettings,
) -> list[dict[str, Any]]:
    named = dict.fromkeys(class_bounds(settings.classes))
    known = {*named, *settings.classes, *(c for stock in stocks for c in found[stock][0])}
    unions = given_each(settings, "union_by_class", known, "a caliper class")
    rows = []
    for stock in stocks:
        grafts = sum(row.grafts for row in ordered if row.understock == stock)
        shares, season, behind = found[stock]
        counts = whole_parts(grafts, list(shares.values()))
        rows += [
            {
                "understock": stock,
                "caliper_class": name,
                "union": unions.get(name, ""),
                "share": share,
                "understocks": number,
                "season": season,
                "recorded_grafts": behind,
            }
            for (name, share), number in zip(shares.items(), counts, strict=True)
        ]
        if not shares:
            rows.append(
                {"understock": stock, "caliper_class": "", "union": "", "share": math.nan}
                | {"understocks": grafts, "season": "", "recorded_grafts": math.nan}
            )
    return rows


def class_shares(
    lines: DataFrame | None, understock: str, settings: TrialSettings
) -> tuple[dict[str, float], str, float]:
    """Shares of the caliper classes on an understock, in the newest season that records them.

    Returns
    -------
    shares : dict of str to float
        Of the grafts with a class; empty when none was recorded.
    season : str
    grafts : float
        With a class.
    """
    if lines is None or "understock" not in lines:
        return {}, "", math.nan
    own = lines[lines["understock"].astype(str) == understock]
    classes = _class_of_lines(own, settings)
    with_class = np.array([name is not None for name in classes], dtype=bool)
    if not with_class.any():
        return {}, "", math.nan
    own, classes = own[with_class], classes[with_class]
    season = str(own["season"].astype(str).max())
    newest = (own["season"].astype(str) == season).to_numpy()
    made = own["grafted"].to_numpy(dtype=float)[newest]
    names = [str(name) for name in classes[newest]]
    order = [*settings.classes, *sorted(set(names))]
    total = float(made.sum())
    shares = {
        name: float(sum(m for m, n in zip(made, names, strict=True) if n == name)) / total
        for name in dict.fromkeys(order)
        if name in names
    }
    return shares, season, total


def _class_of_lines(own: DataFrame, settings: TrialSettings) -> Any:
    bounds = class_bounds(settings.classes, settings.records.get("caliper_unit"))
    size = len(own)
    typed = own["caliper_class"] if "caliper_class" in own else [None] * size
    if "understock_caliper_mm" in own:
        mm = own["understock_caliper_mm"].to_numpy(dtype=float, na_value=np.nan)
    else:
        mm = np.full(size, np.nan)
    return np.array(
        [
            as_level(name) or (class_of(width, bounds) if not math.isnan(width) else None)
            for name, width in zip(typed, mm.tolist(), strict=True)
        ],
        dtype=object,
    )


def whole_parts(total: int, shares: Sequence[float]) -> list[int]:
    """Split a whole number by shares; the largest remainders get what is left.

    Examples
    --------
    >>> whole_parts(10, [0.55, 0.25, 0.2])
    [6, 2, 2]
    """
    exact = [total * share for share in shares]
    parts = [math.floor(value + 1e-9) for value in exact]
    spare = sorted(range(len(parts)), key=lambda i: (parts[i] - exact[i], i))
    for index in spare[: total - sum(parts)] if parts else []:
        parts[index] += 1
    return parts
