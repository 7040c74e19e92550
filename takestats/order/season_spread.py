"""How far may seasons move saleable plants, where it is said beforehand how far they move takes?

Saleable plants of the grafts made are take times the share that is kept. Seasons move
both, but at a high share a step in log odds is a small one in plants: each moves the
product less, in log odds, than it moves itself.
"""

from __future__ import annotations

import math

from takestats.models.grouped_seasons import OWN_SCALE


def saleable_scale(made: float, taken: float, saleable: float, scale: float = OWN_SCALE) -> float:
    """Carry the prior on the spread between seasons over to saleable plants.

    Parameters
    ----------
    made, taken, saleable : float
        Of one combination, all its seasons added up: only the shares matter.
    scale : float, default 0.5
        Of the half-normal prior on the spread between seasons, log odds, of the take and, by
        itself, of the share of those that took which is kept.

    Returns
    -------
    float
        Of the half-normal prior for saleable plants of the grafts made.

    Notes
    -----
    With take t and kept share c, a step in the log odds of the take moves the log odds of
    their product by a = (1 - t) / (1 - t c), and one of the kept share by
    b = (1 - c) / (1 - t c): the first-order term of a Taylor series. Variances add, so the
    scale is scale x sqrt(a^2 + b^2). Half a plant is added to those lost at each step, so
    that none lost is not taken for a share that never moves. It fails where take and kept
    share go up and down together from season to season, which this takes to be independent:
    the saleable plants on record then say so, season by season, and outweigh it.

    Examples
    --------
    Nine in ten take and nine in ten of those are kept; then none is culled:

    >>> print(f"{saleable_scale(1000, 900, 810):.2f} {saleable_scale(1000, 900, 900):.2f}")
    0.37 0.50
    """
    take = (taken + 0.5) / (made + 1.0)
    kept = (saleable + 0.5) / (taken + 1.0)
    lost = 1.0 - take * kept
    return scale * math.hypot((1.0 - take) / lost, (1.0 - kept) / lost)
