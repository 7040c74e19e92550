"""Inside which levels of another column can the asked levels be compared?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from pandas import Series

from takestats.errors import DesignError
from takestats.models.lines import as_level
from takestats.wording.held import empty_cells_line, left_strata_line
from takestats.wording.numbers import column_words, listing

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.records.result import Records


@dataclass(frozen=True, kw_only=True)
class Strata:
    """Levels of a factor, and the strata in which all of them have counted trays.

    Parameters
    ----------
    by, within : str
    levels : tuple of str
        Compared levels of ``by``.
    kept : tuple of str
        Levels of ``within`` that have trays of all of them.
    said : tuple of str
        Sentences that name the cells without trays.
    nested : str
        A sentence on columns that stand wholly inside the strata; blank for none.
    """

    by: str
    within: str
    levels: tuple[str, ...]
    kept: tuple[str, ...]
    said: tuple[str, ...]
    nested: str = ""

    def inside(self, records: Records) -> Records:
        """The records without the trays that stand outside; blank cells stay, to be counted."""
        if not self.said:
            return records
        trays = records.trays
        keep = _among(trays[self.by], self.levels) & _among(trays[self.within], self.kept)
        return replace(records, trays=trays[keep])


def find_strata(
    counted: DataFrame, by: str, within: str, compared: Sequence[str] | None = None
) -> Strata:
    """Find the strata that hold every compared level.

    Parameters
    ----------
    counted : pandas.DataFrame
        Counted trays.
    by, within : str
        Columns.
    compared : sequence of str, optional
        Levels of ``by``; all of them when left out. When no two strata hold them all, the
        two levels that share most strata.

    Raises
    ------
    DesignError
        When no stratum holds two levels.
    """
    frame = counted[[by, within]].map(as_level).dropna().drop_duplicates()
    cells = set(zip(frame[by], frame[within], strict=True))
    strata = list(dict.fromkeys(frame[within]))
    levels = list(compared) if compared is not None else list(dict.fromkeys(frame[by]))
    empty = [(a, b) for b in strata for a in levels if (a, b) not in cells]
    if not empty:
        return Strata(by=by, within=within, levels=tuple(levels), kept=tuple(strata), said=())
    kept = _shared(cells, levels, strata)
    if len(kept) < 2 and len(levels) > 2:
        pairs = [list(two) for two in combinations(levels, 2)]
        levels = max(pairs, key=lambda two: len(_shared(cells, two, strata)))
        kept = _shared(cells, levels, strata)
    if not kept:
        raise DesignError(
            where=f"{column_words(by)} within {column_words(within)}",
            what=f"no {column_words(within)} has counted trays of two of {listing(levels)}",
            rule="a difference is held against others where both levels have trays",
            next_step="compare over all, or set out trays of both in one of them",
        )
    said = (empty_cells_line(empty, by, within), left_strata_line(levels, kept))
    return Strata(
        by=by,
        within=within,
        levels=tuple(levels),
        kept=tuple(kept),
        said=tuple(line for line in said if line),
    )


def nested_in(counted: DataFrame, columns: Sequence[str], within: str) -> list[str]:
    """Columns of which every level stands in one level of ``within``, and more than those."""
    found = []
    for column in columns:
        if column not in counted.columns:
            continue
        pairs = counted[[column, within]].map(as_level).dropna().drop_duplicates()
        levels = pairs[column].nunique()
        if len(pairs) == levels > pairs[within].nunique() > 1:
            found.append(column)
    return found


def _shared(cells: set[tuple[str, str]], levels: Sequence[str], strata: Sequence[str]) -> list[str]:
    return [b for b in strata if all((a, b) in cells for a in levels)]


def _among(column: Series[str], levels: Sequence[str]) -> Series[bool]:
    return column.map(as_level).isin(levels) | column.isna()
