from __future__ import annotations

from typing import Any

import pytest

from takestats.wording.banner import banner_line

NOTHING: dict[str, Any] = {
    "invented": False, "seed": None, "truth": "", "source": "", "reconstructed": "",
}  # fmt: skip


@pytest.mark.parametrize(
    ("given", "line"),
    [
        ({}, ""),
        ({"seed": 7}, ""),
        ({"invented": True}, "INVENTED DATA."),
        ({"invented": True, "seed": 7, "truth": "truth.csv"},
         "INVENTED DATA, seed 7, the known truth is in truth.csv."),
        ({"source": "Doe 1999, p. 3."}, "Source: Doe 1999, p. 3."),
        ({"source": "Doe 1999", "reconstructed": "from printed percents"},
         "Source: Doe 1999. Counts reconstructed: from printed percents."),
        ({"reconstructed": "yes"}, "Counts reconstructed."),
    ],
)  # fmt: skip
def test_the_first_line(given: dict[str, Any], line: str) -> None:
    assert banner_line(**(NOTHING | given)) == line
