"""The spread between seasons, carried over from take and kept share to saleable plants."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special

from takestats.models.grouped_seasons import OWN_SCALE, POOLED_SCALE
from takestats.order.past_seasons import past_seasons
from takestats.order.season_spread import saleable_scale
from takestats.wording.order_notes import saleable_spread_note
from tests.order.small_orders import order, records

MANY = 1e9  # so many plants that the half plant added does not count


@pytest.mark.parametrize(("take", "kept"), [(0.9, 0.92), (0.6, 0.98), (0.97, 0.6), (0.5, 0.5)])
def test_drawn_seasons_move_the_product_as_told(take: float, kept: float) -> None:
    # Recomputed by drawing: both shares move by their own normal step, and the spread of the log
    # odds of their product is counted. A small step, for the formula is of first order: what
    # remains is the error of 400,000 draws (.11 % of a standard deviation, taken four times).
    step, draws = 0.02, np.random.default_rng(1).standard_normal((2, 400_000))
    shares = special.expit(special.logit([[take], [kept]]) + step * draws)
    counted = float(np.std(special.logit(shares[0] * shares[1]))) / step
    told = saleable_scale(MANY, MANY * take, MANY * take * kept, scale=1.0)
    assert told == pytest.approx(counted, rel=5e-3)


@given(take=st.floats(0.01, 1.0), kept=st.floats(0.01, 1.0))
def test_it_never_vanishes_and_is_alike_in_take_and_kept_share(take: float, kept: float) -> None:
    one = saleable_scale(MANY, MANY * take, MANY * take * kept)
    other = saleable_scale(MANY, MANY * kept, MANY * kept * take)
    assert one == pytest.approx(other, rel=1e-6)
    # The two steps add to 1 or more, so their squares to one half or more; both moved at small
    # shares, where log odds are logs, make it root two.
    assert OWN_SCALE / math.sqrt(2.0) - 1e-6 <= one <= OWN_SCALE * math.sqrt(2.0) + 1e-6


def test_none_lost_at_all_is_no_share_that_never_moves() -> None:
    assert saleable_scale(30, 30, 30) == pytest.approx(OWN_SCALE / math.sqrt(2.0), abs=0.006)
    assert saleable_scale(30, 0, 0) > 0.0


def test_each_combination_by_itself_has_the_scale_of_its_own_plants() -> None:
    past = past_seasons(records(combinations=2, seasons=2))
    sums = past.graded.groupby("combination")[["tried", "taken", "saleable"]].sum()
    assert not any(share.pooled for share in past.sold.values())
    assert {name: share.scale for name, share in past.sold.items()} == {
        str(name): saleable_scale(*row)
        for name, row in zip(sums.index, sums.to_numpy(), strict=True)
    }
    # Takes, and what is kept of them, stand as they were.
    assert {share.scale for share in (*past.takes.values(), *past.kept.values())} == {OWN_SCALE}


def test_the_notes_say_where_the_smaller_number_comes_from() -> None:
    notes = order(combinations=2).notes
    assert saleable_spread_note(OWN_SCALE) in notes
    told = next(note for note in notes if note.startswith("Saleable of grafts made: "))
    assert "half-normal with scale 0.37 to 0.38 in log odds" in told
    assert saleable_spread_note(OWN_SCALE) not in order(combinations=5).notes


def test_pooled_seasons_speak_for_themselves() -> None:
    past = past_seasons(records(combinations=5))
    assert {share.scale for share in past.sold.values()} == {POOLED_SCALE}
