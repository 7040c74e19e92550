"""Which trays, and which counts of them, does a model see?

From the records' trays to the lines of a fit: one line for each tray and
pattern of the used columns. Whatever is left out is counted and said.
"""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
import pandas as pd
from numpy.typing import NDArray
from pandas import DataFrame, Series

from takestats.errors import CountsError, DesignError, UnknownColumnError, UnknownLevelError
from takestats.wording.models import left_out_note, seasons_note
from takestats.wording.numbers import listing

if TYPE_CHECKING:
    from takestats.records.result import Records

OutOf = Literal["made", "live_understock"]
COUNTS = ("grafted", "missing", "understock_dead", "taken")
#: Counts and names of lines: no factor, curve or grouping.
NOT_FACTORS = {*COUNTS, "tray_id", "tray", "line", "counted"}
_SHOWN_LEVELS = 12


@dataclass(frozen=True, eq=False, kw_only=True)
class Lines:
    """The lines of a fit.

    Parameters
    ----------
    table : DataFrame
        The used columns as text, tray_id, season, taken, tried (what take is a
        share of), grafted, missing, understock_dead, count_date, weight.
    left_out : DataFrame
        column, level, lines, reason.
    notes : tuple of str
    season : str or None
    seasons : tuple of str
        Seasons that were used.
    tray : ndarray of int
        The number of each line's tray, in the order they appear.
    """

    table: DataFrame
    left_out: DataFrame
    notes: tuple[str, ...]
    season: str | None
    seasons: tuple[str, ...]
    tray: NDArray[np.int64]

    @property
    def trays(self) -> int:
        """How many trays."""
        return int(self.tray.max()) + 1

    def trays_by_level(self, column: str) -> dict[str, int]:
        """How many trays have each level of a factor, in the order of the levels."""
        codes, levels = pd.factorize(self.table[column])
        if self.trays < len(codes):
            codes = np.unique(self.tray * len(levels) + codes) % len(levels)
        times = np.bincount(codes, minlength=len(levels)).tolist()
        return dict(zip((str(level) for level in levels), times, strict=True))


def nearest(word: str, known: list[str]) -> str:
    """Name the nearest known word in a next step, or list the known ones."""
    close = difflib.get_close_matches(str(word), known, n=1, cutoff=0.6)
    shown = known[:_SHOWN_LEVELS]
    more = "" if len(known) <= _SHOWN_LEVELS else ", ..."
    listed = f"known: {', '.join(shown)}{more}" if known else "there is none"
    return f"did you mean {close[0]!r}? ({listed})" if close else listed


def check_columns(names: list[str], trays: DataFrame, where: str) -> None:
    """Refuse columns the records do not have.

    Raises
    ------
    UnknownColumnError
        With the nearest spelling.
    """

    def usable() -> list[str]:
        return [str(c) for c in trays.columns if c not in NOT_FACTORS and trays[c].notna().any()]

    for name in names:
        if not isinstance(name, str) or name not in trays.columns or name in NOT_FACTORS:
            raise UnknownColumnError(
                where=where,
                what=f"{name!r}",
                rule="a factor, curve or grouping is a column of the records",
                next_step=nearest(str(name), usable()),
            )
        if trays[name].isna().all():
            raise UnknownColumnError(
                where=f"{where}, {name}",
                what="not recorded: every line is blank",
                rule="a question can be asked of a column that was filled in",
                next_step=f"fill it in, or choose another ({', '.join(usable()[:_SHOWN_LEVELS])})",
            )


def as_level(value: object) -> str | None:
    """Write a level as text; blank stays blank."""
    if value is None or value is pd.NA or (isinstance(value, float) and np.isnan(value)):
        return None
    if isinstance(value, (float, np.floating)) and float(value).is_integer():
        return str(int(value))
    if isinstance(value, pd.Timestamp):
        return value.date().isoformat()
    return None if value is pd.NaT else str(value)


def _as_levels(values: Series[Any]) -> Series[Any]:
    """Every level as text; each distinct one is written once."""
    if values.dtype == object:
        levels = np.empty(len(values), dtype=object)
        levels[:] = [as_level(value) for value in values]
    else:
        codes, distinct = pd.factorize(values)
        levels = np.array([*[as_level(value) for value in distinct], None], dtype=object)[codes]
    return Series(levels, index=values.index, dtype=object)


def _only(table: DataFrame, mask: Series[bool]) -> DataFrame:
    """The rows that are kept; the table itself where all are."""
    return table if bool(mask.all()) else table[mask]


def choose_season(
    trays: DataFrame, season: str | None, *, together: bool
) -> tuple[DataFrame, str | None, list[str]]:
    """Keep one season: the newest, or the one that was asked for; or all ``together``.

    Raises
    ------
    UnknownLevelError
        For a season without trays.
    """
    known = sorted(str(s) for s in trays["season"].dropna().unique())
    if not known:
        return trays, None, []
    if together:
        return trays, known[0] if len(known) == 1 else None, []
    if season in (None, "auto", "newest"):
        chosen = known[-1]
    elif str(season) in known:
        chosen = str(season)
    else:
        raise UnknownLevelError(
            where="season",
            what=f"{season!r}",
            rule="a season of the records",
            next_step=nearest(str(season), known),
        )
    notes = [seasons_note(chosen, [s for s in known if s != chosen])] if len(known) > 1 else []
    return _only(trays, trays["season"].astype(str) == chosen), chosen, notes


