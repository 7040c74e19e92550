"""What must be said about the records beside their tables?"""

from __future__ import annotations

import pandas as pd

from takestats.errors import RecordsError
from takestats.records.headers import header_key
from takestats.records.settings import TrialSettings
from takestats.records.sheets import TypedTable
from takestats.wording.first_faults import first_faults

_SHOWN = 5


def refused(
    problems: pd.DataFrame, origin: pd.DataFrame, *, none_left: bool = False
) -> RecordsError:
    """The error that stops the reading, with the first faults in its text."""
    errors = problems[problems["kind"] == "error"]
    lines = [
        f"{row['file']}{_sheet(row['sheet'])}, row {row['row']}, {row['column']}: "
        f'"{row["value"]}". {row["rule"]}'
        for row in errors.head(_SHOWN).to_dict("records")
    ]
    files = ", ".join(dict.fromkeys(origin["file"]))
    times = "1 fault" if len(errors) == 1 else f"{len(errors)} faults"
    ending = ", and no row can be used" if none_left else ""
    next_step = "Correct the cells listed in problems, or set the faulty rows aside by choice."
    if len(errors) == 1:
        next_step = str(errors["next_step"].iloc[0])
    told = first_faults(lines, len(errors) - len(lines))
    return RecordsError(
        where=files,
        what=f"{times} in the records{ending}:\n  {told}",
        rule="A row with a fault cannot be used, and is not silently dropped.",
        next_step=next_step,
        problems=problems,
    )


def _sheet(name: str) -> str:
    return f", sheet {name}" if name else ""


def notes_on(
    typed: TypedTable,
    trays: pd.DataFrame,
    aside: pd.DataFrame,
    settings: TrialSettings,
    count: str,
) -> list[str]:
    """What was read as what, left out, and not recorded."""
    notes: list[str] = []
    renamed = [
        f'"{header}" as {name}'
        for name, headers in typed.headers.items()
        for header in headers
        if name not in typed.unknown
        and header_key(header) not in (header_key(name), header_key(name.removesuffix("_mm")))
    ]
    if renamed:
        notes.append(f"Headers read as columns: {', '.join(renamed)}.")
    if typed.unknown:
        kept = ", ".join(f'"{name}"' for name in typed.unknown)
        notes.append(f"Columns that are not known were kept as text: {kept}.")
    if settings.records.get("trays") == "none":
        notes.append(
            "Trays were not recorded: grafts are counted as if independent; the limits are too "
            "narrow if they are not."
        )
    if len(aside):
        rows = "1 row was" if len(aside) == 1 else f"{len(aside)} rows were"
        notes.append(f"{rows} set aside because of faults: {_places(aside)}.")
    waiting = trays.loc[~trays["counted"], "tray_id"]
    if len(waiting):
        some = ", ".join(waiting.head(10)) + (" and others" if len(waiting) > 10 else "")
        notes.append(
            f"{len(waiting)} not counted yet at the {count} count; out of every take: {some}."
        )
    if count != "settled":
        notes.append(f"There is no settled count; the {count} count is used.")
    return notes


def told_of_moving(columns: list[str]) -> list[str]:
    """What is said of columns that change from count to count."""
    return [
        f'The column "{name}" differs from count to count of one tray, so it says nothing of '
        "what was done to the tray; it is kept with the rows and cannot be compared."
        for name in columns
    ]


def _places(aside: pd.DataFrame, most: int = 10) -> str:
    """The first rows that were set aside, sheet by sheet."""
    told: list[str] = []
    for (file, sheet), rows in aside.head(most).groupby(["file", "sheet"], sort=False):
        numbers = [str(row) for row in rows["row"]]
        word = "row" if len(numbers) == 1 else "rows"
        told.append(f"{file}{_sheet(str(sheet))} {word} {', '.join(numbers)}")
    return "; ".join(told) + (" and others" if len(aside) > most else "")
