"""What is a record workbook made of, before it is written?"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from openpyxl.utils import get_column_letter

from takestats.records.workbook_layout import RECORDS_SHEET, TRIAL_SHEET, WorkbookLayout

LINES_READY = 200
"""Lines that are ruled and printed; the rules of the cells reach further."""

LINES_CHECKED = 5000
"""Lines in which cells are checked while somebody types."""


@dataclass(frozen=True, kw_only=True)
class RecordBook:
    """Everything that a record workbook is made of.

    Parameters
    ----------
    file : str
        The name it is saved under; the how-to sheet names it.
    layout : WorkbookLayout
        The columns of the record sheet.
    settings : tuple of (str, str)
        The trial sheet: key and value, as in a settings file.
    words : mapping of str to tuple of str
        For a column, the nursery's own words; they stand first in its list.
    tray_size : int, optional
        Cells in a tray, where all trays are alike.
    rows : tuple of mapping
        Cells that are filled in already, by column name; one mapping per row.
    locked : tuple of str
        Columns that cannot be typed over, for rows given to trays by lot.
    banner : str
        The INVENTED DATA or citation line; blank for a nursery's own records.
    how_to : tuple of str
        The lines of the how-to sheet, where they are other than the usual ones.
    halves_by : str
        The column that tells two rows of one tray apart; blank where a tray has one row.
    """

    file: str
    layout: WorkbookLayout
    settings: tuple[tuple[str, str], ...]
    words: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    tray_size: int | None = None
    rows: tuple[Mapping[str, object], ...] = ()
    locked: tuple[str, ...] = ()
    banner: str = ""
    how_to: tuple[str, ...] = ()
    halves_by: str = ""

    @property
    def first_row(self) -> int:
        """The row of the first line, below the headings and the banner."""
        return 3 if self.banner else 2

    @property
    def last_row(self) -> int:
        """The last row that can hold a line: that of the last tray laid out, where there are."""
        if self.rows:
            return self.first_row + len(self.rows) - 1
        return self.first_row + LINES_CHECKED - 1

    @property
    def lines_ready(self) -> int:
        """Lines that are ruled and printed: those filled in, or enough for a season."""
        return len(self.rows) or LINES_READY

    def cells_of(self, name: str, sheet: str = RECORDS_SHEET) -> str:
        """The cells of a column of the record sheet, as a formula of another sheet names them."""
        return cells_of(sheet, self.layout.columns, name, self.first_row, self.last_row)

    def setting(self, key: str) -> str:
        """A setting of the trial sheet; blank where it has none."""
        return dict(self.settings).get(key, "")

    def setting_cell(self, key: str) -> str:
        """The cell of a setting on the trial sheet; blank where it has no row."""
        keys = [name for name, _ in self.settings]
        return f"{TRIAL_SHEET}!$B${keys.index(key) + 2}" if key in keys else ""


def cells_of(sheet: str, columns: tuple[str, ...], name: str, first: int, last: int) -> str:
    """Cells of a column of a sheet, for a formula.

    Examples
    --------
    >>> cells_of("later count", ("tray", "taken"), "taken", 2, 9)
    "'later count'!$B$2:$B$9"
    """
    letter = get_column_letter(columns.index(name) + 1)
    named = f"'{sheet}'" if " " in sheet else sheet
    return f"{named}!${letter}${first}:${letter}${last}"
