"""What does every refusal say, one after another, for proof-reading?"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from takestats.errors import TakeError


def told_refusals(refusals: Iterable[tuple[str, Callable[[], object]]]) -> str:
    """Every message under its name; one that was not refused stands out."""
    out = []
    for name, call in refusals:
        try:
            call()
        except TakeError as error:
            out.append(f"# {name}\n{error.told()}\n")
        else:
            out.append(f"# {name}\nNOT REFUSED\n")
    return "\n".join(out)
