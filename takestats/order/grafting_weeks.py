"""Which grafts in which week, as early as can be?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from takestats.order.given_limits import Source


def grafts_by_week(
    grafts: Sequence[int], sources: Sequence[Source], most: Sequence[int]
) -> NDArray[np.int64]:
    """Each week, first what must be done soonest.

    Parameters
    ----------
    grafts : sequence of int
        To be made from each source.
    sources : sequence of Source
        With their windows; of two that end in the same week, the earlier listed goes first.
    most : sequence of int
        Grafts that each week can hold.

    Returns
    -------
    numpy.ndarray of shape (sources, weeks)
        Rows may sum to less than was asked: what did not fit.

    Notes
    -----
    A week is never left idle while something could be grafted, so by the end of any week as many
    grafts are made as can be; and earliest end first makes them all whenever that can be done
    (the rule of the earliest due date for equal pieces of work; Jackson 1955, from memory).

    Examples
    --------
    >>> from takestats.order.given_limits import Source
    >>> one = Source(combination="A on B", wood="terminal", understock="B",
    ...              saleable_per_graft=0.8, first_week=0, last_week=2)
    >>> grafts_by_week([7], [one], [3, 3, 3]).tolist()
    [[3, 3, 1]]
    """
    left = [int(number) for number in grafts]
    made = np.zeros((len(sources), len(most)), dtype=np.int64)
    soonest = sorted(range(len(sources)), key=lambda i: (sources[i].last_week, i))
    for week, room in enumerate(most):
        for i in soonest:
            if left[i] and sources[i].first_week <= week <= sources[i].last_week:
                now = min(left[i], room)
                made[i, week] = now
                left[i] -= now
                room -= now
    return made
