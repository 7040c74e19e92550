"""What would the same question take with whole trays of either method?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from takestats.errors import DesignError
from takestats.planning.asking import ask

if TYPE_CHECKING:
    from collections.abc import Callable

    from takestats.planning.tray_plan import TrayPlan

_MOST_TRAYS = 500


def whole_trays_instead(
    plan: TrayPlan, progress: Callable[[str], None] | None = None
) -> TrayPlan | None:
    """The same question at the same correlation with whole trays of either method.

    Parameters
    ----------
    plan : TrayPlan
        Of both methods in each tray.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    TrayPlan or None
        None where the most trays do not reach the power.
    """
    question = replace(plan.question, within_trays=False)
    try:
        return ask(
            question,
            plan.power_wanted,
            icc=plan.icc,
            past=None,
            basis="tray_model",
            most_trays=_MOST_TRAYS,
            seed=plan.seed,
            progress=progress,
        )
    except DesignError:
        return None
