"""Write the messy files of the corpus again.

Run from the top of the repository: ``python -m tests.records.corpus.make_corpus``.
The files marked "office" need LibreOffice (``soffice``): a sheet of text is opened
with "detect special numbers" on, as when it is pasted, and a workbook is opened and
saved; both are saved as .xlsx. The files are committed, so the tests need none of
this. A workbook carries the time it was made, so its bytes differ from run to run;
what stands in its cells does not.
"""

from __future__ import annotations

import csv
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import openpyxl

from tests.records.corpus.cases import CASES, Case, Rows

HERE = Path(__file__).parent
AS_PASTED = "CSV:44,34,76,1,,1033,false,true"
"""Comma, double quotes, UTF-8, from row 1, US English, detect special numbers."""


def write(case: Case, folder: Path) -> Path:
    """Write one file and say where."""
    path = folder / case.name
    if case.made_with == "text":
        path.write_bytes(case.text.encode(case.encoding))
    elif case.made_with == "openpyxl":
        _workbook(case.sheets, path, merged=case.name.startswith("58"))
    else:
        _through_office(case, path)
    return path


def _workbook(sheets: dict[str, Rows], path: Path, *, merged: bool = False) -> None:
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, rows in sheets.items():
        sheet = book.create_sheet(name)
        for i, row in enumerate(rows, start=1):
            for j, cell in enumerate(row, start=1):
                value, shown = cell if isinstance(cell, tuple) else (cell, None)
                place = sheet.cell(row=i, column=j, value=value)
                if shown:
                    place.number_format = shown
        if merged:
            sheet.merge_cells("G1:H1")
    book.save(path)


def _through_office(case: Case, path: Path) -> None:
    office = shutil.which("soffice")
    if office is None:
        sys.exit(f"{case.name} needs LibreOffice (soffice).")
    with tempfile.TemporaryDirectory() as made:
        source = Path(made) / "in" / f"{path.stem}.xlsx"
        source.parent.mkdir()
        command = [office, f"-env:UserInstallation=file://{made}/profile", "--headless"]
        if case.made_with == "office text":
            source = source.with_suffix(".csv")
            (rows,) = case.sheets.values()
            with source.open("w", newline="", encoding="utf-8") as file:
                csv.writer(file).writerows(rows)
            command.append(f"--infilter={AS_PASTED}")
        else:
            _workbook(case.sheets, source)
        command += ["--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", made, str(source)]
        subprocess.run(command, check=True, capture_output=True, timeout=300)
        shutil.move(Path(made) / path.name, path)


def main() -> None:
    """Write every file beside this one."""
    wanted = sys.argv[1:]
    for case in CASES:
        if not wanted or case.name in wanted:
            write(case, HERE)


if __name__ == "__main__":
    main()
