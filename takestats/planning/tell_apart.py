"""How many trays before two methods can be told apart?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from takestats.errors import DesignError
from takestats.interval import check_level
from takestats.planning.asking import Say, ask
from takestats.planning.checks import (
    check_different,
    check_power,
    check_share,
    check_tray_size,
    check_whole,
)
from takestats.planning.question import Basis, Question
from takestats.planning.tray_plan import TrayPlan

if TYPE_CHECKING:
    from takestats.models.take_model import TakeModel
    from takestats.records.result import Records


def trays_to_tell_apart(
    take_a: float,
    take_b: float,
    tray_size: int,
    *,
    arms: int = 2,
    within_trays: bool = False,
    at_most_grafts: int | None = None,
    icc: float | Sequence[float] | None = None,
    power: float = 0.8,
    level: float = 0.95,
    past: TakeModel | Records | None = None,
    basis: Basis = "tray_model",
    most_trays: int = 500,
    seed: int = 1,
    progress: Say | None = None,
) -> TrayPlan:
    """How many trays of each before I can tell these two takes apart?

    Parameters
    ----------
    take_a, take_b : float
        The take you have, and the one that would be worth changing for; proportions.
    tray_size : int
        Grafts in a tray; of both methods together with ``within_trays``.
    arms : int
        Methods in the trial: one standard (``take_a``) and the others against it.
    within_trays : bool
        Both methods in each tray, drawn by lot within it, instead of whole trays of either.
    at_most_grafts : int, optional
        Grafts of the whole trial that can be made at most: the plan then says what they can and
        cannot tell instead of refusing.
    icc : float, sequence of float or None
        How much trays differ (intra-tray correlation). None: what ``past`` shows, else 0.02,
        0.05, 0.10 and 0.20.
    power : float
        Share of such trials that should find the difference.
    level : float
        Of the interval that decides.
    past : TakeModel or Records, optional
        Past seasons, for the correlation.
    basis : {"tray_model", "normal", "arcsine", "exact"}
        Judged by the interval that the report will show; or a textbook number.
    most_trays : int
        Of each method.
    seed : int
        Same question, same seed, same digits.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    TrayPlan
        ``trays`` of each method (of the trial with ``within_trays``) and ``power`` of the worst
        correlation looked at; ``table`` has all of them: icc, take_a, take_b, trays, grafts,
        power, width, assurance, false_positive, reached.

    Raises
    ------
    CountsError
        For a take outside 0 to 1, a power no better than chance, a tray of 0 grafts and the like.
    DesignError
        For equal takes; when ``most_trays`` do not reach the power; when ``at_most_grafts`` do
        not fill two trays of each.

    Notes
    -----
    The two are told apart when the interval of the difference lies wholly on the right side of 0.
    A closed form seeds the search; 10,000 simulated trials, judged on the exact grid of the tray
    model, confirm it. Several methods: the limits are those of the first step of Holm's rule for
    ``arms - 1`` comparisons; trays of the other methods, which would tell a little more of how
    trays differ, are left out of the simulation.

    References
    ----------
    ``basis="normal"``: Fleiss, Levin & Paik 2003, eq. 4.14 (from memory), pooled variance;
    "arcsine": Cohen 1988, ch. 6; both times the design effect of Donner & Klar 2000, ch. 5.
    "exact": Fisher's test by enumeration.

    Examples
    --------
    >>> trays_to_tell_apart(0.65, 0.45, 1, icc=0, basis="normal").trays
    96
    """
    one, two = check_share("take_a", take_a), check_share("take_b", take_b)
    check_different(one, two)
    sure = check_level(level)
    arms = check_whole(
        "arms", arms, 2, "two methods or more are compared", "give arms=2, or ask about one take"
    )
    size = check_tray_size(tray_size)
    if within_trays and (arms != 2 or size < 2 or basis != "tray_model"):
        raise DesignError(
            where="within_trays",
            what=f"{arms} arms, {size} grafts in a tray, basis {basis}",
            rule="both methods in each tray: two methods, two grafts a tray or more, tray model",
            next_step="plan whole trays (within_trays=False)",
        )
    return ask(
        Question(
            kind="tell_apart",
            take_a=one,
            take_b=two,
            tray_size=size,
            arms=arms,
            within_trays=within_trays,
            level=sure,
        ),
        check_power(power, 1.0 - sure),
        icc=icc,
        past=past,
        basis=basis,
        most_trays=most_trays,
        at_most_grafts=at_most_grafts,
        seed=seed,
        progress=progress,
    )
