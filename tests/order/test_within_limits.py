"""Most plants within limits: against every plan counted out, and what is told of it."""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from takestats.order.checked_limits import checked_task
from takestats.order.grafting_weeks import grafts_by_week
from takestats.order.lifted_limits import WORKED_OUT
from takestats.order.most_plants import MOST_NODES, most_plants
from takestats.order.within_limits import Limits, Source, fit_within
from tests.order.counted_plans import PARTS, Order, best, counted, every_plan, in_order, orders


# The source of truth is enumeration: every plan, week by week, in whole numbers.
@settings(max_examples=200)
@given(orders(), st.sampled_from(["grafts", "cost"]), st.booleans())
def test_it_is_the_best_of_every_plan_aim_by_aim(order: Order, least, ranked: bool) -> None:
    task = checked_task(
        order.sources, order.wanted, order.limits, order.priorities if ranked else None
    )
    found = most_plants(task, least=least, nodes=MOST_NODES)
    weeks = grafts_by_week(found.grafts, task.sources, order.limits.grafts_a_week)
    mine = weeks[[task.sources.index(source) for source in order.sources]][None].astype(np.int8)
    plans = every_plan(order)
    assert (plans == mine).all(axis=(1, 2)).any(), "a plan beyond the limits"
    wanted = best(in_order(order, plans, least=least, ranked=ranked))
    assert tuple(int(a[0]) for a in in_order(order, mine, least=least, ranked=ranked)) == wanted
    assert found.counted == pytest.approx(counted(order, mine).sum() / PARTS, abs=1e-9)
    assert found.proven


@settings(max_examples=15)
@given(orders())
def test_the_tables_tell_the_plan(order: Order) -> None:
    found = fit_within(order.sources, order.wanted, order.limits)
    plan = np.zeros((1, len(order.sources), len(order.limits.weeks)), dtype=np.int8)
    places = {(s.combination, s.wood, s.understock): i for i, s in enumerate(order.sources)}
    for row in found.table.to_dict("records"):
        place = places[row["combination"], row["wood"], row["understock"]]
        plan[0, place, order.limits.weeks.index(row["week"])] += row["grafts"]
    plants = counted(order, plan)[0] / PARTS
    lack = np.array([*order.wanted.values()]) - plants
    assert found.combinations["short"].to_numpy() == pytest.approx(lack, abs=1e-9)
    assert found.combinations["grafts"].sum() == plan.sum()
    assert found.met == (not lack.any())
    assert (found.combinations["limits"] != "").to_list() == (lack > 0).tolist()
    assert (found.limits["left"] >= 0).all()
    assert not found.stopped


def most(order: Order, **raised: object) -> int:
    return int(counted(order, every_plan(order, **raised)).sum(axis=1).max())


@settings(max_examples=30)
@given(orders())
def test_a_lifted_limit_grows_by_the_least_that_brings_the_most(order: Order) -> None:
    found = fit_within(order.sources, order.wanted, order.limits)
    now = most(order)
    told = found.lifted[found.lifted["alone"] & found.lifted["kind"].isin(["wood", "understock"])]
    rows = {(r["kind"], r["name"], r["wood"]): r for r in told.to_dict("records")}
    limits = [("wood", *key, n) for key, n in order.limits.pieces.items() if n is not None]
    limits += [
        ("understock", n, "", k) for n, k in order.limits.understocks.items() if k is not None
    ]
    full = found.limits[found.limits["left"] == 0]
    full_keys = set(zip(full["kind"], full["name"], full["wood"], strict=True))
    for kind, name, wood, at_hand in limits:
        # Beyond the grafts of all weeks no limit counts any more.
        plants = []
        for more in range(sum(order.limits.grafts_a_week) + 1):
            if kind == "wood":
                raised = {"pieces": {**order.limits.pieces, (name, wood): at_hand + more}}
            else:
                raised = {"understocks": {**order.limits.understocks, name: at_hand + more}}
            plants.append(most(order, **raised))
        row = rows.get((kind, name, wood))
        if row is None:
            # With some of it left over nothing is lifted: a whole graft may be in the way.
            assert plants[-1] == now or (kind, name, wood) not in full_keys
            continue
        assert row["plants_gained"] == pytest.approx((plants[-1] - now) / PARTS, abs=1e-6)
        assert row["more"] == plants.index(plants[-1])
        assert row["meets_all"] == (plants[-1] == PARTS * sum(order.wanted.values()))


