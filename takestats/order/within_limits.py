"""Where wood, understock or days run out: what is the most that can be made, and what is short?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np
import pandas as pd

from takestats.errors import CountsError
from takestats.models.result import TableResult
from takestats.order.checked_limits import checked_task
from takestats.order.given_limits import Limits, Source, Task
from takestats.order.grafting_weeks import grafts_by_week
from takestats.order.lifted_limits import Growth, what_would_have_to_grow
from takestats.order.most_plants import MET, MOST_NODES, Plan, most_plants
from takestats.wording import order_limit_notes as notes
from takestats.wording import order_limit_refusals as refusals
from takestats.wording import order_limits as words

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Fitted", "Limits", "Source", "fit_within"]


@dataclass(frozen=True, eq=False, kw_only=True)
class Fitted(TableResult):
    """What can be made within the limits.

    ``table``: combination, wood, understock, week, grafts, saleable (plants to count on).

    Parameters
    ----------
    met : bool
        Whether every target is met.
    stopped : bool
        The solver stopped at its limit: what is told can be made, a little more perhaps could.
    at_most : float
        Plants, up to the targets, that no plan within the limits can exceed.
    """

    _combinations: pd.DataFrame
    _limits: pd.DataFrame
    _lifted: pd.DataFrame
    met: bool
    stopped: bool
    at_most: float

    @property
    def combinations(self) -> pd.DataFrame:
        """Combination, priority, wanted, saleable, short, grafts, trays, cost, limits.

        ``saleable`` are plants to count on, ``short`` those missing from the target; ``limits``
        are the limits in the way, of wood, understock, days and window, in words.
        """
        return self._combinations.copy()

    @property
    def limits(self) -> pd.DataFrame:
        """Kind (wood, understock, days), name, wood, most, used, left; a row of days is a week."""
        return self._limits.copy()

    @property
    def lifted(self) -> pd.DataFrame:
        """Kind, name, wood, more, weeks, plants_gained, meets_all, alone.

        With one limit lifted (``alone``), how much more of it brings how many plants; else what
        has to grow together so that every target is met.
        """
        return self._lifted.copy()


def fit_within(
    sources: Iterable[Source],
    wanted: Mapping[str, int],
    limits: Limits,
    *,
    priorities: Mapping[str, int] | None = None,
    least: Literal["grafts", "cost"] = "grafts",
    most_nodes: int = MOST_NODES,
) -> Fitted:
    """I have not wood, understock and days enough: what is the best I can do with them?

    Parameters
    ----------
    sources : iterable of Source
        Every way to make every combination that is wanted.
    wanted : mapping of str to int
        Saleable plants of each combination.
    limits : Limits
        What is at hand.
    priorities : mapping of str to int, optional
        1 is served first, then 2; 1 where nothing is said.
    least : {"grafts", "cost"}
        What is saved among plans with equally many plants.
    most_nodes : int
        Branches the solver may look at for one aim: a count and not a clock, so that the answer
        is the same on a slow machine.

    Returns
    -------
    Fitted
        ``table``, ``combinations``, ``limits`` and ``lifted``; ``in_words()`` says what is short
        and which limit would have to grow, by how much.

    Raises
    ------
    CountsError
        For targets, sources or limits that cannot be used.

    Notes
    -----
    Integer linear programming in stages. First most plants: the sum over combinations of the
    plants to count on, none above its target, rank by rank where there are priorities. With
    these held: fewest grafts (or least cost); with those held: terminal wood before sub-terminal
    before basal; then the combination first listed; then each graft as early as its window
    allows. Plants count in parts (7.7 from 11 grafts at 0.7); grafts are whole.

    It fails where plants to count on are not in proportion to grafts: the lower limit of a few
    grafts lies further down than that of many. And every combination may be met at its own lower
    limit in nine seasons of ten while all of them together are met in fewer.

    References
    ----------
    Branch and bound: Land & Doig 1960, Econometrica 28:497-520; aims one after another:
    lexicographic goal programming, Charnes & Cooper 1961. Both from memory.

    Examples
    --------
    >>> one = Source(combination="A on B", wood="terminal", understock="B",
    ...              saleable_per_graft=0.5, first_week=0, last_week=1)
    >>> limits = Limits(weeks=("week 1", "week 2"), grafts_a_week=(30, 30),
    ...                 pieces={("A", "terminal"): 40}, understocks={"B": None})
    >>> found = fit_within([one], {"A on B": 25}, limits)
    >>> found.met, found.table["grafts"].tolist()
    (False, [30, 10])
    >>> found.lifted[["kind", "more", "plants_gained"]].values.tolist()[0]
    ['wood', 10, 5.0]
    """
    if least not in ("grafts", "cost"):
        raise CountsError(**refusals.least_of_what(least))
    task = checked_task(sources, wanted, limits, priorities)
    plan = most_plants(task, least=least, nodes=most_nodes)
    weeks = grafts_by_week(plan.grafts, task.sources, task.limits.grafts_a_week)
    growth = what_would_have_to_grow(task, plan, nodes=most_nodes)
    combinations = _combinations(task, plan, weeks)
    lifted = _lifted(task, growth)
    met = plan.counted >= sum(task.wanted) - MET
    stopped = not (plan.proven and growth.proven)
    told = words.Told(
        wanted=sum(task.wanted),
        counted=plan.counted,
        grafts=sum(plan.grafts),
        weeks=int((weeks.sum(axis=0) > 0).sum()),
        met=met,
        short=tuple(
            (str(row["combination"]), int(row["wanted"]), float(row["short"]), str(row["limits"]))
            for row in combinations.to_dict("records")
            if row["short"] > 0.0
        ),
        lifted=tuple({str(k): v for k, v in row.items()} for row in lifted.to_dict("records")),
        left=growth.left,
        at_most=None if plan.proven else plan.at_most,
        stopped=stopped,
    )
    return Fitted(
        _table=_table(task, weeks),
        notes=(
            *notes.method_notes(
                least,
                ranked=len(set(task.priorities)) > 1,
                several=len(task.combinations) > 1,
                tray_size=task.limits.tray_size,
            ),
            *notes.together_notes(told=any(not row.alone for row in growth.rows)),
            *task.notes,
        ),
        sentences=words.fitted_sentences(told),
        _combinations=combinations,
        _limits=_limits(task, plan, weeks),
        _lifted=lifted,
        met=met,
        stopped=stopped,
        at_most=plan.at_most,
    )


def _table(task: Task, weeks: NDArray[np.int64]) -> pd.DataFrame:
    places = [(int(week), int(place)) for week, place in np.argwhere(weeks.T > 0)]
    made = [task.sources[place] for _, place in places]
    grafts = [int(weeks[place, week]) for week, place in places]
    return pd.DataFrame(
        {
            "combination": [source.combination for source in made],
            "wood": [source.wood for source in made],
            "understock": [source.understock for source in made],
            "week": [task.limits.weeks[week] for week, _ in places],
            "grafts": grafts,
            "saleable": [
                source.saleable_per_graft * number
                for source, number in zip(made, grafts, strict=True)
            ],
        }
    )


def _combinations(task: Task, plan: Plan, weeks: NDArray[np.int64]) -> pd.DataFrame:
    grafts = np.array(plan.grafts)
    costs = np.array([source.cost_per_graft for source in task.sources])
    rows = []
    for i, name in enumerate(task.combinations):
        own = np.flatnonzero(np.array(task.made) == i)
        missing = task.wanted[i] - float(plan.plants[i])
        short = missing if missing > MET else 0.0
        size = task.limits.tray_size
        rows.append(
            {
                "combination": name,
                "priority": task.priorities[i],
                "wanted": task.wanted[i],
                "saleable": float(plan.plants[i]),
                "short": short,
                "grafts": int(grafts[own].sum()),
                "trays": np.nan if size is None else float(np.ceil(grafts[own] / size).sum()),
                "cost": float((costs[own] * grafts[own]).sum()) if costs[own].any() else np.nan,
                "limits": ", ".join(_in_the_way(task, plan, weeks, own)) if short else "",
            }
        )
    return pd.DataFrame(rows)


def _in_the_way(
    task: Task, plan: Plan, weeks: NDArray[np.int64], own: NDArray[np.intp]
) -> list[str]:
    """Which kinds of limit leave no room for one more graft of these sources."""
    kinds = set()
    room = np.array(task.limits.grafts_a_week) - weeks.sum(axis=0)
    for bound in task.bounds:
        if sum(plan.grafts[i] for i in bound.members) < bound.most:
            continue
        held = [place for place in own if place in bound.members]
        if held:
            kinds.add(bound.kind)
        if bound.kind == "days" and any(_room_outside(task, place, room) for place in held):
            kinds.add("window")
    return [kind for kind in ("wood", "understock", "days", "window") if kind in kinds]


def _room_outside(task: Task, place: int, room: NDArray[np.int64]) -> bool:
    source = task.sources[place]
    return bool(room[: source.first_week].any() or room[source.last_week + 1 :].any())


def _limits(task: Task, plan: Plan, weeks: NDArray[np.int64]) -> pd.DataFrame:
    rows: list[tuple[str, str, str, int, int]] = [
        (bound.kind, bound.name, bound.wood, bound.most, sum(plan.grafts[i] for i in bound.members))
        for bound in task.bounds
        if bound.kind != "days"
    ]
    rows.extend(
        ("days", label, "", most, int(used))
        for label, most, used in zip(
            task.limits.weeks, task.limits.grafts_a_week, weeks.sum(axis=0), strict=True
        )
    )
    table = pd.DataFrame(rows, columns=["kind", "name", "wood", "most", "used"])
    return table.assign(left=table["most"] - table["used"])


def _lifted(task: Task, growth: Growth) -> pd.DataFrame:
    labels = task.limits.weeks
    return pd.DataFrame(
        [
            {
                "kind": row.kind,
                "name": row.name,
                "wood": row.wood,
                "more": row.more,
                "weeks": ""
                if row.first < 0
                else words.stretch(labels[row.first], labels[row.last]),
                "plants_gained": row.gained,
                "meets_all": row.meets_all,
                "alone": row.alone,
            }
            for row in growth.rows
        ],
        columns=["kind", "name", "wood", "more", "weeks", "plants_gained", "meets_all", "alone"],
    )
