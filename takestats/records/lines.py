"""How do rows become tray lines, and lines become counts?"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.errors import UnknownLevelError
from takestats.records.problems import FaultLog
from takestats.records.row_checks import Cells
from takestats.records.trays import Codes, TrayKeys
from takestats.records.words import COUNT_NAMES

COUNT_ORDER = tuple(COUNT_NAMES)
_OUTCOMES = ("saleable", "defects_later", "alive_later")
_OUTCOME_DATES = ("later_count_date", "saleable_date")


def count_single_grafts(
    cells: Cells, keys: TrayKeys, log: FaultLog, single: NDArray[np.bool_]
) -> None:
    """A graft without a count, in a tray that was counted, is counted as missing."""
    if not single.any():
        return
    taken, missing = cells.number("taken"), cells.number("missing")
    at = np.flatnonzero(single & log.usable("taken") & (cells.number("grafted") > 0))
    seen = pd.Series(~np.isnan(taken[at]) | ~np.isnan(missing[at]))
    any_seen = seen.groupby([keys.tray[at], keys.count[at]]).transform("any").to_numpy()
    any_taken = (
        pd.Series(~np.isnan(taken[at])).groupby([keys.tray[at], keys.count[at]]).transform("any")
    ).to_numpy()
    blank = np.isnan(taken[at])
    rows = at[blank & any_taken & np.isnan(missing[at])]
    log.add("graft_not_counted", rows, "taken")
    lost = at[blank & any_seen & any_taken]
    if len(lost):
        missing = missing.copy()
        missing[lost] = 1.0
        cells.values["missing"] = missing
        taken = taken.copy()
        taken[lost] = 0.0
        cells.values["taken"] = taken


def lines_and_counts(
    cells: Cells,
    keys: TrayKeys,
    pattern: Codes,
    kept: NDArray[np.intp],
    columns: list[str],
) -> tuple[pd.DataFrame, pd.DataFrame]:
    """One row per tray line, and one row per line and count that was made.

    ``lines`` is indexed by line number in the order of the file. ``counts`` has
    line, order, count, count_date, grafted, taken, understock_dead, missing.
    """
    line_of = np.asarray(pd.factorize(pattern[kept])[0], dtype=np.intp)
    first = kept[np.unique(line_of, return_index=True)[1]]
    text = ["season", "trial", "tray", *columns]
    lines = pd.DataFrame(
        {
            name: pd.Series(cells.values[name][first], dtype=cells.values[name].dtype)
            for name in dict.fromkeys(text)
            if name in cells.values
        }
    )
    per_count = pd.DataFrame(
        {
            "line": line_of,
            "order": keys.count[kept],
            "count_date": cells.text("count_date")[kept],
            **{
                name: cells.number(name)[kept]
                for name in ("grafted", "taken", "understock_dead", "missing", *_OUTCOMES)
            },
            **{name: cells.text(name)[kept] for name in _OUTCOME_DATES},
        }
    )
    grouped = per_count.groupby(["line", "order"], sort=True)
    numbers = grouped[["grafted", "taken", "understock_dead", "missing", *_OUTCOMES]].sum(
        min_count=1
    )
    dates = grouped[["count_date", *_OUTCOME_DATES]].last()
    table = numbers.join(dates).reset_index()
    by_line = table.groupby("line")
    lines["grafted"] = by_line["grafted"].first().to_numpy()
    for name in (*_OUTCOMES, *_OUTCOME_DATES):
        if name in cells.values:
            lines[name] = by_line[name].last().to_numpy()
    later = table[table["alive_later"].notna()].copy()
    later["order"] = COUNT_ORDER.index("later")
    later["taken"] = later["alive_later"]
    later["count_date"] = later["later_count_date"]
    later[["understock_dead", "missing"]] = np.nan
    parts = [part for part in (table[table["taken"].notna()], later) if len(part)]
    counts = pd.concat(parts, ignore_index=True) if parts else table.iloc[:0]
    counts = counts.drop_duplicates(["line", "order"]).sort_values(
        ["line", "order"], ignore_index=True
    )
    counts["count"] = [COUNT_ORDER[i] for i in counts["order"]]
    wanted = ["line", "count", "count_date", "grafted", "taken", "understock_dead", "missing"]
    return lines, counts[wanted]


def chosen_count(counts: pd.DataFrame, wanted: str | None) -> str:
    """The count that is compared: the one asked for, else settled, else the latest of all."""
    have = [name for name in COUNT_ORDER if (counts["count"] == name).any()]
    if wanted is not None:
        for name, others in COUNT_NAMES.items():
            if wanted.strip().lower().replace("_", " ") in (name, *others) and (
                name in have or not have
            ):
                return name
        raise UnknownLevelError(
            where="count",
            what=f'"{wanted}"',
            rule="The count must be one that was made: " + (", ".join(have) or "none so far") + ".",
            next_step="Name one of these, or leave the count out.",
        )
    if not have or "settled" in have:
        return "settled"
    lines = counts["line"].nunique()
    made = {name: int((counts["count"] == name).sum()) for name in have}
    everywhere = [name for name in have if made[name] == lines]
    if everywhere:
        return everywhere[-1]
    most = max(made.values())
    return next(name for name in reversed(have) if made[name] == most)


def at_count(lines: pd.DataFrame, counts: pd.DataFrame, count: str) -> pd.DataFrame:
    """The lines with the numbers of one count; a line without it is not counted yet."""
    here = counts[counts["count"] == count].set_index("line")
    out = lines.copy()
    joined: dict[str, Any] = {
        name: here[name].reindex(range(len(lines))).to_numpy()
        for name in ("taken", "understock_dead", "missing")
    }
    made = here["grafted"].reindex(range(len(lines))).to_numpy(dtype=float)
    out["grafted"] = np.where(np.isnan(made), out["grafted"].to_numpy(dtype=float), made)
    for name in ("taken", "understock_dead", "missing"):
        out[name] = joined[name].astype(float)
    out["count"] = count
    # As it is, not as plain objects: where no date is recorded its type would be lost.
    out["count_date"] = here["count_date"].reindex(range(len(lines))).array
    out["counted"] = ~np.isnan(joined["taken"].astype(float))
    return out