@settings(max_examples=15)
@given(orders())
def test_what_grows_together_is_enough_and_the_order_given_does_not_matter(order: Order) -> None:
    found = fit_within(order.sources, order.wanted, order.limits)
    again = fit_within(order.sources[::-1], order.wanted, order.limits)
    assert found.table.equals(again.table)
    assert found.lifted.equals(again.lifted)
    assert found.in_words() == again.in_words()
    if found.met:
        assert found.lifted.empty
        return
    rows = found.lifted[~found.lifted["alone"]].to_dict("records")
    pieces, stocks = dict(order.limits.pieces), dict(order.limits.understocks)
    grafts = list(order.limits.grafts_a_week)
    for row in rows:
        if row["kind"] == "wood":
            pieces[row["name"], row["wood"]] += row["more"]
        elif row["kind"] == "understock":
            stocks[row["name"]] += row["more"]
        else:
            first = row["weeks"].split(" to ")[0]
            assert row["more"] > 0
            # All of it in every week it was told for is more than enough, never too little.
            for week in range(order.limits.weeks.index(first), len(grafts)):
                grafts[week] += row["more"]
    grown = replace(order.limits, pieces=pieces, understocks=stocks, grafts_a_week=tuple(grafts))
    assert fit_within(order.sources, order.wanted, grown).met


EMBER, LAMP = "Acer rubrum 'Ember' on Acer rubrum", "Hamamelis virginiana 'Last Lamp' on Hamamelis"


def source(combination: str = EMBER, wood: str = "terminal", share: float = 0.5, **more) -> Source:
    given_ = {"understock": "thin", "first_week": 0, "last_week": 2, **more}
    return Source(combination=combination, wood=wood, saleable_per_graft=share, **given_)


def at_hand(**more) -> Limits:
    given_ = {
        "weeks": ("week of 5 January 2026", "week of 12 January 2026", "week of 19 January 2026"),
        "grafts_a_week": (100, 100, 100),
        "pieces": {},
        "understocks": {},
        **more,
    }
    return Limits(**given_)


def test_wood_that_runs_out_is_told_with_what_would_do() -> None:
    limits = at_hand(pieces={("Acer rubrum 'Ember'", "terminal"): 60}, tray_size=24)
    found = fit_within([source()], {EMBER: 50}, limits)
    assert found.in_words() == (
        "Of 50 plants wanted, 30 can be counted on within the limits, with 60 grafts in 1 week. "
        "Short: Acer rubrum 'Ember' on Acer rubrum 20 of 50 (no more wood). One limit at a time, "
        "all else as it is: 40 more terminal pieces of Acer rubrum 'Ember' would bring all that "
        "is short."
    )
    row = found.combinations.iloc[0]
    assert (row["grafts"], row["trays"], row["short"]) == (60, 3.0, 20.0)
    assert any("understock thin" in note and "taken as enough" in note for note in found.notes)


def test_terminal_wood_goes_first_and_sub_terminal_when_it_runs_out() -> None:
    limits = at_hand(pieces={(EMBER, "terminal"): 60, (EMBER, "sub_terminal"): 500})
    found = fit_within([source(), source(wood="sub_terminal", share=0.4)], {EMBER: 50}, limits)
    assert found.met
    assert found.in_words() == (
        "All 50 plants wanted can be counted on within the limits, with 110 grafts in 2 weeks."
    )
    assert found.table.groupby("wood")["grafts"].sum().to_dict() == {
        "terminal": 60,
        "sub_terminal": 50,
    }
    assert found.table["week"].tolist()[0] == "week of 5 January 2026"


def test_two_limits_that_bind_at_once_are_told_to_grow_together() -> None:
    limits = at_hand(pieces={(EMBER, "terminal"): 60}, understocks={"thin": 60})
    found = fit_within([source()], {EMBER: 50}, limits)
    assert found.in_words() == (
        "Of 50 plants wanted, 30 can be counted on within the limits, with 60 grafts in 1 week. "
        "Short: Acer rubrum 'Ember' on Acer rubrum 20 of 50 (no more wood or understock). No one "
        "limit brings another whole plant by itself. To meet every target it takes together: 40 "
        "more terminal pieces of Acer rubrum 'Ember' on Acer rubrum and 40 more understocks thin."
    )
    assert any(note.startswith("What has to grow together is the least") for note in found.notes)


def test_days_and_window_are_told_apart() -> None:
    early = source(last_week=0)
    found = fit_within([early], {EMBER: 80}, at_hand())
    assert found.combinations["limits"].tolist() == ["days, window"]
    assert found.in_words() == (
        "Of 80 plants wanted, 50 can be counted on within the limits, with 100 grafts in 1 week. "
        "Short: Acer rubrum 'Ember' on Acer rubrum 30 of 80 (no more days or window). One limit at "
        "a time, all else as it is: 60 more grafts (week of 5 January 2026) would bring all that "
        "is short; 60 grafts of Acer rubrum 'Ember' on Acer rubrum outside its window (week of 12 "
        "January 2026) would bring all that is short."
    )
    busy = fit_within([source()], {EMBER: 200}, at_hand())
    assert busy.combinations["limits"].tolist() == ["days"]


