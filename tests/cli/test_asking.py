"""Are questions asked in order, only as far as they matter, until the answer can be used?"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

from takestats.cli.asking import ask_all, ask_until_usable
from takestats.errors import SettingsError


def answers(*given: str) -> Callable[[str, str], str]:
    left = list(given)
    return lambda question, default: left.pop(0) or default


def whole(typed: str) -> int:
    if not typed.isdecimal():
        raise SettingsError(where="--n", what=f'"{typed}"', rule="A number.", next_step="Type 3.")
    return int(typed)


def test_it_asks_again_and_says_why(capsys: pytest.CaptureFixture[str]) -> None:
    assert ask_until_usable("How many?", "", whole, ask=answers("x", "3")) == "3"
    assert capsys.readouterr().out == '  "x": A number. Type 3.\n'


def test_options_are_checked_and_not_asked_and_idle_questions_are_left_out() -> None:
    seen: list[tuple[str, dict[str, str]]] = []

    def check(key: str, typed: str, so_far: Mapping[str, str]) -> None:
        seen.append((key, dict(so_far)))

    found = ask_all(
        {"b": "two"},
        keys=("a", "b", "c", "d"),
        words={"a": "A?", "c": "C?", "d": "D?"},
        still_asked=lambda key, so_far: key != "c" or so_far["b"] != "two",
        default=lambda key, so_far: f"default {key}",
        check=check,
        ask=answers("", "four"),
    )
    assert found == {"a": "default a", "b": "two", "d": "four"}
    assert seen == [
        ("a", {}),
        ("b", {"a": "default a"}),
        ("d", {"a": "default a", "b": "two"}),
    ]


def test_an_option_that_cannot_be_used_stops_at_once() -> None:
    with pytest.raises(SettingsError):
        ask_all(
            {"n": "x"},
            keys=("n",),
            words={},
            still_asked=lambda key, so_far: True,
            default=lambda key, so_far: "",
            check=lambda key, typed, so_far: whole(typed),
            ask=answers(),
        )
