"""How many trays before something new is shown to be no worse than the standard?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takestats.interval import check_level
from takestats.planning.asking import Say, ask
from takestats.planning.checks import (
    check_margin,
    check_margin_below,
    check_power,
    check_share,
    check_tray_size,
    check_within_margin,
)
from takestats.planning.question import Basis, Question
from takestats.planning.tray_plan import TrayPlan

if TYPE_CHECKING:
    from takestats.models.take_model import TakeModel
    from takestats.records.result import Records


def trays_to_show_no_worse(
    standard: float,
    new: float,
    margin: float,
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
    """How many trays of each before I know that the new one is no worse than the standard?

    Parameters
    ----------
    standard, new : float
        The standard's take, and the take you expect of the new one; proportions.
    margin : float
        How many points worse would still do, a proportion.
    tray_size : int
        Grafts in a tray.
    icc : float, sequence of float or None
        How much trays differ (intra-tray correlation). None: what ``past`` shows, else 0.02,
        0.05, 0.10 and 0.20.
    power : float
        Share of such trials that should show it.
    level : float
        Of the interval that decides: its lower limit must lie above minus the margin.
    past : TakeModel or Records, optional
        Past seasons, for the correlation.
    basis : {"tray_model", "normal"}
        Judged by the interval that the report will show; or Blackwelder's formula.
    most_trays : int
        Of each of the two.
    seed : int
        Same question, same seed, same digits.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    TrayPlan
        ``trays`` of each and ``power`` of the worst correlation looked at; ``table`` has all of
        them.

    Raises
    ------
    CountsError
        For a take outside 0 to 1, a margin of 0, a power no better than chance and the like.
    DesignError
        For a new take below the standard by the margin or more; when ``most_trays`` do not reach
        the power.

    Notes
    -----
    Simulated trials are judged with the exact grid of the tray model. The standard stands beside
    the new one in the same trial: last year's standard is no standard, seasons differ more than
    methods.

    References
    ----------
    ``basis="normal"``: Blackwelder 1982, Control Clin Trials 3:345, times the design effect of
    Donner & Klar 2000, ch. 5.

    Examples
    --------
    >>> trays_to_show_no_worse(0.9, 0.9, 0.1, 1, icc=0, power=0.9, basis="normal").trays
    190
    """
    old = check_share("standard", standard, inside=True)
    fresh = check_share("new", new)
    step = check_margin(margin)
    check_margin_below(old, step)
    check_within_margin(old, fresh, step)
    sure = check_level(level)
    return ask(
        Question(
            kind="no_worse",
            take_a=old,
            take_b=fresh,
            margin=step,
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
