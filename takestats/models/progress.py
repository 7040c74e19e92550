"""How does long work say what it is doing, and who listens where nobody asked?"""

from __future__ import annotations


def silent(step: str) -> None:
    """Say nothing."""
