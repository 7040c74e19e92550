"""What does a set of records hold once it has been read and checked?"""

from __future__ import annotations

from dataclasses import dataclass

import pandas as pd

from takestats.records.contract import check_contract
from takestats.records.lines import at_count, chosen_count
from takestats.records.settings import TrialSettings


@dataclass(frozen=True, eq=False, kw_only=True)
class Records:
    """Grafting records, read, checked and counted.

    Parameters
    ----------
    table : pandas.DataFrame
        The rows as read and converted: one per source row, with ``file``,
        ``sheet`` and ``row``. Of a large file of single grafts (1 MB of text, or
        50,000 rows of parquet) one per line of a tray, at its first row, with the
        sums of its grafts; ``notes`` say so.
    counts : pandas.DataFrame
        One row per tray line and count: season, trial, tray, line, count,
        count_date, grafted, taken, understock_dead, missing.
    trays : pandas.DataFrame
        One row per tray line at the chosen count. Text columns are text with
        blanks missing; numbers are floats with blanks NaN (not recorded); dates
        are ISO text, ``2026-02-03`` or, to the month, ``2026-02``.
    problems : pandas.DataFrame
        kind, file, sheet, row, column, value, rule, next_step.
    set_aside : pandas.DataFrame
        Rows that were set aside, as typed, with the reason.
    changes : pandas.DataFrame
        file, sheet, row, column, typed, became, why.
    notes : tuple of str
        What else a reader must know.
    trial : TrialSettings
    sources : tuple of (str, str)
        File name and SHA-256 of each file.
    count : str
        The count that ``trays`` holds.
    no_trays : bool
        Trays were not recorded; every row is its own line.
    layout : str
        "matches" or "differs" where the settings name a bench layout; else blank.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> frame = pd.DataFrame({"tray": ["A", "B"], "grafted": [20, 20], "taken": [18, 15]})
    >>> records = ts.records_from_frame(frame)
    >>> len(records.trays), len(records.problems)
    (2, 0)
    """

    table: pd.DataFrame
    counts: pd.DataFrame
    trays: pd.DataFrame
    problems: pd.DataFrame
    set_aside: pd.DataFrame
    changes: pd.DataFrame
    notes: tuple[str, ...]
    trial: TrialSettings
    sources: tuple[tuple[str, str], ...]
    count: str
    no_trays: bool
    layout: str = ""

    def choose_count(self, count: str | None) -> pd.DataFrame:
        """The tray lines at another count.

        Parameters
        ----------
        count : str or None
            "callus check", "first", "settled", "later", "season end", "next
            spring"; None for the default.

        Returns
        -------
        pandas.DataFrame
            As ``trays``; a line without that count has ``counted`` False.

        Raises
        ------
        UnknownLevelError
            When no tray has that count.
        """
        name = self.count if count is None else chosen_count(self.counts, count)
        if name == self.count:
            return self.trays.copy()
        first = self.trays.reset_index(drop=True)
        numbered = self.counts.assign(line=self.counts["line"].to_numpy())
        order = first["line"].to_numpy()
        lines = first.copy()
        lines.index = pd.RangeIndex(len(lines))
        place = {int(line): i for i, line in enumerate(order)}
        numbered["line"] = [place[int(line)] for line in numbered["line"]]
        return check_contract(at_count(lines, numbered, name))

    @property
    def invented(self) -> bool:
        """Whether the records are made up."""
        return self.trial.invented

    @property
    def banner(self) -> str:
        """The line that must stand first wherever these records are shown."""
        return self.trial.banner

    def in_words(self) -> str:
        """How much was read, in a sentence or two."""
        trays = int(self.trays["tray_id"].nunique())
        waiting = int((~self.trays["counted"]).sum())
        unit = "lines" if self.no_trays else "trays"
        text = f"{trays} {unit} read; the {self.count} count is used."
        if waiting:
            text += f" {waiting} are not counted yet."
        return text

    def __str__(self) -> str:
        return self.in_words()

    def __repr__(self) -> str:
        return f"<Records: {self.in_words()}>"
