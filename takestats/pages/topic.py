"""What is a topic: a part of the season page that can be left out without touching the rest?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.pages.parts import Section


@dataclass(frozen=True, eq=False, kw_only=True)
class Topic:
    """Sections of the season page with the tables and notes that belong to them.

    Parameters
    ----------
    sections : tuple of Section
        In order; their own ``part`` says where they stand.
    tables : tuple of (name, what, DataFrame)
        For the CSV files and the workbook, full precision.
    notes : tuple of str
        Of the results behind them.
    bench : tuple of str
        Sentences for the bench sheet; most topics have none.
    """

    sections: tuple[Section, ...]
    tables: tuple[tuple[str, str, DataFrame], ...] = ()
    notes: tuple[str, ...] = ()
    bench: tuple[str, ...] = ()
