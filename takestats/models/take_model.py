"""What is a fitted take model, and what does it say of itself?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats.models.belief import Belief, Pattern
from takestats.models.design import Design
from takestats.models.level_contrasts import level_contrasts
from takestats.models.line_arrays import LineArrays
from takestats.models.result import TableResult
from takestats.models.tray_draws import TrayDraws, TrayTail, tray_tail
from takestats.wording import models as words

if TYPE_CHECKING:
    from takestats.records.result import Records

_CLEARLY = 0.975
_FEW_TRAYS = 10


@dataclass(frozen=True, eq=False, kw_only=True)
class TakeModel:
    """A fitted model of take.

    Parameters
    ----------
    factors, curves : tuple of str
        The columns it was asked about.
    engine : str
    out_of : {"made", "live_understock"}
    count : str
        Which count of the trays.
    count_dates : tuple of str
        ISO dates of that count, first and last.
    design : Design
        Its columns.
    season : str or None
        The season it speaks of; None where it speaks of several.
    seasons : tuple of str
        The seasons of its lines.
    reference : mapping of str to str
        The level of each factor that others are compared against.
    notes : tuple of str
    left_out : DataFrame
        column, level, lines, reason.
    trays_recorded : bool
    seed : int
    grouping : str or None
        The layer above the trays.
    units : tuple of str
        The block, day or group of each line; empty without a layer.
    records : Records
    belief : Belief
        The engine after it has seen the trays.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> frame = pd.DataFrame({"tray": ["A", "B"], "grafted": [20, 20], "taken": [18, 15]})
    >>> model = ts.fit_take(ts.records_from_frame(frame), [])
    >>> model.trays, model.grafts, model.engine
    (2, 40.0, 'tray_model')
    """

    factors: tuple[str, ...]
    curves: tuple[str, ...]
    design: Design
    engine: str
    out_of: str
    count: str
    count_dates: tuple[str, ...]
    season: str | None
    seasons: tuple[str, ...]
    reference: Mapping[str, str]
    notes: tuple[str, ...]
    left_out: DataFrame
    trays_recorded: bool
    seed: int
    grouping: str | None = None
    units: tuple[str, ...] = ()
    records: Records
    belief: Belief
    _lines: DataFrame = field(repr=False)

    @property
    def lines(self) -> DataFrame:
        """The lines of the fit (a copy): one row per tray and pattern."""
        return self._lines.copy()

    @cached_property
    def arrays(self) -> LineArrays:
        """The lines as arrays, for the rooms above."""
        return LineArrays.of(self._lines, (*self.factors, *self.curves), self.factors)

    @property
    def trays(self) -> int:
        """How many trays are behind the fit."""
        return self.arrays.trays(slice(None))

    @property
    def grafts(self) -> float:
        """How many grafts are behind the fit."""
        return float(self.arrays.tried.sum())

    def levels(self, factor: str) -> list[str]:
        """Levels of a factor, in the order of the records."""
        return list(dict.fromkeys(str(level) for level in self.arrays.columns[factor]))

    @cached_property
    def tray_draws(self) -> tuple[dict[Pattern, int], TrayDraws | None]:
        """Place of each pattern of the fit, and draws behind them; None: no trays recorded."""
        distinct = list(dict.fromkeys(self.arrays.patterns(self.design.columns)))
        place = {pattern: i for i, pattern in enumerate(distinct)}
        return place, self.belief.tray_draws(distinct)

    @cached_property
    def tray_tails(self) -> tuple[TrayTail, ...]:
        """What was to be expected of each line's tray; empty where no trays were recorded."""
        patterns = self.arrays.patterns(self.design.columns)
        place, draws = self.tray_draws
        if draws is None:
            return ()
        places = (place[pattern] for pattern in patterns)
        counts = (self.arrays.taken.tolist(), self.arrays.tried.tolist())
        trays = list(zip(places, *counts, strict=True))
        tails = {tray: tray_tail(draws, *tray) for tray in dict.fromkeys(trays)}
        return tuple(tails[tray] for tray in trays)

    @cached_property
    def coefficients(self) -> TableResult:
        """How much does each level differ from its reference, in log odds of averaged takes?

        Returns
        -------
        TableResult
            factor, level, against, log_odds, low, high.
        """
        rows: list[dict[str, Any]] = []
        for contrast in level_contrasts(self.design):
            found = self.belief.log_odds_contrast(contrast.signs, 0.95)
            rows.append(
                {
                    "factor": contrast.factor,
                    "level": contrast.level,
                    "against": contrast.against,
                    "log_odds": found.estimate,
                    "low": found.low,
                    "high": found.high,
                }
            )
        table = DataFrame(rows, columns=["factor", "level", "against", "log_odds", "low", "high"])
        sentences = tuple(
            words.coefficient_sentence(
                row["factor"],
                row["level"],
                row["against"],
                (row["log_odds"], row["low"], row["high"]),
                joint=len(contrast.signs) > 2,
            )
            for row, contrast in zip(rows, level_contrasts(self.design), strict=True)
        )
        notes = (words.coefficient_note(self.curves), *self.notes)
        return TableResult(_table=table, notes=notes, sentences=sentences)

    @cached_property
    def tray_variation(self) -> TableResult:
        """How much do trays of one level differ beyond chance?

        Returns
        -------
        TableResult
            level (or "all"), icc, low, high, trays; no row where no trays were
            recorded.
        """
        rows: list[dict[str, Any]] = []
        groups: list[str | None] = [None]
        if self.factors:
            groups = [*self.levels(self.factors[0]), None]
        for group in groups:
            found = self.belief.spread(group, 0.95)
            if found is None:
                continue
            named = () if group is None else (group,)
            mine = self.arrays.mask(self.factors[: len(named)], named)
            rows.append(
                {
                    "level": "all" if group is None else group,
                    "icc": found.estimate,
                    "low": found.low,
                    "high": found.high,
                    "trays": self.arrays.trays(mine),
                }
            )
        table = DataFrame(rows, columns=["level", "icc", "low", "high", "trays"])
        sentences = tuple(
            words.spread_sentence(row["level"], row["low"], row["high"], row["trays"])
            for row in rows
        ) or ("The intra-tray correlation is not estimable: no trays recorded.",)
        return TableResult(
            _table=table, notes=(*self._spread_notes(rows), *self.notes), sentences=sentences
        )

    def _spread_notes(self, rows: list[dict[str, Any]]) -> tuple[str, ...]:
        notes = []
        by_level = {str(row["level"]): row for row in rows}
        levels = [level for level in by_level if level != "all"]
        for a, b in combinations(levels, 2):
            chance = self.belief.more_uneven(a, b)
            if max(chance, 1.0 - chance) >= _CLEARLY:
                more, less = (a, b) if chance > 0.5 else (b, a)
                notes.append(
                    words.uneven_note(
                        more,
                        less,
                        (float(by_level[more]["low"]), float(by_level[more]["high"])),
                        (float(by_level[less]["low"]), float(by_level[less]["high"])),
                    )
                )
        if rows and self.trays < _FEW_TRAYS:
            notes.append(words.few_trays_note(self.trays))
        return tuple(notes)
