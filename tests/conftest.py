"""What every test shares: the same Hypothesis examples on every run."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile(
    "fixed",
    derandomize=True,
    database=None,  # nothing is remembered between runs
    deadline=None,  # two busy cores are not a failing law
    max_examples=60,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("fixed")
