"""Which tests need another core and a system that can split a process in two?"""

from __future__ import annotations

import os
import sys

import pytest

forks = pytest.mark.skipif(
    not sys.platform.startswith("linux") or len(os.sched_getaffinity(0)) < 2,
    reason="this machine has one core, or cannot split a process in two",
)
