"""What is typed next? The command with the same files and settings."""

from __future__ import annotations

import shlex
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame

# What a grower asks about first; the first of them that differs is offered.
_ASKED_FIRST = ("method", "scion_wood", "caliper_class", "union_height_mm", "combination")


def command_line(
    command: str,
    files: Sequence[str],
    trial: Path | None,
    *,
    set_aside: bool,
    by: str | None = None,
) -> str:
    """Write a command as it is typed, files and settings as they were given.

    Examples
    --------
    >>> command_line("check", ["week 1.csv"], None, set_aside=False)
    "`takestats check 'week 1.csv'`"
    """
    words = ["takestats", command, *files]
    if by is not None:
        words += ["--by", by]
    if trial is not None:
        words += ["--trial", str(trial)]
    if set_aside:
        words.append("--set-aside")
    return f"`{shlex.join(words)}`"


def first_question(trays: DataFrame, asked: Sequence[str] = ()) -> str | None:
    """Name the first column in which counted trays differ; None when there is none.

    Parameters
    ----------
    trays : pandas.DataFrame
        One row per tray line, with ``counted``.
    asked : sequence of str
        Columns that the settings compare; they come before the usual ones.

    Returns
    -------
    str or None
    """
    counted = trays[trays["counted"].astype(bool)]
    for column in (*asked, *_ASKED_FIRST):
        if column in counted and counted[column].nunique() > 1:
            return column
    return None
