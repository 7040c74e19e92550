"""What takestats says when it cannot go on: where, what, rule, next step.

Every error of this package is a :class:`TakeError`. Its four parts are kept
apart so that a page, a table and a terminal can each set them in their own way.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame


class TakeError(Exception):
    """Something that stops the work, told in four parts.

    Parameters
    ----------
    where : str
        The file, sheet, row, column or argument.
    what : str
        What was found there.
    rule : str
        The rule it breaks.
    next_step : str
        What to do now.

    Examples
    --------
    >>> import takestats as ts
    >>> try:
    ...     ts.take_interval(31, 30)
    ... except ts.TakeError as error:
    ...     print(error.rule)
    at least one graft was made, and no more took than were made
    """

    def __init__(self, *, where: str, what: str, rule: str, next_step: str) -> None:
        self.where = where
        self.what = what
        self.rule = rule
        self.next_step = next_step
        super().__init__(self.told())

    def __reduce__(self) -> tuple[object, ...]:
        """Let an error pass from one process to another with all that it holds."""
        return _restored, (type(self), dict(self.__dict__))

    def told(self) -> str:
        """Tell the four parts, a line each."""
        return f"{self.where}: {self.what}\n  Rule: {self.rule}\n  Next: {self.next_step}"


def _restored(kind: type[TakeError], held: dict[str, object]) -> TakeError:
    error = kind.__new__(kind)
    error.__dict__.update(held)
    error.args = (error.told(),)
    return error


class CountsError(TakeError):
    """Counts, levels or other numbers that cannot be used."""


class SettingsError(TakeError):
    """A setting of the trial that is unknown or cannot be used."""


class FileError(TakeError):
    """A file that is missing, empty, not a table, or cannot be written."""


class RecordsError(TakeError):
    """Records with faults; ``problems`` lists every one of them.

    Parameters
    ----------
    problems : pandas.DataFrame
        One row per fault: file, sheet, row, column, value, rule, next_step, kind.
    """

    def __init__(
        self, *, where: str, what: str, rule: str, next_step: str, problems: DataFrame
    ) -> None:
        self.problems = problems
        super().__init__(where=where, what=what, rule=rule, next_step=next_step)


class UnknownColumnError(TakeError):
    """A column that the records do not have."""


class UnknownLevelError(TakeError):
    """A level that the column does not have."""


class DesignError(TakeError):
    """Records whose layout cannot answer the question that was asked."""
