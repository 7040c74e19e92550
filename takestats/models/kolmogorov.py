"""How often would so many trays stray this far from what the model expects, by chance alone?"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy import special

Floats = NDArray[np.float64]

#: Above this, both sides are never strayed past at once (chance below 1e-13).
_ONE_SIDE = 4.0
#: Past so many rows of the matrix the library's own approximation is quicker.
_WIDEST = 401


def largest_gap(shares: Floats) -> float:
    """Largest gap between shares that should be evenly spread over 0 to 1, and even ones.

    Parameters
    ----------
    shares : ndarray of shape (trays,)

    Examples
    --------
    >>> largest_gap(np.array([0.25, 0.5, 0.75, 1.0]))
    0.25
    """
    ranked = np.sort(shares)
    steps = np.arange(ranked.size + 1) / ranked.size
    return float(max((steps[1:] - ranked).max(), (ranked - steps[:-1]).max()))


def chance_of_gap(gap: float, count: int) -> float:
    """How often is the largest gap this large or larger, when the shares are evenly spread?

    Parameters
    ----------
    gap : float
        From :func:`largest_gap`, a proportion.
    count : int
        How many shares, 1 or more.

    Returns
    -------
    float
        The two-sided tail of the Kolmogorov-Smirnov test.

    Notes
    -----
    Exact: the chance that the steps stay within the gap all along is ``count!/count**count``
    times the middle element of a matrix to the power ``count``. The matrix is divided by e:
    its powers are then chances of a Poisson count, never above 1, and nothing overflows.
    From ``count * gap**2`` of 4 the tail is below .0007 and both sides are not strayed past
    at once: twice the one-sided tail, also exact from a gap of 1/2. Where the matrix would
    have more than 401 rows (some 50,000 trays) the tail is that of
    ``scipy.stats.kstwo``, which approximates it (Pelz & Good 1976).

    Written here because that library's statistics take a quarter of a second or more to load.

    References
    ----------
    Durbin 1968, Ann Math Stat 39:398-411; Marsaglia, Tsang & Wang 2003, J Stat Softw 8(18)
    (the matrix); Simard & L'Ecuyer 2011, J Stat Softw 39(11) (which way where).

    Examples
    --------
    >>> round(1 - chance_of_gap(0.274, 10), 12)
    0.628479615457
    """
    reach = count * gap
    if reach <= 0.5:
        return 1.0
    if gap >= 1.0:
        return 0.0
    if gap >= 0.5 or reach * gap >= _ONE_SIDE:
        return min(1.0, 2.0 * float(special.smirnov(count, gap)))
    rows = 2 * math.ceil(reach) - 1
    if rows > _WIDEST:
        from scipy.stats import kstwo

        return float(kstwo.sf(gap, count))
    return min(1.0, max(0.0, 1.0 - _stays_within(reach, count, rows)))


def _stays_within(reach: float, count: int, rows: int) -> float:
    """Chance that the gap stays below, from the matrix of Marsaglia, Tsang & Wang (section 2)."""
    middle = (rows - 1) // 2
    short = middle + 1 - reach
    place = np.arange(1, rows + 1)
    step = place[:, None] - place[None, :] + 1
    matrix = np.where(step >= 0, special.rgamma(np.maximum(step, 0) + 1.0), 0.0)
    edge = (1.0 - short**place) * special.rgamma(place + 1.0)
    corner = 1.0 - 2.0 * short**rows + max(0.0, 2.0 * short - 1.0) ** rows
    matrix[:, 0] = edge
    matrix[-1, :] = edge[::-1]
    matrix[-1, 0] = corner * float(special.rgamma(rows + 1.0))
    matrix /= math.e
    row = np.zeros(rows)
    row[middle] = 1.0
    left = count
    while left:
        if left % 2:
            row = row @ matrix
        left //= 2
        if left:
            matrix = matrix @ matrix
    # count! (e / count)**count, which is close to the root of 2 pi count.
    scale = float(special.gammaln(count + 1.0)) - count * math.log(count) + count
    return float(row[middle]) * math.exp(scale)
