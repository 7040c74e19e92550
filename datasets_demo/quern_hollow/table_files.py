"""How are the invented tables written, marked as invented on their first line?"""

from __future__ import annotations

import csv
import io
import os
from pathlib import Path


def csv_text(header: list[str], rows: list[list[object]], *, mark: str) -> str:
    """Write a table as text, under the line that says it is invented."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([mark])
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()


def write_files(folder: Path, files: dict[str, str]) -> None:
    """Write each file whole or not at all."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        part = folder / f"{name}.part"
        part.write_bytes(text.encode("utf-8"))
        os.replace(part, folder / name)
