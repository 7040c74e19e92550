"""What a two-stage rule says of the grafts made so far."""

from __future__ import annotations

import pytest

import takestats as ts
from takestats.planning.so_far import read_so_far

RULE = ts.two_stage(0.7, 0.9)  # drop at 4 of 6, give up at 22 of 27


@pytest.mark.parametrize(
    ("taken", "grafted", "settled", "told"),
    [
        (6, 6, False, "6 of 6 grafts took: this count is not final: wait for the settled count."),
        (3, 4, True, "3 of 4 grafts took: the first stage is 6 grafts: complete it."),
        (1, 4, True, "1 of 4 grafts took: drop the combination."),
        (4, 6, True, "4 of 6 grafts took: drop the combination."),
        (5, 6, True, "5 of 6 grafts took: go on to 27 grafts in all."),
        (18, 20, True, "18 of 20 grafts took: go on to 27 grafts in all."),
        (23, 25, True, "23 of 25 grafts took: keep it."),
        (
            15,
            20,
            True,
            "15 of 20 grafts took: give it up: what is left cannot reach the cut.",
        ),
        (22, 27, True, "22 of 27 grafts took: give it up."),
        (23, 27, True, "23 of 27 grafts took: keep it."),
    ],
)
def test_the_rule_is_read(taken: int, grafted: int, settled: bool, told: str) -> None:
    assert read_so_far(RULE, taken, grafted, settled=settled).sentence == told


def test_more_grafts_than_the_rule_has_are_refused() -> None:
    with pytest.raises(ts.DesignError) as caught:
        read_so_far(RULE, 30, 40, settled=True)
    assert str(caught.value) == (
        "grafted: 40 grafts, the rule has 27\n"
        "  Rule: the rule's chances hold for its own numbers of grafts only\n"
        "  Next: read the take with its interval (take_rates) instead of the rule"
    )
