"""How many trays before a take is shown to lie above a floor?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takestats.interval import check_level
from takestats.planning.asking import Say, ask
from takestats.planning.checks import check_above, check_power, check_share, check_tray_size
from takestats.planning.question import Basis, Question
from takestats.planning.tray_plan import TrayPlan

if TYPE_CHECKING:
    from takestats.models.take_model import TakeModel
    from takestats.records.result import Records


def trays_to_exceed_floor(
    floor: float,
    take: float,
    tray_size: int,
    *,
    icc: float | Sequence[float] | None = None,
    power: float = 0.8,
    level: float = 0.95,
    past: TakeModel | Records | None = None,
    basis: Basis = "tray_model",
    most_trays: int = 500,
    seed: int = 1,
    progress: Say | None = None,
) -> TrayPlan:
    """How many trays before I know that it pays: that the take lies above my floor?

    Parameters
    ----------
    floor : float
        The lowest take worth having, a proportion.
    take : float
        The take you expect.
    tray_size : int
        Grafts in a tray.
    icc : float, sequence of float or None
        How much trays differ (intra-tray correlation). None: what ``past`` shows, else 0.02,
        0.05, 0.10 and 0.20.
    power : float
        Share of such trials that should show it.
    level : float
        Of the interval that decides: its lower limit must lie above the floor.
    past : TakeModel or Records, optional
        Past seasons, for the correlation.
    basis : {"tray_model", "normal", "arcsine", "exact"}
        Judged by the interval that the report will show; or a textbook number.
    most_trays : int
    seed : int
        Same question, same seed, same digits.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    TrayPlan
        ``trays`` and ``power`` of the worst correlation looked at; ``table`` has all of them.

    Raises
    ------
    CountsError
        For a take outside 0 to 1, a power no better than chance, a tray of 0 grafts and the like.
    DesignError
        For a floor above the take; when ``most_trays`` do not reach the power.

    Notes
    -----
    Simulated trials are judged with the exact grid of the tray model. The test is one-sided at
    (1 - level) / 2. Exact counts: power saws up and down with the number of grafts; ``trays`` is
    the first number that does, ``notes`` say from where on every larger number does.

    References
    ----------
    ``basis="exact"``: the binomial; "normal" and "arcsine": one sample, times the design effect
    of Donner & Klar 2000, ch. 5.

    Examples
    --------
    >>> trays_to_exceed_floor(0.5, 0.7, 1, icc=0, level=0.9, basis="exact").trays
    37
    """
    low = check_share("floor", floor, inside=True)
    high = check_share("take", take)
    check_above(low, high, "floor, take", "take")
    sure = check_level(level)
    return ask(
        Question(
            kind="above_floor",
            take_a=low,
            take_b=high,
            tray_size=check_tray_size(tray_size),
            level=sure,
        ),
        check_power(power, 0.5 * (1.0 - sure)),
        icc=icc,
        past=past,
        basis=basis,
        most_trays=most_trays,
        seed=seed,
        progress=progress,
    )
