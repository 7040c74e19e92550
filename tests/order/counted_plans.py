"""Small orders in whole numbers, and every plan for them counted out one by one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from hypothesis import strategies as st

from takestats.order.within_limits import Limits, Source

COMBINATIONS = ("Ember on A", "Ember on B")
PARTS = 20
"""Plants are counted in twentieths: takes are twentieths, so every sum here is a whole number."""


@dataclass(frozen=True, kw_only=True)
class Order:
    """What is given, takes as twentieths."""

    sources: tuple[Source, ...]
    wanted: dict[str, int]
    limits: Limits
    priorities: dict[str, int]

    def twentieths(self) -> np.ndarray:
        return np.array([round(PARTS * s.saleable_per_graft) for s in self.sources])


@st.composite
def orders(draw: st.DrawFn) -> Order:
    weeks = draw(st.integers(1, 3))
    ways = draw(
        st.lists(
            st.sampled_from([(c, w) for c in (0, 1) for w in ("terminal", "sub_terminal")]),
            min_size=1,
            max_size=4,
            unique=True,
        )
    )
    stocks = draw(st.sampled_from([("lot",), ("thin", "stout")]))
    sources = []
    for c, wood in ways:
        first = draw(st.integers(0, weeks - 1))
        sources.append(
            Source(
                combination=COMBINATIONS[c],
                wood=wood,
                understock=draw(st.sampled_from(stocks)),
                saleable_per_graft=draw(st.integers(4, 19)) / PARTS,
                first_week=first,
                last_week=draw(st.integers(first, weeks - 1)),
                cost_per_graft=float(draw(st.integers(1, 3))),
            )
        )
    named = [c for c in COMBINATIONS if any(s.combination == c for s in sources)]
    few = st.one_of(st.none(), st.integers(0, 5))
    grafts = tuple(draw(st.integers(0, 3)) for _ in range(weeks))
    # Pieces of the scion serve both combinations; those of a combination only one.
    keys = [("Ember", "terminal"), (COMBINATIONS[0], "sub_terminal"), ("Ember", "sub_terminal")]
    return Order(
        sources=tuple(sources),
        wanted={c: draw(st.integers(1, 5)) for c in named},
        limits=Limits(
            weeks=tuple(f"week {i + 1}" for i in range(weeks)),
            grafts_a_week=grafts if any(grafts) else (*grafts[:-1], 2),
            pieces={key: draw(few) for key in keys},
            understocks={stock: draw(few) for stock in stocks},
        ),
        priorities={c: draw(st.integers(1, 2)) for c in named},
    )


@cache
def fillings(ways: int, most: int) -> np.ndarray:
    """Every way to make up to so many grafts from so many sources in one week."""
    grids = np.indices((most + 1,) * ways).reshape(ways, -1).T
    return grids[grids.sum(axis=1) <= most]


def every_plan(
    order: Order,
    *,
    pieces: dict[tuple[str, str], int | None] | None = None,
    understocks: dict[str, int | None] | None = None,
    grafts_a_week: tuple[int, ...] | None = None,
) -> np.ndarray:
    """Every plan within the limits: grafts of (plan, source, week), week by week."""
    pieces = dict(order.limits.pieces) if pieces is None else pieces
    understocks = dict(order.limits.understocks) if understocks is None else understocks
    grafts_a_week = order.limits.grafts_a_week if grafts_a_week is None else grafts_a_week
    n = len(order.sources)
    plans = np.zeros((1, n, 0), dtype=np.int8)
    for week, most in enumerate(grafts_a_week):
        one = fillings(n, most).astype(np.int8)
        closed = [not s.first_week <= week <= s.last_week for s in order.sources]
        one = one[~one[:, closed].any(axis=1)]
        plans = np.concatenate(
            [np.repeat(plans, len(one), axis=0), np.tile(one, (len(plans), 1))[:, :, None]], axis=2
        )
        plans = plans[_within(order, plans.sum(axis=2), pieces, understocks)]
    return plans


def _within(order: Order, totals: np.ndarray, pieces: dict, understocks: dict) -> np.ndarray:
    good = np.ones(len(totals), dtype=bool)
    for (name, wood), most in pieces.items():
        used = [
            s.wood == wood and name in (s.combination, s.combination.split(" on ")[0])
            for s in order.sources
        ]
        if most is not None:
            good &= totals[:, used].sum(axis=1) <= most
    for stock, most in understocks.items():
        if most is not None:
            good &= totals[:, [s.understock == stock for s in order.sources]].sum(axis=1) <= most
    return good


def counted(order: Order, plans: np.ndarray) -> np.ndarray:
    """Twentieths of plants, none above the target, of each plan and combination."""
    totals = plans.sum(axis=2).astype(int) * order.twentieths()
    return np.stack(
        [
            np.minimum(
                PARTS * plants, totals[:, [s.combination == c for s in order.sources]].sum(axis=1)
            )
            for c, plants in order.wanted.items()
        ],
        axis=1,
    )


def in_order(order: Order, plans: np.ndarray, *, least: str, ranked: bool) -> list[np.ndarray]:
    """What is made least, aim after aim, of every plan."""
    plants = counted(order, plans)
    ranks = [order.priorities[c] if ranked else 1 for c in order.wanted]
    totals = plans.sum(axis=2).astype(int)
    late = np.array([s.wood == "sub_terminal" for s in order.sources])
    listed = sorted(
        range(len(order.sources)),
        key=lambda i: (
            list(order.wanted).index(order.sources[i].combination),
            order.sources[i].wood != "terminal",
            order.sources[i].understock,
        ),
    )
    place = np.empty(len(listed), dtype=int)
    place[listed] = np.arange(len(listed))
    costs = totals @ np.array([int(s.cost_per_graft) for s in order.sources])
    aims = [-plants[:, [r == rank for r in ranks]].sum(axis=1) for rank in sorted(set(ranks))]
    aims += [costs] if least == "cost" else []
    weeks = np.arange(plans.shape[2])
    return [*aims, totals.sum(axis=1), totals @ late, totals @ place, plans.sum(axis=1) @ weeks]


def best(aims: list[np.ndarray]) -> tuple[int, ...]:
    """The least of each aim among the plans that are best in all before it."""
    left = np.ones(len(aims[0]), dtype=bool)
    found = []
    for aim in aims:
        found.append(int(aim[left].min()))
        left &= aim == found[-1]
    return tuple(found)