def _tried(trays: DataFrame, out_of: str) -> Series[float]:
    tried = trays["grafted"].astype(float) - trays["missing"].astype(float).fillna(0.0)
    if out_of == "live_understock":
        if trays["understock_dead"].isna().all():
            raise DesignError(
                where="out_of",
                what="understock deaths are not recorded",
                rule="take of live understock needs the count of dead understock",
                next_step='use out_of="made", or record understock_dead',
            )
        tried = tried - trays["understock_dead"].astype(float).fillna(0.0)
    return tried


def _numbers(values: Series[Any], column: str) -> Series[float]:
    """A column as numbers, for a curve.

    Raises
    ------
    DesignError
        When it holds anything else.
    """
    numbers = pd.to_numeric(values, errors="coerce").astype(float)
    bad = numbers.isna() & values.notna()
    if bad.any():
        dates = column.endswith("_date")
        raise DesignError(
            where=f"curves, {column}",
            what=f"{values[bad].iloc[0]!r} is no number",
            rule="a curve runs along a number",
            next_step="use day_of_season or days_to_bud_break for dates"
            if dates
            else "name the column as a factor",
        )
    return numbers


def make_lines(
    records: Records,
    columns: list[str],
    *,
    season: str | None,
    count: str | None,
    out_of: str,
    curves: Sequence[str] = (),
) -> Lines:
    """Take the lines of a fit from the records.

    Parameters
    ----------
    records : Records
    columns : list of str
        The used factors. With ``season`` among them all seasons are used.
    season, count, out_of : str
        As for :func:`takestats.fit_take`.
    curves : sequence of str
        Used columns that stay numbers.

    Raises
    ------
    CountsError
        For an unknown ``out_of``.
    DesignError
        No line can be used.
    UnknownColumnError, UnknownLevelError
    """
    if out_of not in ("made", "live_understock"):
        raise CountsError(
            where="out_of",
            what=f"{out_of!r}",
            rule="made or live_understock",
            next_step="choose one of these",
        )
    trays = records.trays if count is None else records.choose_count(count)
    check_columns([*columns, *curves], trays, "factors and curves")
    notes: list[str] = []
    reasons: list[dict[str, object]] = []

    def leave(mask: Series[bool], column: str, level: str, reason: str) -> None:
        number = int(mask.sum())
        if number:
            reasons.append({"column": column, "level": level, "lines": number, "reason": reason})

    uncounted = ~trays["counted"].astype(bool)
    leave(uncounted, "taken", "", "not counted yet")
    trays = _only(trays, ~uncounted)
    made_by = trays["made_by"].fillna("graft")
    if made_by.nunique() > 1:
        leave(
            made_by != "graft", "made_by", "cutting", "cuttings are never in one model with grafts"
        )
        trays = trays[made_by == "graft"]
    trays, chosen, said = choose_season(trays, season, together="season" in columns)
    notes += said
    tried = _tried(trays, out_of)
    empty = tried <= 0
    leave(empty, "grafted", "0", "no graft left to count")
    over = trays["taken"].astype(float) > tried
    leave(over & ~empty, "taken", "", "more taken than the grafts it is a share of")
    table = _only(trays.assign(tried=tried), ~(empty | over))
    for column in curves:
        table[column] = _numbers(table[column], column)
        blank = table[column].isna()
        leave(blank, column, "", "blank")
        table = _only(table, ~blank)
    for column in columns:
        table[column] = _as_levels(table[column])
        blank = table[column].isna()
        leave(blank, column, "", "blank")
        table = _only(table, ~blank)
    left = DataFrame(reasons, columns=["column", "level", "lines", "reason"])
    if table.empty:
        raise DesignError(
            where="records",
            what="no line can be used"
            + (f" ({listing([str(r['reason']) for r in reasons])})" if reasons else ""),
            rule="at least one counted tray with every used column filled in",
            next_step="count the trays, or ask about fewer columns",
        )
    note = left_out_note(left.to_dict("records"), len(table))
    if note:
        notes.append(note)
    seasons = tuple(sorted(str(s) for s in table["season"].dropna().unique()))
    table, tray = _one_line_a_tray(table.reset_index(drop=True), [*columns, *curves])
    return Lines(
        table=table,
        left_out=left,
        notes=tuple(notes),
        season=chosen,
        seasons=seasons,
        tray=tray,
    )


def _one_line_a_tray(table: DataFrame, columns: list[str]) -> tuple[DataFrame, NDArray[np.int64]]:
    """Sum rows of one tray with one pattern; keep the first of every other column."""
    keys = ["tray_id", *columns]
    tray = np.asarray(pd.factorize(table["tray_id"])[0], dtype=np.int64)
    if tray[-1] + 1 == len(tray) or not table.duplicated(keys).any():
        return table.assign(weight=1.0), tray
    sums = dict.fromkeys(("taken", "tried", "grafted"), "sum")
    groups = table.groupby(keys, sort=False, dropna=False)
    summed = groups.first()
    for name, how in sums.items():
        summed[name] = groups[name].agg(how)
    for name in ("missing", "understock_dead"):
        summed[name] = groups[name].sum(min_count=1)
    summed = summed.reset_index().assign(weight=1.0)
    return summed, np.asarray(pd.factorize(summed["tray_id"])[0], dtype=np.int64)
