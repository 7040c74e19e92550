"""How are places drawn by lot so that the same seed draws the same again, always?"""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Sequence
from typing import TypeVar

T = TypeVar("T")

MOST_SEED = 2**31 - 1
_SIZE = 2**64


def made_seed() -> int:
    """Make a seed where none was given; it is written down with the layout."""
    return secrets.randbelow(MOST_SEED) + 1


class Lot:
    """Numbers drawn from a seed.

    The generators of libraries may draw otherwise in a later version; a layout must be
    drawn again years later, so the numbers are SHA-256 of the seed and a counter.

    Parameters
    ----------
    seed : int

    Examples
    --------
    >>> Lot(7).shuffled("abcdef") == Lot(7).shuffled("abcdef")
    True
    >>> sorted(Lot(7).shuffled("abcdef"))
    ['a', 'b', 'c', 'd', 'e', 'f']
    """

    def __init__(self, seed: int) -> None:
        self._seed = seed
        self._drawn = 0

    def below(self, most: int) -> int:
        """Draw a whole number from 0 to ``most`` - 1, each as likely as the other."""
        fair = _SIZE - _SIZE % most  # numbers above it would favour the small ones
        while True:
            told = f"takestats bench {self._seed} {self._drawn}".encode()
            self._drawn += 1
            number = int.from_bytes(hashlib.sha256(told).digest()[:8], "big")
            if number < fair:
                return number % most

    def shuffled(self, things: Sequence[T]) -> list[T]:
        """Draw an order, each as likely as the other (Fisher and Yates' shuffle, from memory)."""
        out = list(things)
        for last in range(len(out) - 1, 0, -1):
            other = self.below(last + 1)
            out[last], out[other] = out[other], out[last]
        return out
