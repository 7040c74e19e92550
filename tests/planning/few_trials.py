"""Fewer simulated trials than a real plan has, for tests that do not hang on the last digit."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from takestats.planning import assurance, built, plan_looks, power


@contextmanager
def few_trials() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        for module, name, trials in (
            (power, "CONFIRM", 700),
            (power, "FEEL", 250),
            (power, "PAIRED_CONFIRM", 400),
            (power, "PAIRED_FEEL", 150),
            (power, "WIDTHS", 40),
            (built, "_NULL_TRIALS", 400),
            (built, "_PAIRED_NULL_TRIALS", 400),
            (assurance, "_TRIALS", 40),
            (plan_looks, "TRIALS", 100),
        ):
            patch.setattr(module, name, trials)
        yield
