"""How many grafts and seedlings, by plain arithmetic with one take?

No chance in it: a take that is typed, not recorded, has no trays and no seasons.
"""

from __future__ import annotations

import math
from typing import NamedTuple

_NOISE = 1e-9


class PlainNeed(NamedTuple):
    """What is needed, before it is rounded up."""

    grafts: float
    seedlings: float


def plain_need(
    wanted: float, take: float, *, cull: float = 0.0, usable_share: float = 1.0
) -> PlainNeed:
    """How many grafts and seedlings do so many saleable plants need at this take?

    Parameters
    ----------
    wanted : float
        Plants.
    take, cull, usable_share : float
        Shares: of the grafts that take, of those that are culled, of the seedlings that are fit
        to graft.

    Returns
    -------
    PlainNeed
        Not rounded; infinite when nothing takes. Each is rounded up by itself, at the end, with
        :func:`whole_up`: seedlings are not reckoned from grafts already rounded up.

    Notes
    -----
    ``grafts = wanted / (take x (1 - cull))``, ``seedlings = grafts / usable share``. By
    themselves such numbers are met about every second season: an order puts the take of a poor
    season in.

    Examples
    --------
    >>> need = plain_need(500, 0.70, cull=0.10, usable_share=0.85)
    >>> whole_up(need.grafts), whole_up(need.seedlings)
    (794, 934)
    """
    kept = take * (1.0 - cull)
    grafts = wanted / kept if kept > 0.0 else math.inf
    return PlainNeed(grafts, grafts / usable_share if usable_share > 0.0 else math.inf)


def whole_up(number: float) -> int:
    """Round up to whole plants; the noise of floating point does not make one more.

    Examples
    --------
    >>> whole_up(10.000000000001), whole_up(10.01)
    (10, 11)
    """
    return math.ceil(number - _NOISE * max(1.0, abs(number)))
