"""Which code stands on a tray's label, so that it can be read when wet?

A letter, a figure, a letter and so on, and a check letter at the end. Signs that look
alike when a label is wet or worn are left out, and no code reads as a word, a date or
a number of a spreadsheet.
"""

from __future__ import annotations

LETTERS = "ACEHKMPTUXY"
"""Eleven, without B D F G I J L N O Q R S V W Z, each of which is like another sign."""

FIGURES = "3467"
"""Without 0 1 2 5 8 9; 9 is a 6 upside down."""

_PRIME = len(LETTERS)


def tray_codes(number: int) -> list[str]:
    """Make so many codes, in order; two of them differ in two signs at least.

    Parameters
    ----------
    number : int
        Trays.

    Returns
    -------
    list of str
        Four signs for up to 484 trays, five for up to 1936, six beyond.

    Notes
    -----
    The check letter is the sum of the signs' places, weighted 1, 2, 3 ... modulo 11. Eleven is
    prime and larger than any weight, so one sign misread, or two signs before it exchanged, gives
    another check letter.

    Examples
    --------
    >>> tray_codes(3)
    ['A3AA', 'A3CH', 'A3EP']
    >>> is_tray_code("A3CH"), is_tray_code("A3CK"), is_tray_code("A3HC")
    (True, False, False)
    """
    length = 3
    while _room(length) < number:
        length += 1
    bodies = [_body(at, length) for at in range(number)]
    return [body + _check(body) for body in bodies]


def is_tray_code(text: str) -> bool:
    """Whether a code is one of those, its check letter right."""
    body, last = text[:-1], text[-1:]
    signs = [sign in _signs(at) for at, sign in enumerate(body)]
    return len(body) >= 3 and all(signs) and last == _check(body)


def _signs(at: int) -> str:
    return FIGURES if at % 2 else LETTERS


def _room(length: int) -> int:
    room = 1
    for at in range(length):
        room *= len(_signs(at))
    return room


def _body(number: int, length: int) -> str:
    out = ""
    for at in reversed(range(length)):
        signs = _signs(at)
        out = signs[number % len(signs)] + out
        number //= len(signs)
    return out


def _check(body: str) -> str:
    total = sum(at * _signs(at - 1).index(sign) for at, sign in enumerate(body, start=1))
    return LETTERS[total % _PRIME]
