"""What was made of each combination, what took, and is it what was wanted?"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
from numpy.typing import NDArray
from pandas import DataFrame, Series, to_numeric

from takestats.answers.history import season_history
from takestats.answers.raw import raw_levels, recorded_sum
from takestats.errors import TakeError
from takestats.models.result import TableResult
from takestats.records.targets import is_meant, targets_of
from takestats.wording import combination_tally as words

if TYPE_CHECKING:
    from takestats.records.result import Records

COLUMNS = (
    "combination", "trays", "grafted", "understock_dead", "missing", "taken",
    "take_of_made", "made_low", "made_high", "take_of_live", "live_low", "live_high",
    "alive_later", "alive_later_trays", "saleable", "saleable_trays", "waiting",
    "wanted", "have", "short",
    "last_season", "last_taken", "last_tried", "last_trays", "last_rate", "last_low", "last_high",
)  # fmt: skip

_LEVEL = 0.95
_LATER = ("alive_later", "saleable")
_SUMMED = ("grafted", "understock_dead", "missing", "taken", *_LATER)

Floats = NDArray[np.float64]
Codes = NDArray[np.intp]


@dataclass(frozen=True, eq=False, kw_only=True)
class CombinationTally(TableResult):
    """What became of each combination, counted and not modelled.

    Parameters
    ----------
    season : str
    last_season : str
        The one before it; blank when there is none.
    targets : int
        How many combinations the settings want plants of.
    """

    season: str
    last_season: str
    targets: int


def combination_tally(records: Records, season: str = "") -> CombinationTally:
    """What was made of each combination, what took, and is it what was wanted?

    Parameters
    ----------
    records : Records
    season : str
        The season told; the one before it stands beside it as history. Blank: all trays.

    Returns
    -------
    CombinationTally
        combination; trays, grafted, understock_dead, missing, taken (counted trays);
        take_of_made and take_of_live with low and high (quick closed form, proportions);
        alive_later and saleable with the trays they are recorded for; waiting (grafts in trays
        not counted yet); wanted (plants); have (saleable where recorded, else taken); short
        (wanted less have, not below 0); last_season, last_taken, last_tried, last_trays,
        last_rate, last_low, last_high. A combination that is wanted and was never grafted has a
        row of its own. Missing numbers are nan.

    Raises
    ------
    SettingsError
        When a target is not a whole number of plants.

    Notes
    -----
    Raw shares: nothing is averaged over and nothing adjusted. Limits by the effective number of
    grafts, one dispersion for all combinations. ``have`` counts saleable plants of the trays
    that were graded; trays not graded yet add nothing to it, and the words name them.

    References
    ----------
    See :func:`takestats.models.quick.quick_rates`.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.combination_tally import combination_tally
    >>> bench = pd.DataFrame({"tray": ["A", "B"], "scion": ["Acer rubrum 'Ember'"] * 2,
    ...     "understock": ["Acer rubrum"] * 2, "grafted": [30, 30], "taken": [25, 28]})
    >>> records = ts.records_from_frame(
    ...     bench, trial={"targets": {"Acer rubrum 'Ember' on Acer rubrum": 100}})
    >>> combination_tally(records).table[["grafted", "have", "short"]].values.tolist()
    [[60.0, 53.0, 47.0]]
    """
    trays = records.trays[records.trays["made_by"].astype(str) == "graft"]
    here = trays if not season else trays[trays["season"].astype(str) == season]
    named = here["combination"].dropna().astype(str)
    wanted = targets_of(records.trial)
    counted = here["counted"].to_numpy(dtype=bool)
    made, live = (_quick(records, season, out_of) for out_of in ("made", "live_understock"))
    before = _before(trays, season)
    past = _last(records, before)
    of_scion = here.drop_duplicates("combination").set_index("combination")["scion"]
    scions = {str(name): str(scion) for name, scion in of_scion.items()}
    names = list(dict.fromkeys(named))
    lacking = [
        target for target in wanted if not any(is_meant(n, scions[n], target) for n in names)
    ]
    rows = []
    numbers = {column: _numbers(here, column) for column in _SUMMED}
    numbers["tray"] = np.unique(here["tray_id"].astype(str), return_inverse=True)[1].astype(float)
    of_name = here.groupby("combination", sort=False).indices
    for name in names:
        mine = np.asarray(of_name[name])
        row = _row(name, numbers, mine[counted[mine]], mine[~counted[mine]])
        row |= _share("made", made.get(name)) | _share("live", live.get(name))
        row |= past.get(name, {}) | {"last_season": before}
        targets = [n for t, n in wanted.items() if is_meant(name, scions[name], t)]
        row["wanted"] = sum(targets) if targets else math.nan
        rows.append(row)
    rows += [{"combination": t, "wanted": wanted[t], "trays": 0.0, "grafted": 0.0} for t in lacking]
    for row in rows:
        graded = row.get("saleable_trays", 0.0) > 0
        row["have"] = row["saleable"] if graded else row.get("taken", 0.0)
        row["short"] = max(row["wanted"] - row["have"], 0.0)
        if math.isnan(row["wanted"]):
            row["short"] = math.nan
    table = DataFrame(rows, columns=list(COLUMNS))
    texts = ("combination", "last_season")
    table = table.astype({c: "float64" for c in COLUMNS if c not in texts})
    for text in texts:
        table[text] = Series(table[text].fillna("").to_list(), dtype="str")
    return CombinationTally(
        _table=table,
        notes=words.tally_notes(before, bool(wanted)),
        sentences=tuple(words.tally_sentences(rows)),
        season=season,
        last_season=before,
        targets=len(wanted),
    )


def _row(name: str, numbers: dict[str, Floats], counted: Codes, waiting: Codes) -> dict[str, Any]:
    """Sums over the counted trays of a combination, and the grafts that wait for their count."""
    row: dict[str, Any] = {
        "combination": name,
        "trays": _trays(numbers, counted),
        "grafted": recorded_sum(numbers["grafted"][counted]),
        "waiting": recorded_sum(numbers["grafted"][waiting]) if waiting.size else 0.0,
    }
    for column in ("understock_dead", "missing", "taken", *_LATER):
        row[column] = recorded_sum(numbers[column][counted])
    for column in _LATER:
        row[f"{column}_trays"] = _trays(numbers, counted[~np.isnan(numbers[column][counted])])
    return row


def _trays(numbers: dict[str, Floats], lines: Codes) -> float:
    return float(np.unique(numbers["tray"][lines]).size)


def _numbers(trays: DataFrame, column: str) -> Floats:
    """A column as numbers, nan where nothing is recorded."""
    if column not in trays:
        return np.full(len(trays), math.nan)
    return np.asarray(to_numeric(trays[column]).to_numpy(dtype=float, na_value=math.nan))


def _share(kind: str, limits: tuple[float, float, float] | None) -> dict[str, float]:
    rate, low, high = limits or (math.nan,) * 3
    return {f"take_of_{kind}": rate, f"{kind}_low": low, f"{kind}_high": high}


def _quick(
    records: Records, season: str, out_of: Literal["made", "live_understock"]
) -> dict[str, tuple[float, float, float]]:
    """Raw take of each combination with its quick limits; empty where it cannot be had."""
    try:
        found = raw_levels(
            records,
            ["combination"],
            season=season or "auto",
            count=None,
            out_of=out_of,
            level=_LEVEL,
        )
    except TakeError:
        return {}
    return {str(one.key[0]): (one.rate, one.low, one.high) for one in found}


def _before(trays: DataFrame, season: str) -> str:
    """The season before this one that has a counted tray; blank when there is none."""
    known = trays.loc[trays["counted"].astype(bool), "season"].dropna().astype(str).unique()
    return max((name for name in known if season and name < season), default="")


def _last(records: Records, before: str) -> dict[str, dict[str, float]]:
    """Last season's raw take of each combination."""
    if not before:
        return {}
    try:
        table = season_history(records, "combination").table
    except TakeError:
        return {}
    names = ("taken", "tried", "trays", "rate", "low", "high")
    columns = ("taken", "tried", "trays", "raw_rate", "raw_low", "raw_high")
    mine = table[table["season"].astype(str) == before]
    return {
        str(row["combination"]): {
            f"last_{name}": float(row[column]) for name, column in zip(names, columns, strict=True)
        }
        for row in mine.to_dict("records")
    }
