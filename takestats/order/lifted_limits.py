"""Which limit would have to grow, by how much, and how many plants would that bring?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from takestats.order.given_limits import Task, bounds_of
from takestats.order.grafting_weeks import grafts_by_week
from takestats.order.most_plants import HAIR, MET, Plan, Programme, ranks

if TYPE_CHECKING:
    from takestats.order.most_plants import FloatArray

WORKED_OUT = 12
"""Limits that are worked out one by one; the rest are told to be left."""

_GAP = 2e-3
"""Of what grows together: with a thousand and more to grow, the least is found to within this."""


@dataclass(frozen=True, kw_only=True)
class Grown:
    """One limit grown: by ``more`` pieces, understocks or grafts, for ``gained`` plants.

    ``kind`` is wood, understock, days or window; ``first`` and ``last`` are the weeks that the
    further grafts fall into, -1 where the limit is none of time. ``alone``: every other limit
    stays as it is; else it has to grow together with the others that are not alone.
    """

    kind: str
    name: str
    wood: str
    more: int
    gained: float
    meets_all: bool
    alone: bool
    first: int = -1
    last: int = -1


@dataclass(frozen=True, kw_only=True)
class Growth:
    """What growing would bring; ``left`` limits that bind were not worked out."""

    rows: tuple[Grown, ...]
    left: int
    proven: bool


@dataclass(frozen=True, kw_only=True)
class _Lift:
    kind: str
    name: str
    wood: str = ""
    place: int = -1
    combination: int = -1


def what_would_have_to_grow(task: Task, plan: Plan, *, nodes: int) -> Growth:
    """Solve again with one limit lifted at a time, then with all of them.

    Parameters
    ----------
    task : Task
    plan : Plan
        The best within the limits as they are.
    nodes : int

    Returns
    -------
    Growth
        Alone: only limits that bring something, most plants first. Together: the fewest pieces,
        understocks and grafts a week, added up, with which every target is met.

    Notes
    -----
    A lifted limit costs nothing while plants are counted; then the plants are held and its growth
    is made as small as can be. With priorities no rank gets fewer plants than before. When more
    than :data:`WORKED_OUT` limits bind, those come first that an estimate in parts of a graft puts
    first.
    """
    if plan.counted >= sum(task.wanted) - MET:
        return Growth(rows=(), left=0, proven=True)
    lifts = list(_binding(task, plan))
    if len(lifts) > WORKED_OUT:
        worth = [_estimate(task, plan, lift, nodes) for lift in lifts]
        order = sorted(range(len(lifts)), key=lambda i: (-worth[i], i))
        chosen = [lifts[i] for i in order[:WORKED_OUT]]
    else:
        chosen = lifts
    rows, proven = [], True
    for lift in chosen:
        row, sure = _alone(task, plan, lift, nodes)
        proven = proven and sure
        if row is not None:
            rows.append(row)
    rows.sort(key=lambda row: -row.gained)
    together, sure = _together(task, plan, nodes)
    return Growth(rows=(*rows, *together), left=len(lifts) - len(chosen), proven=proven and sure)


def _binding(task: Task, plan: Plan) -> Iterator[_Lift]:
    """Limits of which nothing is left."""
    full = [sum(plan.grafts[i] for i in bound.members) >= bound.most for bound in task.bounds]
    for place, bound in enumerate(task.bounds):
        if full[place] and bound.kind != "days":
            yield _Lift(kind=bound.kind, name=bound.name, wood=bound.wood, place=place)
    timed = [bound for bound, is_full in zip(task.bounds, full, strict=True) if is_full]
    timed = [bound for bound in timed if bound.kind == "days"]
    if timed:
        yield _Lift(kind="days", name="")
    for i, name in enumerate(task.combinations):
        own = {place for place, made in enumerate(task.made) if made == i}
        if any(own & set(bound.members) for bound in timed) and any(
            not _is_open(task, place) for place in own
        ):
            yield _Lift(kind="window", name=name, combination=i)


def _is_open(task: Task, place: int) -> bool:
    """Whether the window of a source already is every week that has grafts."""
    source = task.sources[place]
    return not any(
        most
        for week, most in enumerate(task.limits.grafts_a_week)
        if not source.first_week <= week <= source.last_week
    )


def _widened(task: Task, combination: int, weeks: int | None = None) -> Task:
    """The same task with further sources of a combination, their window wider."""
    end = len(task.limits.weeks) - 1
    more = tuple(
        replace(
            source,
            first_week=0 if weeks is None else max(0, source.first_week - weeks),
            last_week=end if weeks is None else min(end, source.last_week + weeks),
        )
        for source, made in zip(task.sources, task.made, strict=True)
        if made == combination
    )
    sources = (*task.sources, *more)
    return replace(
        task,
        sources=sources,
        made=(*task.made, *(combination for _ in more)),
        bounds=bounds_of(sources, task.limits),
    )


def _lifted(task: Task, plan: Plan, lift: _Lift, nodes: int) -> tuple[Programme, FloatArray]:
    """The programme with one limit let go, and which of its columns count the growth."""
    if lift.kind == "window":
        programme = Programme(_widened(task, lift.combination), nodes=nodes)
        growth = programme.of_grafts(
            [float(place >= len(task.sources)) for place in range(programme.n_sources)]
        )
    else:
        places = () if lift.kind == "days" else (lift.place,)
        programme = Programme(task, places, days=lift.kind == "days", nodes=nodes)
        growth = programme.of_growth()
    _keep_ranks(programme, task, plan)
    return programme, growth


def _keep_ranks(programme: Programme, task: Task, plan: Plan) -> None:
    levels = ranks(task)
    if len(levels) > 1:
        wanted = np.array(task.wanted, dtype=float)
        had = np.minimum(wanted, plan.plants)
        for level in levels:
            programme.hold(programme.of_plants(level), HAIR - float(had[list(level)].sum()))


def _as_before(programme: Programme, plan: Plan, task: Task) -> FloatArray:
    """The plan within the limits, as an answer of a programme with further columns."""
    x = np.zeros(programme.n)
    x[: len(task.sources)] = plan.grafts
    x[programme.n_sources : programme.growth] = np.minimum(programme.wanted, plan.plants)
    return x


def _estimate(task: Task, plan: Plan, lift: _Lift, nodes: int) -> float:
    programme, _ = _lifted(task, plan, lift, nodes)
    return -programme.estimate(programme.of_plants(range(len(task.combinations))))


def _alone(task: Task, plan: Plan, lift: _Lift, nodes: int) -> tuple[Grown | None, bool]:
    programme, growth = _lifted(task, plan, lift, nodes)
    plants = programme.of_plants(range(len(task.combinations)))
    most = programme.least(plants, _as_before(programme, plan, task))
    gained = -most.value - plan.counted
    if gained < MET:
        return None, most.proven
    programme.hold(plants, most.value + HAIR)
    fewest = programme.least(growth, most.x)
    first, last = _weeks(task, lift, fewest.x)
    row = Grown(
        kind=lift.kind,
        name=lift.name,
        wood=lift.wood,
        more=round(fewest.value),
        gained=gained,
        meets_all=-most.value >= sum(task.wanted) - MET,
        alone=True,
        first=first,
        last=last,
    )
    return row, most.proven and fewest.proven


def _weeks(task: Task, lift: _Lift, x: FloatArray) -> tuple[int, int]:
    """The weeks that further grafts fall into."""
    if lift.kind == "window":
        return _weeks_outside(task, lift.combination, x)
    return weeks_of_growth(task, x) if lift.kind == "days" else (-1, -1)


def weeks_of_growth(task: Task, grafts: FloatArray) -> tuple[int, int]:
    """The weeks that must hold more grafts: as few more as can be, as early as they serve.

    Notes
    -----
    From the stretch that starts last to the one that starts first, what a stretch still lacks is
    put into its first week, where it serves most of the stretches to come.
    """
    more = np.zeros(len(task.limits.weeks))
    timed = [bound for bound in task.bounds if bound.kind == "days"]
    for bound in sorted(timed, key=lambda bound: (-bound.first, bound.last)):
        asked = grafts[list(bound.members)].sum()
        more[bound.first] += max(0.0, asked - bound.most - more[bound.first : bound.last + 1].sum())
    used = np.flatnonzero(more > 0.5)
    return (int(used[0]), int(used[-1])) if used.size else (-1, -1)


def _weeks_outside(task: Task, combination: int, grafts: FloatArray) -> tuple[int, int]:
    """The weeks outside its window that a combination needs, the window widened step by step."""
    for weeks in range(1, len(task.limits.weeks)):
        wider = _widened(task, combination, weeks)
        whole = [int(number) for number in grafts[: len(wider.sources)]]
        made = grafts_by_week(whole, wider.sources, task.limits.grafts_a_week)
        if made.sum() < sum(whole):
            continue
        used = {
            week
            for place in range(len(wider.sources))
            if wider.made[place] == combination
            for week in np.flatnonzero(made[place]).tolist()
            if not _own_window(task, combination, week)
        }
        return (min(used), max(used)) if used else (-1, -1)
    return -1, -1


def _own_window(task: Task, combination: int, week: int) -> bool:
    return any(
        source.first_week <= week <= source.last_week
        for source, made in zip(task.sources, task.made, strict=True)
        if made == combination
    )


def _together(task: Task, plan: Plan, nodes: int) -> tuple[list[Grown], bool]:
    """The least growth of wood, understock and grafts a week that meets every target."""
    places = [place for place, bound in enumerate(task.bounds) if bound.kind != "days"]
    programme = Programme(task, places, days=True, nodes=nodes, gap=_GAP)
    plants = programme.of_plants(range(len(task.combinations)))
    programme.hold(plants, HAIR - float(sum(task.wanted)))
    growth = programme.of_growth()
    fewest = programme.least(growth, programme.met_regardless())
    first, last = weeks_of_growth(task, fewest.x)
    gained = float(sum(task.wanted)) - plan.counted
    grown = [
        (bound.kind, bound.name, bound.wood, round(fewest.x[programme.growth + column]), -1, -1)
        for column, bound in enumerate(task.bounds[place] for place in programme.lifted)
    ]
    grown.append(("days", "", "", round(fewest.x[programme.weeks :].sum()), first, last))
    rows = [
        Grown(
            kind=kind,
            name=name,
            wood=wood,
            more=more,
            gained=gained,
            meets_all=True,
            alone=False,
            first=start,
            last=end,
        )
        for kind, name, wood, more, start, end in grown
        if more
    ]
    return rows, fewest.proven
