"""A combination not yet tried: what trial should it get?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from takestats.errors import DesignError
from takestats.models.progress import silent
from takestats.models.result import TableResult
from takestats.planning.checks import check_above, check_tray_size, check_whole
from takestats.planning.new_plans import LOWEST_FLOOR, Maker, choose, plans_table
from takestats.planning.new_told import told_past, told_plans, told_rules
from takestats.planning.past_combinations import (
    PastCombinations,
    named_plant,
    past_combinations,
    relation_between,
)
from takestats.planning.tray_plan import TrayPlan
from takestats.planning.two_stage import TwoStage
from takestats.wording import cautions
from takestats.wording import new_combination as words
from takestats.wording import plan_refusals as refusals
from takestats.wording import plan_steps as steps

if TYPE_CHECKING:
    from takestats.records.result import Records

MARGIN = 0.10
_RANGE_TAKES = (0.80, 0.90, 0.95)
_RANGE_ICCS = (0.02, 0.20)
_MIDDLE_ICC = 0.10
_FEWEST_TRAYS = 3
_LOWEST, _HIGHEST = 0.20, 0.98


@dataclass(frozen=True, eq=False, kw_only=True)
class NewCombinationPlan(TableResult):
    """One recommendation for a combination not yet tried, with the plans behind it.

    ``table``: plan (no worse, above floor, two stages), standard_take, floor, icc,
    take_a, take_b, trays, grafts (of the new combination), power, width, assurance,
    reached. ``in_words()`` begins with the recommendation.

    Parameters
    ----------
    scion, understock, relation : str
    recommendation : str
    recommended : {"no worse", "above floor", "two stages", "first look"}
    margin : float
    tray_size : int
        Smaller than asked for when the grafts would not fill three trays.
    at_most_grafts : int or None
    no_worse, above_floor : tuple of TrayPlan
        One for each standard take that was looked at.
    two_stages : tuple of TwoStage
        Empty when no rule keeps both chances with the grafts at hand.
    fallback : TwoStage or None
        Then: the rule that does, for a lower floor.
    past : PastCombinations or None
    cautions : tuple of str
    """

    scion: str
    understock: str
    relation: str
    recommendation: str
    recommended: str
    margin: float
    tray_size: int
    at_most_grafts: int | None
    no_worse: tuple[TrayPlan, ...]
    above_floor: tuple[TrayPlan, ...]
    two_stages: tuple[TwoStage, ...]
    fallback: TwoStage | None
    past: PastCombinations | None
    cautions: tuple[str, ...]


def plan_new_combination(
    scion: str,
    understock: str,
    past: Records | None,
    *,
    tray_size: int,
    at_most_grafts: int | None = None,
    seed: int = 1,
    progress: Callable[[str], None] | None = None,
) -> NewCombinationPlan:
    """I would like to put this on that: what trial should it get before I believe it?

    Parameters
    ----------
    scion, understock : str
        Full names, or the nursery's own short names of the past records' settings.
    past : Records or None
        Seasons of combinations you know. None: ranges, no single number.
    tray_size : int
        Grafts in a tray.
    at_most_grafts : int, optional
        Grafts of the new combination at most: the scion pieces you have. The standard stands
        beside it with as many.
    seed : int
        Same question, same seed, same digits.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    NewCombinationPlan
        ``recommendation`` in words, ``recommended``, the plans behind it and ``table``.

    Raises
    ------
    CountsError
        For a name that cannot be read, a tray of 0 grafts and the like.
    DesignError
        When the past has no other combination, or its standard hardly takes; when the floor of
        the settings lies above the standard's take.

    Notes
    -----
    The relation follows from the names. From the past: the intra-tray correlation and its limits;
    the take of the standard (the settings' standard, else the combination with most trays on the
    same understock) in a season not yet seen; with three combinations or more of the relation,
    what a new one may turn out to be, over which power is averaged (assurance). The margin is 10
    points and the floor lies as far below the standard, unless the settings name a combination as
    the standard, and their own margin and floor.

    References
    ----------
    Assurance: O'Hagan, Stevens & Campbell 2005, Pharm Stat 4:187-201 (from memory).

    Examples
    --------
    >>> found = plan_new_combination(
    ...     "Hamamelis mollis", "Hamamelis virginiana", None, tray_size=10, at_most_grafts=20)
    >>> found.relation, found.past is None
    ('same genus', True)
    """
    stem, root = named_plant(scion, past, "scion"), named_plant(understock, past, "understock")
    relation = relation_between(stem, root)
    size = check_tray_size(tray_size)
    if at_most_grafts is not None:
        at_most_grafts = check_whole(
            "at_most_grafts",
            at_most_grafts,
            4,
            "four grafts or more, two trays of two, can be planned",
            "count the scion pieces again",
        )
        # Three trays show how trays differ; one large tray does not.
        size = max(1, min(size, at_most_grafts // _FEWEST_TRAYS))
    say = progress or silent
    say(steps.PAST)
    seen = None if past is None else past_combinations(past, stem, root, relation)
    margin, floor = _bounds(past, seen)
    standards = _RANGE_TAKES if seen is None else (_standard_take(seen),)
    iccs, middle = _iccs(seen)
    made = Maker(size, at_most_grafts, iccs, middle, margin, seed, say)
    if floor is not None:
        check_above(floor, standards[0], "floor, standard", "standard's expected take")
    floors = [max(LOWEST_FLOOR, take - margin) if floor is None else floor for take in standards]
    no_worse = tuple(made.no_worse(take) for take in standards)
    above = tuple(made.above(low, take) for low, take in zip(floors, standards, strict=True))
    rules = tuple(made.two_stage(low, take) for low, take in zip(floors, standards, strict=True))
    stages = tuple(rule for rule in rules if rule is not None)
    say(steps.LIKELY)
    table = plans_table(no_worse, above, rules, standards, floors, seen, seed)
    chosen = choose(no_worse, above, rules, table, seen, at_most_grafts)
    fallback = None
    if seen is not None and not stages:
        fallback = made.fallback(floors[0], standards[0])
    plans, floored = told_plans(no_worse), told_plans(above)
    spoken = told_rules(stages)
    past_told = None if seen is None else told_past(seen, table)
    frame = words.Frame(
        size=size,
        asked_size=check_tray_size(tray_size),
        margin=margin,
        floors=tuple(floors),
        standards=standards,
        at_most=at_most_grafts,
        fallback=None if fallback is None else told_rules((fallback,))[0],
    )
    recommendation = words.recommendation(chosen, plans, floored, spoken, frame)
    sentences = (
        recommendation,
        words.relation_sentence(str(stem), str(root), relation),
        *words.past_sentences(past_told, relation),
        *words.limit_sentences(plans, floored, spoken, frame),
    )
    banner = () if past is None or not past.banner else (past.banner,)
    return NewCombinationPlan(
        _table=table,
        notes=(
            *banner,
            *words.new_notes(frame, iccs, past_told, assumed_floor=floor is None),
            *cautions.NEW_COMBINATION,
        ),
        sentences=tuple(s for s in sentences if s),
        scion=str(stem),
        understock=str(root),
        relation=relation,
        recommendation=recommendation,
        recommended=chosen,
        margin=margin,
        tray_size=size,
        at_most_grafts=at_most_grafts,
        no_worse=no_worse,
        above_floor=above,
        two_stages=stages,
        fallback=fallback,
        past=seen,
        cautions=cautions.NEW_COMBINATION,
    )


def _standard_take(seen: PastCombinations) -> float:
    """The standard's expected take, where a trial beside it makes sense."""
    take = seen.standard.take
    if take < _LOWEST:
        raise DesignError(
            where="past",
            what=refusals.poor_standard(seen.standard.name, take),
            rule="a standard that hardly takes is no standard",
            next_step="name a better one under [trial] standard, or ask trays_to_exceed_floor with "
            "the lowest take worth having",
        )
    return min(take, _HIGHEST)


def _bounds(past: Records | None, seen: PastCombinations | None) -> tuple[float, float | None]:
    """Margin and floor of the settings, when they are about combinations; else 10 points, None."""
    if past is None or seen is None or seen.standard.why != "settings":
        return MARGIN, None
    given = past.trial.trial
    margin, floor = given.get("margin_points"), given.get("floor")
    return (
        MARGIN if margin is None else float(margin) / 100.0,
        None if floor is None else float(floor),
    )


def _iccs(seen: PastCombinations | None) -> tuple[tuple[float, ...], float]:
    """Correlations of the plans, and the one in the middle."""
    if seen is None or seen.trays is None:
        return _RANGE_ICCS, _MIDDLE_ICC
    return seen.trays.iccs, seen.trays.icc
