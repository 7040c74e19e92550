"""Which levels of one column took better? A page for one question."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import combinations
from pathlib import Path
from typing import TYPE_CHECKING

from takestats.errors import DesignError, UnknownColumnError, UnknownLevelError
from takestats.models.lines import NOT_FACTORS, nearest
from takestats.models.progress import silent
from takestats.pages.asked import Trial, asked, with_trial
from takestats.pages.assembled import assembled
from takestats.pages.factors import DEFAULT_FACTORS
from takestats.pages.gather import gather, newest_season
from takestats.pages.grafts_alone import grafts_alone
from takestats.pages.parts import SeasonReport
from takestats.pages.season_page import write_season
from takestats.pages.statistician_topic import statistician_topic
from takestats.pages.strata import find_strata, nested_in
from takestats.wording.held import nested_line
from takestats.wording.numbers import column_words, level_text, listing
from takestats.wording.sections import comparison_title

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.records.result import Records

PLANT_COLUMNS = ("scion", "understock", "combination")


def comparison_report(
    records: Records,
    by: str,
    *,
    between: Sequence[str] | None = None,
    within: str | None = None,
    trial: Trial = None,
    progress: Callable[[str], None] | None = None,
) -> SeasonReport:
    """Which levels of one column took better?

    Parameters
    ----------
    records : Records
        From :func:`takestats.read_records`; the newest season is compared.
    by : str
        A column, as "method".
    between : two str, optional
        Only these two levels, first minus second.
    within : str, optional
        A column: is the difference the same inside each of its levels? "species" is the
        scion's species, "season" all seasons.
    trial : path, dict or TrialSettings, optional
        Other settings than those the records were read with.
    progress : callable, optional
        Told in a few words what is being done.

    Returns
    -------
    SeasonReport
        The column first; the other factors of the settings make the takes comparable as
        far as the layout carries them.

    Raises
    ------
    UnknownColumnError, UnknownLevelError
        With the known ones named.
    DesignError
        When the column has fewer than two levels in the newest season, or no level of
        ``within`` has trays of two of them.
    """
    known = with_trial(records, trial)
    grafts = grafts_alone(known)
    season, trays = newest_season(grafts.trays)
    counted = trays[trays["counted"].astype(bool)]
    by = _column(by, counted)
    levels = _levels(counted, by, season)
    pairs = {by: [_pair(between, levels, by, known.trial.names)]} if between is not None else {}
    others = [name for name in asked(known.trial).factors or DEFAULT_FACTORS if name != by]
    strata = None
    if within is not None:
        inside = _column(within, counted)
        if inside == by:
            raise _within_itself(by)
        if inside == "season":
            counted = grafts.trays[grafts.trays["counted"].astype(bool)]
        _levels(counted, inside, "" if inside == "season" else season)
        strata = find_strata(counted, by, inside, pairs[by][0] if pairs else None)
        if strata.said and not pairs and len(strata.levels) < len(levels):
            pairs = {by: list(combinations(strata.levels, 2))}
        others = [name for name in others if name != inside]
        nested = nested_in(counted, others, inside)
        strata = replace(strata, nested=nested_line(nested, inside) or "")
        others = [name for name in others if name not in nested]
        if len(strata.kept) > 1:
            others = [inside, *others]
    say = progress or silent
    found = gather(known, [by, *others], pairs=pairs, only=by, strata=strata, say=say)
    topics = {"statistician": statistician_topic(found, "", say)}
    title = comparison_title(by, known.trial.title, season)
    command = ["compare", "--by", by]
    command += ["--between", *pairs[by][0]] if between is not None else []
    command += ["--within", within] if within is not None else []
    return assembled(found, "comparison_page", title, topics, command=command)


def write_comparison(
    records: Records,
    folder: str | os.PathLike[str],
    by: str,
    *,
    between: Sequence[str] | None = None,
    within: str | None = None,
    trial: Trial = None,
    progress: Callable[[str], None] | None = None,
) -> list[Path]:
    """Which levels of one column took better? Write the page with its tables.

    Parameters
    ----------
    records, by, between, within, trial, progress
        As for :func:`comparison_report`.
    folder : path
        Where ``comparison_page.html``, ``comparison_tables.xlsx``, ``tables/`` and
        ``figures/`` go.

    Returns
    -------
    list of pathlib.Path
        The page, the workbook, the CSV tables, then the figures. All are written, or none.
    """
    report = comparison_report(
        records, by, between=between, within=within, trial=trial, progress=progress
    )
    return write_season(report, folder)


def _column(typed: str, counted: DataFrame) -> str:
    """The column that is meant: a species is the scion's."""
    species = typed == "species" and typed not in counted.columns
    return "scion_species" if species else typed


def _within_itself(by: str) -> DesignError:
    return DesignError(
        where=f"within {column_words(by)}",
        what="it is the column that is compared.",
        rule="A difference is looked at inside the levels of another column.",
        next_step="Name another column, such as species, season or donor.",
    )


def _levels(counted: DataFrame, by: str, season: str) -> list[str]:
    if by not in counted.columns:
        usable = [
            str(name)
            for name in counted.columns
            if name not in NOT_FACTORS and counted[name].nunique() > 1
        ]
        raise UnknownColumnError(
            where=f"column {by}",
            what="the records have no such column.",
            rule="What is compared is a column of the records.",
            next_step=f"Choose another: {nearest(by, usable)}.",
        )
    levels = [str(level) for level in counted[by].dropna().unique()]
    if len(levels) < 2:
        said = f"only {level_text(levels[0])} is recorded" if levels else "it is blank"
        raise DesignError(
            where=f"column {by}",
            what=f"{said} in the trays counted{f' in season {season}' if season else ''}.",
            rule="A comparison needs trays of two levels in one season.",
            next_step="Compare another column, or set out trays of both.",
        )
    return levels


def _pair(
    between: Sequence[str], levels: list[str], by: str, names: Mapping[str, str]
) -> tuple[str, str]:
    if len(between) != 2 or between[0] == between[1]:
        raise UnknownLevelError(
            where=f"between, {by}",
            what=f"{listing([str(level) for level in between]) or 'nothing'} was given.",
            rule="Two different levels are compared.",
            next_step=f"Name two of: {listing(levels)}.",
        )
    first, second = (_known(str(level), levels, by, names) for level in between)
    return first, second


def _known(level: str, levels: list[str], by: str, names: Mapping[str, str]) -> str:
    """The level as recorded, from its name, the nursery's short name or a part of it."""
    wanted = _plain(level)
    full = _plain({_plain(short): name for short, name in names.items()}.get(wanted, level))
    for known in levels:
        if _plain(known) in (wanted, full):
            return known
    if by in PLANT_COLUMNS:
        found = [known for known in levels if full in _plain(known)]
        if len(found) == 1:
            return found[0]
    raise UnknownLevelError(
        where=f"between, {column_words(by)}",
        what=f"{level} is not a level of it.",
        rule="A level is one that the records of the season have.",
        next_step=f"Choose among: {listing(levels)}.",
    )


def _plain(level: str) -> str:
    plain = level.lower().replace("×", "x").replace("_", " ").replace("-", " ")
    return " ".join(plain.split())
