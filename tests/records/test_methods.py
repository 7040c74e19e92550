from __future__ import annotations

import pytest

from takestats.records.methods import AMBIGUOUS, METHODS, method_key, read_method


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        ("Cleft", "cleft"), ("cleft graft", "cleft"), ("Cleft grafting", "cleft"), ("V", "cleft"),
        ("side-veneer", "side veneer"), ("SV", "side veneer"), ("Side Veneer Graft", "side veneer"),
        ("W&T", "whip-and-tongue"), ("whip and tongue", "whip-and-tongue"),
        ("plain whip", "splice"), ("chip budding", "chip bud"), ("T budding", "T-bud"),
        ("t-bud", "T-bud"), ("side tongue", "side cleft"), ("top wedge", "wedge"),
        ("rind grafting", "bark"), ("short-tongue", "side"), ("4-flap", "four-flap"),
    ],
)  # fmt: skip
def test_synonyms_come_to_the_trade_word(typed: str, word: str) -> None:
    assert read_method(typed, {}).text == word


@pytest.mark.parametrize("typed", ["whip", "Whip grafting", "side", "side graft", "veneer",
                                   "tongue", "budding", "graft", "bud"])  # fmt: skip
def test_an_ambiguous_word_is_asked_about(typed: str) -> None:
    read = read_method(typed, {})
    assert read.text is None
    assert read.fault == "ambiguous_method"
    # each word to choose from can be typed as it stands
    assert all(read_method(choice, {}).text in METHODS for choice in read.choices)


def test_the_nurserys_own_word_wins() -> None:
    assert read_method("whip", {"whip": "splice"}).text == "splice"
    assert read_method("Whip graft", {"whip": "splice"}).text == "splice"
    assert read_method("splice", {"whip": "splice"}).text == "splice"
    assert read_method("side", {"side": "side"}).text == "side"


def test_a_slip_of_the_pen_is_asked_about_and_a_new_word_kept() -> None:
    assert read_method("clefft", {}).choices == ("cleft",)
    assert read_method("clefft", {}).fault == "method_near"
    kept = read_method("Zigzag  lock", {})
    assert (kept.text, kept.fault) == ("Zigzag lock", "own_method")


def test_no_word_is_read_in_two_ways() -> None:
    seen: dict[str, str] = {}
    for word, others in METHODS.items():
        for form in (word, *others):
            key = method_key(form)
            if key not in AMBIGUOUS:
                assert seen.setdefault(key, word) == word, form
