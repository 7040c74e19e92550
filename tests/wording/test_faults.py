from __future__ import annotations

import pytest

from takestats.wording.faults import FAULTS, fault_text
from takestats.wording.first_faults import first_faults


@pytest.mark.parametrize("code", sorted(FAULTS))
def test_every_fault_has_a_rule_and_a_next_step(code: str) -> None:
    text = FAULTS[code]
    assert text.kind in ("error", "query")
    assert text.rule.endswith(".")
    assert text.next_step


def test_words_are_filled_in() -> None:
    text = fault_text("negative", column="taken")
    assert text.rule == "Taken cannot be below zero."


def test_a_long_list_is_cut_and_says_so() -> None:
    assert first_faults(["a", "b"], 3) == "a\n  b\n  and 3 more"
    assert first_faults(["a"], 0) == "a"
