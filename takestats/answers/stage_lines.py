"""Which counts of one graft's life are recorded, tray line by tray line?"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame, Series

from takestats.models.lines import as_level
from takestats.records.lines import COUNT_ORDER
from takestats.records.result import Records

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False, kw_only=True)
class StageLines:
    """Tray lines of grafts, counted at the compared count, with what was counted before and after.

    Parameters
    ----------
    table : pandas.DataFrame
        The records' columns, and: season (blank when not recorded), tried (what take is a
        share of), alive_later, later_date, first_taken, first_tried, first_date, saleable,
        saleable_date; nan or blank where not recorded.
    count : str
        The compared count.
    later : dict of str to str
        Season to the count that "alive later" is told at; seasons without one are not there.
    out_of : str
    trays_recorded : bool
    rose : int
        Lines left out of what follows the take, because more were alive or saleable later
        than had taken.
    """

    table: DataFrame
    count: str
    later: dict[str, str]
    out_of: str
    trays_recorded: bool
    rose: int

    def of_season(self, season: str) -> DataFrame:
        """The lines of one season."""
        return self.table[self.table["season"] == season]

    @property
    def seasons(self) -> list[str]:
        """Seasons with a counted line, oldest first."""
        return sorted(self.table["season"].unique())


def stage_lines(
    records: Records,
    *,
    count: str | None = None,
    out_of: str = "made",
    made_by: str = "graft",
) -> StageLines:
    """Put the counts of each tray line side by side.

    Parameters
    ----------
    records : Records
    count : str, optional
        The compared count; the records' own when not given.
    out_of : {"made", "live_understock"}
        What take is a share of.
    made_by : {"graft", "cutting"}

    Returns
    -------
    StageLines
        Lines that are counted. "Alive later" is told at the latest count, after the
        compared one, that most lines of the season have.

    Raises
    ------
    UnknownLevelError
        For a count that no tray has.
    """
    trays = records.trays if count is None else records.choose_count(count)
    kind = trays["made_by"].fillna("graft") if "made_by" in trays else Series("graft", trays.index)
    kept = trays[trays["counted"].astype(bool) & (kind == made_by)]
    compared = str(kept["count"].iloc[0]) if len(kept) else records.count
    table = kept.copy()
    table["season"] = [as_level(value) or "" for value in kept["season"]]
    live = out_of == "live_understock"
    table["tried"] = _tried(table, live=live)
    table = table[(table["tried"] > 0) & (table["taken"].astype(float) <= table["tried"])]
    at = COUNT_ORDER.index(compared)
    counts = records.counts[records.counts["line"].isin(table["line"])]
    order = counts["count"].map({name: i for i, name in enumerate(COUNT_ORDER)})
    season_of = table.set_index("line")["season"]
    after = counts[order > at]
    later = _later_counts(after["count"], after["line"].map(season_of))
    wanted = table["season"].map(later)
    table["alive_later"], table["later_date"] = np.nan, ""
    for name in sorted(set(later.values())):
        here = (wanted == name).to_numpy()
        _join(table, here, counts[counts["count"] == name], {"taken": "alive_later"}, "later_date")
    first = counts[(counts["count"] == "first") & (order < at)]
    first = first.assign(tried=_tried(first, live=live))
    names = {"taken": "first_taken", "tried": "first_tried"}
    table["first_taken"], table["first_tried"], table["first_date"] = np.nan, np.nan, ""
    _join(table, np.ones(len(table), dtype=bool), first, names, "first_date")
    if "saleable" not in table:
        table["saleable"] = np.nan
    if "saleable_date" not in table:
        table["saleable_date"] = ""
    rose = 0
    for name in ("alive_later", "saleable"):
        over = table[name].astype(float) > table["taken"].astype(float)
        rose += int(over.sum())
        table.loc[over, name] = np.nan
    return StageLines(
        table=table.reset_index(drop=True),
        count=compared,
        later=later,
        out_of=out_of,
        trays_recorded=not records.no_trays,
        rose=rose,
    )


def _tried(table: DataFrame, *, live: bool) -> Series[float]:
    tried = table["grafted"].astype(float) - table["missing"].astype(float).fillna(0.0)
    return tried - table["understock_dead"].astype(float).fillna(0.0) if live else tried


def _later_counts(counts: Series[str], seasons: Series[str]) -> dict[str, str]:
    """The count of each season that most lines have; of several the latest."""
    chosen: dict[str, str] = {}
    for season, own in counts.groupby(seasons.to_numpy()):
        number = own.value_counts()
        chosen[str(season)] = str(
            max(number.index, key=lambda c: (number[c], COUNT_ORDER.index(c)))
        )
    return chosen


def _join(
    table: DataFrame, here: NDArray[np.bool_], counts: DataFrame, names: dict[str, str], date: str
) -> None:
    """Write the numbers and the date of a count beside its lines."""
    found = counts.drop_duplicates("line").set_index("line").reindex(table["line"])
    for name, column in names.items():
        values = found[name].to_numpy(dtype=float, na_value=np.nan)
        table[column] = np.where(here, values, table[column].to_numpy(dtype=float))
    dates = found["count_date"].fillna("").to_numpy(dtype=object)
    table[date] = np.where(here, dates, table[date].to_numpy(dtype=object))


def levels_of(table: DataFrame, by: str | None) -> NDArray[np.object_]:
    """The level of each line as text, None where blank; all one level without a column."""
    if by is None:
        return np.array(["all"] * len(table), dtype=object)
    return np.array([as_level(value) for value in table[by]], dtype=object)
