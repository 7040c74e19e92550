"""Is a program on this machine that a test of print or screen needs?"""

from __future__ import annotations

import os
import shutil

import pytest


def stop_or_skip(reason: str) -> None:
    """Skip with the reason; fail where nothing may be skipped."""
    if os.environ.get("TAKESTATS_REQUIRE_BROWSER"):
        pytest.fail(f"{reason}; TAKESTATS_REQUIRE_BROWSER is set")
    pytest.skip(reason)


def program(*names: str, package: str) -> str:
    """Where the first of these programs is that is installed."""
    found = next((path for name in names if (path := shutil.which(name))), None)
    if found is None:
        stop_or_skip(f"no {names[0]} on this machine (Debian: apt-get install {package})")
    return str(found)
