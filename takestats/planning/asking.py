"""What does every question of a plan share: correlations, bounds, basis."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from takestats.interval import check_level
from takestats.models.progress import silent
from takestats.planning.built import plan
from takestats.planning.checks import (
    check_basis,
    check_iccs,
    check_most_trays,
    check_whole,
)
from takestats.planning.past import past_trays
from takestats.planning.plan_rows import Asked
from takestats.planning.question import Basis, Question
from takestats.planning.tray_plan import TrayPlan

if TYPE_CHECKING:
    from takestats.models.take_model import TakeModel
    from takestats.records.result import Records

Say = Callable[[str], None]


def ask(
    question: Question,
    wanted: float,
    *,
    icc: float | Sequence[float] | None,
    past: TakeModel | Records | None,
    basis: Basis,
    most_trays: int,
    at_most_grafts: int | None = None,
    seed: int,
    progress: Say | None = None,
) -> TrayPlan:
    """Check what every question shares, and plan.

    Parameters
    ----------
    question : Question
    wanted : float
        Power.
    icc, past, basis, most_trays, at_most_grafts, seed, progress
        As in the public functions. A typed ``icc`` goes before ``past``.
    """
    check_level(question.level)
    seen = past_trays(past) if past is not None and icc is None else None
    iccs = seen.iccs if seen is not None else check_iccs(icc)
    check_basis(basis, question.tray_size, iccs)
    most = check_most_trays(most_trays)
    if at_most_grafts is not None:
        at_most_grafts = check_whole(
            "at_most_grafts",
            at_most_grafts,
            1,
            "a whole number of grafts of the whole trial",
            "give the scion pieces you have, as at_most_grafts=60",
        )
    return plan(
        Asked(
            question=question,
            iccs=iccs,
            wanted=wanted,
            most_trays=most,
            at_most_grafts=at_most_grafts,
            basis=basis,
            seed=seed,
            past=seen,
            say=progress or silent,
        )
    )
