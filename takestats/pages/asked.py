"""What do the trial's settings ask of a page?"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING, Any, Literal

from takestats.records.settings import TrialSettings, read_trial

if TYPE_CHECKING:
    from takestats.records.result import Records

OutOf = Literal["made", "live_understock"]
Trial = str | os.PathLike[str] | Mapping[str, Any] | TrialSettings | None


@dataclass(frozen=True, kw_only=True)
class Asked:
    """The settings that a page reads.

    Parameters
    ----------
    factors : tuple of str
        Wanted by the settings; empty when they name none.
    out_of : str
        "made" or "live_understock".
    standard : str
        The level that others are compared with; blank when not settled.
    new : str
        The level on trial; blank when not settled.
    randomised : str
        "tray", "half", "graft", "no" or blank.
    floor : float or None
        The lowest take worth having.
    question, rule : str
        The planned question and the rule that answers it, in words; blank when not settled.
    margin : float or None
        The difference that matters, a proportion.
    stages : list of str, str or None
        Of a rule in two stages, as the settings hold them.
    """

    factors: tuple[str, ...]
    out_of: OutOf
    standard: str
    new: str
    randomised: str
    floor: float | None
    question: str = ""
    rule: str = ""
    margin: float | None = None
    stages: object = None


def with_trial(records: Records, trial: Trial) -> Records:
    """Put other settings beside the records; the rows stay as they were read."""
    if trial is None:
        return records
    if isinstance(trial, TrialSettings):
        return replace(records, trial=trial)
    path = os.fspath(trial) if isinstance(trial, os.PathLike) else trial
    return replace(records, trial=read_trial(path))


def asked(settings: TrialSettings) -> Asked:
    """Read what a page needs from the settings.

    Examples
    --------
    >>> asked(TrialSettings()).out_of
    'made'
    """
    factors = settings.compare.get("factors") or ()
    floor = settings.trial.get("floor")
    margin = settings.trial.get("margin_points")
    live = settings.records.get("out_of") == "live_understock"
    return Asked(
        factors=(factors,) if isinstance(factors, str) else tuple(str(name) for name in factors),
        out_of="live_understock" if live else "made",
        standard=str(settings.trial.get("standard") or ""),
        new=str(settings.trial.get("new") or ""),
        randomised=str(settings.trial.get("randomised") or ""),
        floor=None if floor is None else float(floor),
        question=str(settings.trial.get("question") or ""),
        rule=str(settings.trial.get("rule") or ""),
        margin=None if margin is None else float(margin) / 100.0,
        stages=settings.trial.get("stages"),
    )


def settings_rows(settings: TrialSettings) -> tuple[tuple[str, str], ...]:
    """Every setting that was given, as words for the page."""
    rows: list[tuple[str, str]] = []
    for entry in fields(settings):
        if entry.name == "sha256":  # stands beside the inputs
            continue
        value = getattr(settings, entry.name)
        if isinstance(value, Mapping):
            rows += [(f"setting {entry.name}, {key}", _said(value[key])) for key in sorted(value)]
        elif value not in ("", None, False):
            rows.append((f"setting {entry.name}", _said(value)))
    return tuple(rows)


def _said(value: object) -> str:
    if isinstance(value, Mapping):
        return "; ".join(f"{key}: {_said(item)}" for key, item in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(_said(item) for item in value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
