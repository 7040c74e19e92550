"""What was given with a question about trays: past seasons, settings, shares, tray size?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from takestats.errors import CountsError
from takestats.wording import plan_page as words

if TYPE_CHECKING:
    from takestats.records.result import Records
    from takestats.records.settings import TrialSettings


@dataclass(frozen=True, eq=False, kw_only=True)
class Given:
    """Past seasons and settings.

    Parameters
    ----------
    past : Records or None
    settings : TrialSettings
        Of ``--trial``, else of the past's own workbook.
    new, standard : str
        Names for the settings of the trial.
    """

    past: Records | None
    settings: TrialSettings
    new: str
    standard: str

    @property
    def names(self) -> dict[str, str]:
        """Names of what is on trial and of what it is held against."""
        return {"new": self.new, "standard": self.standard}

    def full_name(self, plant: str) -> str:
        """The plant that a short name of the settings stands for; else what was typed."""
        short = {name.casefold(): full for name, full in self.settings.names.items()}
        return short.get(plant.strip().casefold(), plant)


def given(
    past: Sequence[str] | None,
    trial: Path | None,
    *,
    new: str = "",
    standard: str = "",
    set_aside: bool = False,
) -> Given:
    """Read the past seasons and the settings, as far as they were given."""
    from takestats.records.read import read_records
    from takestats.records.settings import TrialSettings, read_trial

    records = read_records(list(past), trial=trial, set_aside=set_aside) if past else None
    settings = TrialSettings()
    if records is not None:
        settings = records.trial
    elif trial is not None:
        settings = read_trial(trial)
    return Given(
        past=records,
        settings=settings,
        new=new or str(settings.trial.get("new") or ""),
        standard=standard or str(settings.trial.get("standard") or ""),
    )


def shares(texts: Sequence[str], where: str) -> list[float]:
    """Read shares, each typed as 90% or 0.9."""
    from takestats.records.shares import read_share

    return [read_share(text, where) for text in texts]


def correlations(texts: Sequence[str] | None) -> list[float] | None:
    """Read intra-tray correlations; none given is None.

    Raises
    ------
    CountsError
        For what is no number; whether a number can be one is for the question to say.
    """
    from takestats.records.shares import typed_number

    read = [typed_number(text) for text in texts or ()]
    for text, one in zip(texts or (), read, strict=True):
        if one.number != one.number:
            raise CountsError(
                where="--icc",
                what=repr(text),
                rule="an intra-tray correlation is a number from 0 (trays alike) to 0.6",
                next_step="leave it out for a range of 0.02 to 0.20, or give past records with "
                "--past FILE",
            )
    return [one.number / 100.0 if one.unit == "percent" else one.number for one in read] or None


def tray_size_of(typed: int | None, found: Given, *, needed: bool = True) -> tuple[int | None, str]:
    """Grafts in a tray, and a sentence where they were not typed.

    Raises
    ------
    CountsError
        When neither the option, the settings nor the past say it, and it is needed.
    """
    if typed is not None:
        return typed, ""
    settled = found.settings.bench.get("tray_size")
    if settled:
        return int(settled), words.tray_size_line(int(settled), words.FROM_SETTINGS)
    usual = None if found.past is None else _usual_size(found.past)
    if usual is not None:
        return usual, words.tray_size_line(usual, words.FROM_PAST)
    if not needed:
        return None, ""
    raise CountsError(
        where="--tray-size",
        what="it is not given, and neither settings nor past records tell it.",
        rule="power comes from trays, and a tray holds so many grafts.",
        next_step="add --tray-size with the grafts in one of your trays, as --tray-size 30.",
    )


def _usual_size(past: Records) -> int | None:
    """The number of grafts that most trays of the past held."""
    if past.no_trays:
        return None
    each = past.trays.groupby("tray_id")["grafted"].sum()
    if each.empty:
        return None
    usual = int(each.mode().iloc[-1])
    return usual if usual > 0 else None
