"""How many grafts of each source make most plants within the limits?"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from takestats.order.given_limits import Task, wood_rank

if TYPE_CHECKING:
    from numpy.typing import NDArray

    FloatArray = NDArray[np.float64]

HAIR = 1e-5
"""Of a plant: what an earlier aim may give way by while a later one is sought."""

MET = 1e-4
"""Of a plant: a target missed by less is met. The solver keeps its rows to a millionth each."""

MOST_NODES = 1_000
"""Branches the solver may look at for one aim. A count and not a clock: the same on any machine."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Found:
    """Whole grafts and growths that serve an aim best, or best so far.

    ``bound`` is what the aim cannot fall below; ``proven`` says that it was reached.
    """

    x: FloatArray
    value: float
    bound: float
    proven: bool


class Programme:
    """Grafts of each source in whole numbers, plants of each combination, limits as rows.

    Columns: grafts of each source; plants of each combination, none above its target; then by how
    much each lifted limit grows (of ``days``: one column for each week).

    Parameters
    ----------
    task : Task
    lifted : collection of int
        Places in ``task.bounds`` of limits of wood and understock that may grow.
    days : bool
        Whether each week may hold more grafts.
    nodes : int
        Branches to look at, at most, for one aim.
    gap : float
        Share of an aim that may be left unproven.
    """

    def __init__(
        self,
        task: Task,
        lifted: Collection[int] = (),
        *,
        days: bool = False,
        nodes: int,
        gap: float = 0.0,
    ) -> None:
        self.task, self.nodes, self.gap = task, nodes, gap
        self.lifted = tuple(sorted(lifted))
        self.n_sources, self.n_plants = len(task.sources), len(task.combinations)
        self.growth = self.n_sources + self.n_plants
        self.weeks = self.growth + len(self.lifted)
        self.n = self.weeks + (len(task.limits.weeks) if days else 0)
        self.rate = np.array([source.saleable_per_graft for source in task.sources])
        self.made = np.array(task.made)
        self.wanted = np.array(task.wanted, dtype=float)
        self._rows: list[FloatArray] = []
        self._most: list[float] = []
        for i in range(self.n_plants):
            row = self._blank()
            row[: self.n_sources] = -self.rate * (self.made == i)
            row[self.n_sources + i] = 1.0
            self.hold(row, 0.0)
        for place, bound in enumerate(task.bounds):
            row = self._blank()
            row[list(bound.members)] = 1.0
            if place in self.lifted:
                row[self.growth + self.lifted.index(place)] = -1.0
            if days and bound.kind == "days":
                row[self.weeks + bound.first : self.weeks + bound.last + 1] = -1.0
            self.hold(row, float(bound.most))
        enough = np.ceil(self.wanted[self.made] / self.rate)
        self._upper = np.full(self.n, enough.sum())
        self._upper[: self.n_sources] = enough
        self._upper[self.n_sources : self.growth] = self.wanted
        self._whole = np.ones(self.n, dtype=np.int64)
        self._whole[self.n_sources : self.growth] = 0

    def _blank(self) -> FloatArray:
        return np.zeros(self.n)

    def of_grafts(self, weights: Sequence[float] | FloatArray) -> FloatArray:
        """An aim that counts grafts of each source with a weight."""
        row = self._blank()
        row[: self.n_sources] = weights
        return row

    def of_plants(self, counted: Collection[int]) -> FloatArray:
        """An aim, to be made least, of minus the plants of these combinations."""
        row = self._blank()
        row[[self.n_sources + i for i in counted]] = -1.0
        return row

    def of_growth(self) -> FloatArray:
        """An aim that counts what the lifted limits grow by."""
        row = self._blank()
        row[self.growth :] = 1.0
        return row

    def hold(self, row: FloatArray, most: float) -> None:
        """From here on keep this sum at or below so much."""
        self._rows.append(row)
        self._most.append(most)

    def plants(self, x: FloatArray) -> FloatArray:
        """Plants of each combination to count on, more than wanted where whole grafts make more."""
        grown = self.rate * x[: self.n_sources]
        return np.bincount(self.made, grown, self.n_plants).astype(float)

    def estimate(self, aim: FloatArray) -> float:
        """The least of the aim when part of a graft could be made: never above the true least."""
        return float(self._solved(aim, whole=False).fun)

    def rounded_down(self, aim: FloatArray) -> FloatArray:
        """Whole grafts within the limits, near the best: every limit only counts grafts."""
        return self._settled(np.floor(self._solved(aim, whole=False).x + 1e-9))

    def met_regardless(self) -> FloatArray:
        """Every target met from the source with the best take, each limit grown as it must be.

        Only where all limits of wood and understock are lifted, and those of days.
        """
        x = self._blank()
        for i in range(self.n_plants):
            own = np.flatnonzero(self.made == i)
            best = own[np.argmax(self.rate[own])]
            x[best] = np.ceil(self.wanted[i] / self.rate[best])
        for column, place in enumerate(self.lifted):
            bound = self.task.bounds[place]
            over = x[list(bound.members)].sum() - bound.most
            x[self.growth + column] = max(0.0, over)
        x[self.weeks :] = x[: self.n_sources].sum()
        return self._settled(x)

    def least(self, aim: FloatArray, otherwise: FloatArray) -> Found:
        """The least of the aim, with what is held; ``otherwise`` when nothing better is found.

        Where parts of a graft are allowed and the best has none, it is the best in whole grafts.
        """
        parts = self._solved(aim, whole=False)
        if parts.status == 0 and self._is_whole(parts.x) and self._holds(self._settled(parts.x)):
            x = self._settled(parts.x)
            return Found(x=x, value=float(aim @ x), bound=float(aim @ x), proven=True)
        solved = self._solved(aim, whole=True)
        bound = -np.inf if solved.mip_dual_bound is None else float(solved.mip_dual_bound)
        if solved.x is not None:
            x = self._settled(solved.x)
            value = float(aim @ x)
            if self._holds(x) and value <= aim @ otherwise + HAIR:
                proven = bool(solved.status == 0)
                return Found(x=x, value=value, bound=min(bound, value), proven=proven)
        value = float(aim @ otherwise)
        return Found(x=otherwise, value=value, bound=min(bound, value), proven=False)

    def _solved(self, aim: FloatArray, *, whole: bool) -> Any:
        return milp(
            aim,
            integrality=self._whole if whole else np.zeros(self.n, dtype=np.int64),
            bounds=Bounds(0.0, self._upper),
            constraints=LinearConstraint(
                csr_array(np.array(self._rows)), -np.inf, np.array(self._most)
            ),
            options={"mip_rel_gap": self.gap, "node_limit": self.nodes},
        )

    def _is_whole(self, x: FloatArray) -> bool:
        whole = x[self._whole > 0]
        return bool(np.all(np.abs(whole - np.rint(whole)) < 1e-7))

    def _settled(self, x: FloatArray) -> FloatArray:
        """Grafts made whole, and plants worked out anew from them."""
        out = np.rint(x)
        out[self.n_sources : self.growth] = np.minimum(self.wanted, self.plants(out))
        return out

    def _holds(self, x: FloatArray) -> bool:
        return bool(np.all(np.array(self._rows) @ x <= np.array(self._most) + MET))


