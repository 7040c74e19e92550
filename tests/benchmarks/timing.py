"""Time a call: a warm-up, then several runs; the middle one and the least are kept."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from dataclasses import dataclass
from statistics import median


@dataclass(frozen=True)
class Took:
    """Seconds of a call by the clock, and of the processor."""

    runs: int
    middle: float
    least: float
    processor: float


def timed(call: Callable[[], object], *, runs: int, warm: bool = True) -> Took:
    """Run ``call`` and time it; what the first call sets up for all later ones is not counted."""
    if warm:
        call()
    clock, processor = [], []
    gc.collect()
    for _ in range(runs):
        start, used = time.perf_counter(), time.process_time()
        call()
        clock.append(time.perf_counter() - start)
        processor.append(time.process_time() - used)
    return Took(runs, median(clock), min(clock), median(processor))
