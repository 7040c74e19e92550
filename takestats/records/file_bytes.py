"""What stands in a file at one moment, byte for byte?"""

from __future__ import annotations

import os
from pathlib import Path

from takestats.errors import FileError
from takestats.records.limits import refuse_large_file


def bytes_of(path: Path, label: str) -> bytes:
    """All that stands in the file, as it stood at one moment.

    Raises
    ------
    FileError
        When it cannot be opened, is too large, or was changed while it was read.
    """
    try:
        with path.open("rb") as file:
            before = os.fstat(file.fileno())
            refuse_large_file(before.st_size, label)
            data = file.read()
            after = os.fstat(file.fileno())
    except (OSError, ValueError) as fault:
        raise cannot_open(label, fault) from fault
    same = (before.st_size, before.st_mtime_ns) == (after.st_size, after.st_mtime_ns)
    if not same or len(data) != after.st_size:
        raise FileError(
            where=label,
            what="the file was changed while it was read",
            rule="A file is read as it stood at one moment.",
            next_step="Wait until it is saved, then run the command again.",
        )
    return data


def cannot_open(label: str, fault: OSError | ValueError) -> FileError:
    """The refusal of a file that the system does not open."""
    why = fault.strerror if isinstance(fault, OSError) else str(fault)
    return FileError(
        where=label,
        what=f"the file cannot be opened ({why})",
        rule="The file must be open to reading.",
        next_step="Close it in other programs and check who may read it.",
    )