@dataclass(frozen=True, eq=False, kw_only=True)
class Plan:
    """Grafts of each source and the plants to count on.

    ``at_most`` is the most plants (up to the targets) that any plan could give; ``proven`` says
    whether every aim was followed to its end.
    """

    grafts: tuple[int, ...]
    plants: FloatArray
    counted: float
    at_most: float
    proven: bool
    x: FloatArray


def ranks(task: Task) -> list[tuple[int, ...]]:
    """Combinations by priority, the first to be served first."""
    return [
        tuple(i for i, rank in enumerate(task.priorities) if rank == level)
        for level in sorted(set(task.priorities))
    ]


def most_plants(task: Task, *, least: str, nodes: int) -> Plan:
    """Most plants first; then fewest grafts (or least cost), terminal wood, first listed.

    Parameters
    ----------
    task : Task
    least : {"grafts", "cost"}
        What is saved once no more plants can be had.
    nodes : int
    """
    programme = Programme(task, nodes=nodes)
    everything = programme.of_plants(range(len(task.combinations)))
    x = programme.rounded_down(everything)
    proven, at_most = True, 0.0
    for level in ranks(task):
        aim = programme.of_plants(level)
        found = programme.least(aim, x)
        x, proven, at_most = found.x, proven and found.proven, at_most - found.bound
        programme.hold(aim, found.value + HAIR)
    grafts = programme.of_grafts(np.ones(programme.n_sources))
    costs = programme.of_grafts([source.cost_per_graft for source in task.sources])
    late = programme.of_grafts([wood_rank(source.wood) for source in task.sources])
    listed = programme.of_grafts(np.arange(programme.n_sources, dtype=float))
    for aim in (*((costs,) if least == "cost" else ()), grafts, late, listed):
        if not aim.any():
            continue
        found = programme.least(aim, x)
        x, proven = found.x, proven and found.proven
        programme.hold(aim, found.value + HAIR)
    plants = programme.plants(x)
    counted = float(np.minimum(programme.wanted, plants).sum())
    return Plan(
        grafts=tuple(int(number) for number in x[: programme.n_sources]),
        plants=plants,
        counted=counted,
        at_most=max(counted, min(at_most, float(programme.wanted.sum()))),
        proven=proven,
        x=x,
    )
