"""Orders and windows that cannot be used are told in four parts, pinned to be proof-read."""

from __future__ import annotations

import os
from pathlib import Path

from tests.order.limit_refusals import told

MESSAGES = Path(__file__).parent / "limit_messages.txt"


def test_every_refusal_is_told_in_four_parts() -> None:
    said = told()
    if os.environ.get("TAKESTATS_PIN"):
        MESSAGES.write_text(said, encoding="utf-8")
    assert said == MESSAGES.read_text("utf-8")
    assert "NOT REFUSED" not in said
