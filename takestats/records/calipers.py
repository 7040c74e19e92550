"""How thick is a stem in millimetres, however it was written?"""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction

from takestats.errors import CountsError

MM_PER_UNIT: dict[str, Fraction] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(254, 10),
}
"""1 inch is 25.4 mm exactly (NIST Special Publication 811, from memory)."""

_UNIT_WORDS = {
    "mm": "mm",
    "millimetre": "mm",
    "millimetres": "mm",
    "millimeter": "mm",
    "millimeters": "mm",
    "cm": "cm",
    "centimetre": "cm",
    "centimetres": "cm",
    "centimeter": "cm",
    "centimeters": "cm",
    "in": "in",
    "ins": "in",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "''": "in",
}
_MARKS = str.maketrans(
    {"”": '"', "“": '"', "″": '"', "‟": '"', "’": "'", "′": "'", "⁄": "/", "∕": "/", "\xa0": " "}
)
_LENGTH = re.compile(
    r"""(?:(?P<whole>\d+)[\s-]+)?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)\s*(?P<unit1>\D*)\Z
        |(?P<number>\d+(?:[.,]\d+)?|[.,]\d+)\s*(?P<unit2>\D*)\Z""",
    re.VERBOSE,
)


def unit_word(text: str) -> str | None:
    """The unit meant by a word, or None when it is not a unit of length."""
    return _UNIT_WORDS.get(text.strip().strip(".").lower())


def caliper_mm(text: object, unit: str | None = None) -> float:
    """How many millimetres is this caliper?

    Parameters
    ----------
    text : str or number
        ``8 mm``, ``1.2 cm``, ``9,5 mm``, ``3/8"``, ``1 1/2 in``, ``0.375 in``.
    unit : {"mm", "cm", "in"}, optional
        Unit of a number that has none of its own, as given in a header. Without
        it a fraction is read as inches and any other number as millimetres.

    Returns
    -------
    float
        Millimetres.

    Raises
    ------
    CountsError
        When the text is not one length above zero.

    Notes
    -----
    Without a unit ``3/8`` is read as inches and ``8`` as 8 mm: a caliper typed in inches
    as ``0.4`` is wrong by a factor of 25.4 and is only asked about where it lies outside
    what understocks measure. A class ("thin") is not a length and is refused here.

    References
    ----------
    1 inch = 25.4 mm exactly: NIST Special Publication 811 (from memory).

    Examples
    --------
    >>> caliper_mm("3/8 in")
    9.525
    >>> caliper_mm("1 1/2 in")
    38.1
    """
    value = read_length(str(text), unit)
    if value is None:
        raise CountsError(
            where="caliper",
            what=f'"{text}"',
            rule="A caliper is one length above zero, in mm, cm or inches.",
            next_step="Type it like 9.5 mm or 3/8 in; leave it blank when it was not measured.",
        )
    return value


_LONGEST = 40
"""Characters of a length; "1 1/2 inches" has twelve, a longer text is none."""


def read_length(text: str, unit: str | None = None) -> float | None:
    """A length above zero in millimetres, or None when the text is not one."""
    if len(text) > _LONGEST:
        return None
    clean = _plain(text)
    found = _LENGTH.match(clean)
    if found is None:
        return None
    if found["top"] is not None:
        bottom = int(found["bottom"])
        if bottom == 0:
            return None
        amount = Fraction(int(found["top"]), bottom) + int(found["whole"] or 0)
        written, default = found["unit1"], unit or "in"
        if unit is not None and unit != "in" and not written.strip():
            default = "in"
    else:
        amount = Fraction(found["number"].replace(",", "."))
        written, default = found["unit2"], unit or "mm"
    meant = unit_word(written) if written.strip() else default
    if meant is None or amount <= 0:
        return None
    return float(amount * MM_PER_UNIT[meant])


def _plain(text: str) -> str:
    """Straight marks, and signs such as ⅜ written out."""
    out: list[str] = []
    for sign in text.translate(_MARKS):
        if unicodedata.category(sign) == "No" and "FRACTION" in unicodedata.name(sign, ""):
            written = unicodedata.normalize("NFKC", sign).replace("⁄", "/")
            out.append((" " if out and out[-1].strip() else "") + written)
        else:
            out.append(sign)
    return "".join(out).strip()
