"""How wide are the usual letters of the drawing's font?

Read off the font itself (DejaVu Sans 2.37, advance widths in its units, 2,048 to the size of
the letters), so that a line can be cut before the drawing library is loaded: loading it takes
longer than everything that is measured. A test holds every number against the font.
"""

from __future__ import annotations

UNITS = 2048
"""To the size of the letters."""

_FROM = {
    0x20: (
        "651 821 942 1716 1303 1946 1597 563 799 799 1024 1716 651 739 651 690 1303 1303 1303 "
        "1303 1303 1303 1303 1303 1303 1303 690 690 1716 1716 1716 1087 2048 1401 1405 1430 1577 "
        "1294 1178 1587 1540 604 604 1343 1141 1767 1532 1612 1235 1612 1423 1300 1251 1499 1401 "
        "2025 1403 1251 1403 799 690 799 1716 1024 1024 1255 1300 1126 1300 1260 721 1300 1298 "
        "569 569 1186 569 1995 1298 1253 1300 1300 842 1067 803 1298 1212 1675 1212 1212 1075 "
        "1303 690 1303 1716"
    ),
    0xA0: ("651 821 1303 1303 1303 1303 690 1024 1024 2048 965 1253 1716"),
    0xAE: (
        "2048 1024 1024 1716 821 821 1024 1303 1303 651 1024 821 965 1253 1985 1985 1985 1087 "
        "1401 1401 1401 1401 1401 1401 1995 1430 1294 1294 1294 1294 604 604 604 604 1587 1532 "
        "1612 1612 1612 1612 1612 1716 1612 1499 1499 1499 1499 1251 1239 1290 1255 1255 1255 "
        "1255 1255 1255 2011 1126 1260 1260 1260 1260 569 569 569 569 1253 1298 1253 1253 1253 "
        "1253 1253 1716 1253 1298 1298 1298 1298 1212 1300 1212"
    ),
}
_OTHERS = "–—‘’“”…−≤≥"
_OF_OTHERS = "1024 2048 651 651 1061 1061 2048 1716 1716 1716"


def _widths() -> dict[str, int]:
    found = {
        chr(first + place): int(width)
        for first, widths in _FROM.items()
        for place, width in enumerate(widths.split())
    }
    return found | dict(zip(_OTHERS, map(int, _OF_OTHERS.split()), strict=True))


WIDTHS = _widths()
"""Units of each letter; all of them are in the font."""
