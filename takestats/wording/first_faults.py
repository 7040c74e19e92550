"""How are the first faults of a long list told, and how many follow?"""

from __future__ import annotations


def first_faults(lines: list[str], more: int) -> str:
    """The first faults of a list in a few lines, and how many follow."""
    text = "\n  ".join(lines)
    if more > 0:
        text += f"\n  and {more} more"
    return text
