"""What was typed with an order: a chance, takes that are not on record, an earlier order?"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from takestats.errors import CountsError, FileError, TakeError
from takestats.wording import order_command as words

#: Arguments of the function, and the options that give them.
_OPTIONS = {"assurance": "--assurance", "takes": "--take", "earlier": "--earlier"}
RECORD = "order.json"


def share_asked(text: str) -> float:
    """Read the chance that is asked for: 90% or 0.9.

    Raises
    ------
    CountsError
    """
    from takestats.records.shares import read_share

    return read_share(text, "--assurance")


def takes_typed(texts: Sequence[str]) -> dict[str, dict[str, float]]:
    """Read takes typed as ``NAME=60%,70%,79%``: poor, usual, good.

    Examples
    --------
    >>> takes_typed(["moth on virginiana=60%,70%,0.79"])
    {'moth on virginiana': {'poor': 0.6, 'usual': 0.7, 'good': 0.79}}

    Raises
    ------
    CountsError
    """
    from takestats.records.shares import read_share

    found: dict[str, dict[str, float]] = {}
    for text in texts:
        name, sign, typed = text.rpartition("=")
        shares = [part.strip() for part in typed.split(",")]
        if not sign or not name.strip() or len(shares) != 3:
            raise CountsError(**words.take_refused(text))
        if name.strip() in found:
            raise CountsError(**words.take_twice(name.strip()))
        read = [read_share(share, f"--take {name.strip()}") for share in shares]
        found[name.strip()] = dict(zip(("poor", "usual", "good"), read, strict=True))
    return found


def earlier_order(path: Path | None) -> Mapping[str, Any] | None:
    """Read what was kept of an earlier order: its file, or the folder that holds it.

    Raises
    ------
    FileError
        When there is no such file, it is no order, or it was changed while it was read.
    """
    if path is None:
        return None
    from takestats.pages.files import finish_what_was_begun
    from takestats.records.file_bytes import bytes_of

    if path.is_dir():
        finish_what_was_begun(path)  # the order of a run that was killed while it came in
    file = path / RECORD if path.is_dir() else path
    if not file.is_file():
        raise FileError(**words.no_earlier(str(file)))
    content = bytes_of(file, str(file))
    try:
        read = json.loads(content.decode("utf-8-sig"))
    except (ValueError, RecursionError):  # no JSON, no letters, or brackets without end
        read = None
    if not isinstance(read, dict) or not str(read.get("shape", "")).startswith(words.SHAPE):
        raise FileError(**words.not_an_order(str(file)))
    return read


@contextmanager
def as_options() -> Iterator[None]:
    """Tell a refusal in the words of the command line."""
    try:
        yield
    except TakeError as error:
        told = words.typed_words(error.next_step)
        if error.where not in _OPTIONS and told == error.next_step:
            raise
        raise type(error)(
            where=_OPTIONS.get(error.where, error.where),
            what=error.what,
            rule=error.rule,
            next_step=told,
        ) from error
