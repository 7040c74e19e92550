"""Can a tray's code be read when wet, and is one sign misread found out?"""

from __future__ import annotations

import itertools
import re

from takestats.bench.tray_codes import FIGURES, LETTERS, is_tray_code, tray_codes

ALIKE = ("0O", "0D", "0Q", "1I", "1L", "IL", "5S", "8B", "2Z", "6G", "UV", "VY", "MN", "MW", "69")
"""Signs that are taken for each other on wet or worn labels (common practice, no source)."""


def test_no_two_signs_look_alike() -> None:
    used = set(LETTERS + FIGURES)
    assert [pair for pair in ALIKE if used >= set(pair)] == []
    assert not used & set("01258OILSBZ")
    assert LETTERS.isupper()


def test_codes_are_unique_and_right() -> None:
    for number, signs in ((1, 4), (484, 4), (485, 5), (1936, 5), (1937, 6), (10_000, 6)):
        codes = tray_codes(number)
        assert len(set(codes)) == number
        assert {len(code) for code in codes} == {signs}
        assert all(map(is_tray_code, codes[:500]))


def test_one_sign_misread_is_no_code() -> None:
    for code in [*tray_codes(484)[::7], *tray_codes(1936)[::101]]:
        for at, sign in itertools.product(range(len(code)), LETTERS + FIGURES):
            if sign != code[at]:
                assert not is_tray_code(code[:at] + sign + code[at + 1 :])


def test_two_neighbours_exchanged_are_no_code() -> None:
    for code in tray_codes(1936):
        for at in range(len(code) - 2):
            other = code[:at] + code[at + 1] + code[at] + code[at + 2 :]
            assert other == code or not is_tray_code(other)


def test_no_spreadsheet_takes_a_code_for_a_number_or_a_date() -> None:
    months = re.compile(r"(JAN|FEB|MAR|APR|MAY|JUN|JUL|AUG|SEP|OCT|NOV|DEC)")
    for code in tray_codes(2500):
        assert not re.fullmatch(r"\d+(E\d+)?", code)
        assert not months.match(code)
        assert not re.search(r"[A-Z]{3}", code)  # and no word stands on a label