def test_more_days_are_put_where_they_serve() -> None:
    late = source(LAMP, first_week=2, share=0.5)
    found = fit_within([source(last_week=1), late], {EMBER: 120, LAMP: 60}, at_hand())
    row = found.lifted[found.lifted["alone"] & (found.lifted["kind"] == "days")].iloc[0]
    assert (row["more"], row["plants_gained"]) == (60, 30.0)
    assert row["weeks"] == "week of 5 January 2026 to week of 19 January 2026"


def test_priorities_decide_who_is_short() -> None:
    two = [source(), source(LAMP, share=0.25)]
    limits = at_hand(grafts_a_week=(40, 0, 0))
    plain = fit_within(two, {EMBER: 20, LAMP: 10}, limits).combinations
    assert plain["short"].tolist() == [0.0, 10.0]
    served = fit_within(two, {EMBER: 20, LAMP: 10}, limits, priorities={EMBER: 2}).combinations
    assert served["short"].tolist() == [20.0, 0.0]


def test_the_notes_say_what_it_rests_on() -> None:
    limits = at_hand(pieces={("Acer rubrum 'Embr'", "terminal"): 60}, understocks={"stout": 5})
    found = fit_within(
        [source(), source(LAMP), source(LAMP, "basal", share=0.0)], {EMBER: 10, LAMP: 10}, limits
    )
    assert list(found.notes) == [
        "Found by whole-number programming: most plants up to the targets; with these, fewest "
        "grafts; then terminal wood before sub-terminal, then the combination first listed; then "
        "each graft as early as its window allows.",
        "Plants to count on are grafts times the lower limit that the order was given for each "
        "source; in a usual season there are more.",
        "Most plants in all: a combination that takes less may be left with few or none, unless "
        "it is given priority.",
        "Each combination has a lower limit of its own: that all of them are met in the same "
        "season is less certain than that any one is.",
        "Trays: not recorded, for want of a tray size.",
        "Left aside, under 1 plant to count on in 1,000 grafts: source Hamamelis virginiana 'Last "
        "Lamp' on Hamamelis, basal wood, understock thin.",
        "Not recorded, taken as enough: terminal pieces of Acer rubrum 'Ember' and terminal pieces "
        "of Hamamelis virginiana 'Last Lamp'.",
        "Not recorded, taken as enough: understock thin.",
        "Given, but for nothing that is wanted, so not used: terminal pieces of Acer rubrum 'Embr' "
        "and understock stout.",
    ]


def many(combinations: int = 60, weeks: int = 12) -> tuple[list[Source], dict[str, int], Limits]:
    """A nursery of 60 combinations, three woods and twelve weeks, short of everything."""
    draw = np.random.default_rng(11)
    names = [f"Acer rubrum 'No {i}' on Acer rubrum" for i in range(combinations)]
    wanted = {name: int(draw.integers(20, 200)) for name in names}
    need = sum(wanted.values()) / 0.65
    sources, pieces = [], {}
    for i, name in enumerate(names):
        take, first, last = draw.uniform(0.4, 0.95), int(draw.integers(0, 4)), draw.integers(7, 12)
        for late, wood in enumerate(("terminal", "sub_terminal", "basal")):
            sources.append(
                source(
                    name,
                    wood,
                    float(take * (1 - 0.12 * late)),
                    understock=f"lot {i % 6}",
                    first_week=first,
                    last_week=int(last),
                )
            )
            pieces[name, wood] = int(wanted[name] * draw.uniform(0.3, 1.2))
    limits = Limits(
        weeks=tuple(f"week {i + 1}" for i in range(weeks)),
        grafts_a_week=(int(need / weeks),) * weeks,
        pieces=pieces,
        understocks={f"lot {i}": int(need / 6 * draw.uniform(0.6, 1.1)) for i in range(6)},
        tray_size=24,
    )
    return sources, wanted, limits


def test_sixty_combinations_are_done_in_seconds() -> None:
    started = time.process_time()
    found = fit_within(*many())
    assert time.process_time() - started < 5.0
    assert not found.met
    alone = found.lifted[found.lifted["alone"]]
    assert len(alone) == WORKED_OUT
    assert "further limits with nothing left over were not worked out" in found.in_words()
    assert found.limits["left"].min() == 0


def test_a_search_that_is_stopped_says_so() -> None:
    found = fit_within(*many(8), most_nodes=0)
    assert found.stopped
    assert "The search stopped at its limit before" in found.in_words()
    done = fit_within(*many(8))
    plants = [
        np.minimum(f.combinations["saleable"], f.combinations["wanted"]).sum()
        for f in (found, done)
    ]
    assert plants[0] <= plants[1] + 1e-4 <= found.at_most + 1e-3
    assert (found.limits["left"] >= 0).all()
