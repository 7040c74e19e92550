"""What must be made visible in a name before anybody reads it?

A name may carry characters that are not seen and still turn round what stands after them,
so that "21 of 30" would be read as "03 fo 12". They are shown as a sign, never obeyed.
"""

from __future__ import annotations

import re

UNSEEN_SIGN = "\ufffd"

# Overrides and embeddings of direction (Unicode Standard Annex 9, 2.1 to 2.3), and the controls
# that are neither a tab nor a line's end.
_UNSEEN = re.compile("[\u202a-\u202e\u2066-\u2069\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")


def shown(text: str) -> str:
    r"""Put a visible sign where a character would turn or hide what follows.

    Examples
    --------
    >>> shown("T01 \u202e21 of 30") == "T01 \ufffd21 of 30", shown("Härte אב") == "Härte אב"
    (True, True)
    """
    return _UNSEEN.sub(UNSEEN_SIGN, text)
