"""What is said when a file of records has its headings and nothing below them?"""

from __future__ import annotations

from takestats.errors import FileError
from takestats.records.settings import TrialSettings


class NoRowsError(FileError):
    """Records with a header and no row below it: nothing is grafted yet.

    Parameters
    ----------
    where : str
        The file, and its sheet.
    trial : TrialSettings, optional
        The settings that were read beside it.
    """

    def __init__(self, *, where: str, trial: TrialSettings | None = None) -> None:
        self.trial = trial if trial is not None else TrialSettings()
        super().__init__(
            where=where,
            what="there is a header and no row below it",
            rule="A file of records has at least one row.",
            next_step="Check that the right file was saved.",
        )
