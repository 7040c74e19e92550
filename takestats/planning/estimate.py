"""How many trays before a take is known to within so many points?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takestats.interval import check_level
from takestats.planning.asking import Say, ask
from takestats.planning.checks import check_margin, check_share, check_tray_size
from takestats.planning.question import Basis, Question
from takestats.planning.tray_plan import TrayPlan

if TYPE_CHECKING:
    from takestats.models.take_model import TakeModel
    from takestats.records.result import Records

_OFTEN_ENOUGH = 0.8


def trays_to_estimate(
    take: float,
    margin: float,
    tray_size: int,
    *,
    icc: float | Sequence[float] | None = None,
    level: float = 0.95,
    past: TakeModel | Records | None = None,
    basis: Basis = "tray_model",
    most_trays: int = 500,
    seed: int = 1,
    progress: Say | None = None,
) -> TrayPlan:
    """How many trays before I know the take to within so many points?

    Parameters
    ----------
    take : float
        The take you expect, a proportion.
    margin : float
        Points either way that would be near enough, a proportion: half the width of the interval.
    tray_size : int
        Grafts in a tray.
    icc : float, sequence of float or None
        How much trays differ (intra-tray correlation). None: what ``past`` shows, else 0.02,
        0.05, 0.10 and 0.20.
    level : float
        Of the interval.
    past : TakeModel or Records, optional
        Past seasons, for the correlation.
    basis : {"tray_model", "normal"}
        Judged by the interval that the report will show; or the plain formula.
    most_trays : int
    seed : int
        Same question, same seed, same digits.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    TrayPlan
        ``power`` is the share of trials whose interval is narrow enough, 0.8 at least. ``trays``
        is of the worst correlation looked at; ``table`` has all of them.

    Raises
    ------
    CountsError
        For a take outside 0 to 1, a margin of 0, a tray of 0 grafts and the like.
    DesignError
        When ``most_trays`` do not reach it.

    Notes
    -----
    Simulated trials are judged with the exact grid of the tray model. With few trays the interval
    is wide whatever the take, because how much trays differ is hardly known.

    References
    ----------
    ``basis="normal"``: n = z^2 p (1 - p) / margin^2, times the design effect of Donner & Klar
    2000, ch. 5.

    Examples
    --------
    >>> trays_to_estimate(0.5, 0.05, 1, icc=0, basis="normal").trays
    385
    """
    return ask(
        Question(
            kind="estimate",
            take_a=0.0,
            take_b=check_share("take", take, inside=True),
            margin=check_margin(margin),
            tray_size=check_tray_size(tray_size),
            level=check_level(level),
        ),
        _OFTEN_ENOUGH,
        icc=icc,
        past=past,
        basis=basis,
        most_trays=most_trays,
        seed=seed,
        progress=progress,
    )
