"""What does every answer of takestats carry?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame


@dataclass(frozen=True, eq=False, kw_only=True)
class TableResult:
    """A frozen table that speaks.

    Parameters
    ----------
    _table : pandas.DataFrame
        Floats at full precision, snake_case columns, units in the names.
    notes : tuple of str
        What was averaged over, scale, level, method, out of what, count date,
        trays and grafts behind it, what was set aside.
    sentences : tuple of str
        The result read aloud.
    """

    _table: DataFrame
    notes: tuple[str, ...]
    sentences: tuple[str, ...]

    @property
    def table(self) -> DataFrame:
        """A copy of the table: changing it changes nothing here."""
        return self._table.copy()

    def in_words(self) -> str:
        """The result in plain sentences."""
        return " ".join(self.sentences)

    def __str__(self) -> str:
        return self.in_words()

    def _repr_markdown_(self) -> str:
        lines = [self.in_words(), ""]
        lines.extend(f"- {note}" for note in self.notes)
        return "\n".join(lines)
