"""What follows from the records without being typed?"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from takestats.errors import CountsError
from takestats.records.classes import MATCH_KEY, class_bounds, class_of
from takestats.records.plants import PlantName, plant_name, relation_of
from takestats.records.row_checks import Cells
from takestats.records.seasons import season_name, season_of_graft, season_year

Values = NDArray[Any]

MATCH_WITHIN = 0.1
"""Scion and understock within a tenth are matched (common practice, no source)."""

NOT_RECORDED = "not recorded"


def derive_seasons(cells: Cells, count_order: NDArray[np.intp], settled: int) -> list[int]:
    """Give every row a season; return the rows whose season was worked out.

    The season is the year of the settled count. Without one it is told by the
    date of grafting: from July on it is the season that ends next year.
    """
    season = cells.text("season").copy()
    blank = np.array([s is None for s in season], dtype=bool)
    if blank.any():
        grafted, counted = cells.text("graft_date"), cells.text("count_date")
        base = np.array(
            [
                season_of_graft(g) if g else (season_name(int(c[:4])) if c else None)
                for g, c in zip(grafted, counted, strict=True)
            ],
            dtype=object,
        )
        is_settled = (count_order == settled) & np.array([c is not None for c in counted])
        from_count = np.array(
            [
                season_name(int(c[:4])) if c and now else None
                for c, now in zip(counted, is_settled, strict=True)
            ],
            dtype=object,
        )
        groups = [cells.text("trial"), cells.text("tray"), base]
        frame = pd.DataFrame({"settled": from_count, "base": base})
        if "tray" in cells.values:
            codes = [np.asarray(pd.factorize(g)[0]) for g in groups]
            settled_of_tray = frame["settled"].groupby(codes).transform("first")
        else:
            settled_of_tray = frame["settled"]
        worked = settled_of_tray.where(settled_of_tray.notna(), frame["base"]).to_numpy(object)
        season[blank] = worked[blank]
    texts = [s if isinstance(s, str) else None for s in season]
    years = {s for s in texts if s and len(s) == 4}
    spans = {s for s, b in zip(texts, blank, strict=True) if s and len(s) > 4 and not b}
    one_of, distinct = pd.factorize(np.array(texts, dtype=object))
    forms = [_one_form(s, bool(years) and not spans) for s in (*distinct, None)]
    cells.values["season"] = np.array(forms, dtype=object)[one_of]
    return np.flatnonzero(blank & np.array([s is not None for s in texts])).tolist()


def _one_form(season: str | None, as_year: bool) -> str:
    if season is None:
        return NOT_RECORDED
    year = season_year(season)
    return str(year) if as_year else season_name(year)


@lru_cache(maxsize=4096)
def _plant(text: str | None) -> PlantName | None:
    if not text:
        return None
    try:
        return plant_name(text)
    except CountsError:
        return None


@lru_cache(maxsize=4096)
def _relation(scion: str | None, understock: str | None) -> str:
    names = [_plant(t) if t and (" " in t) else None for t in (scion, understock)]
    return relation_of(names[0], names[1])


@lru_cache(maxsize=4096)
def species_of(text: str | None) -> str | None:
    """Genus and species of a plant name, what follows left off; None for a short name.

    Examples
    --------
    >>> species_of("Hamamelis x intermedia 'Copper Moth'"), species_of("copper")
    ('Hamamelis × intermedia', None)
    >>> species_of("Hamamelis 'Copper Moth'")
    'Hamamelis sp.'
    """
    found = _plant(text) if text and " " in text else None
    if found is None:
        return None
    unknown = found.species_unknown or found.species is None
    bare = replace(found, rank=None, infraspecific=None, cultivar=None, species_unknown=unknown)
    return str(bare)


def derive_columns(
    lines: pd.DataFrame, classes: Mapping[str, Any], unit: str | None = None
) -> pd.DataFrame:
    """Add combination, species, relation, caliper ratio and match, and days between dates."""
    out = lines.copy()
    size = len(out)
    scion = _texts(out, "scion", size)
    understock = _texts(out, "understock", size)
    made_by = _texts(out, "made_by", size)
    kinds = np.array([m or "graft" for m in made_by], dtype=object)
    out["made_by"] = pd.Series(kinds, dtype=object)
    grafts = kinds == "graft"
    out["combination"] = np.array(
        [
            f"{s} on {u}" if s and u and g else None
            for s, u, g in zip(scion, understock, grafts, strict=True)
        ],
        dtype=object,
    )
    if any(scion):
        typed = _texts(out, "scion_species", size)
        species = [t or species_of(s) for t, s in zip(typed, scion, strict=True)]
        out["scion_species"] = np.array(species, dtype=object)
    told = _texts(out, "relation", size)
    out["relation"] = np.array(
        [
            t or (_relation(s, u) if g and s and u else None)
            for t, s, u, g in zip(told, scion, understock, grafts, strict=True)
        ],
        dtype=object,
    )
    _derive_calipers(out, classes, unit)
    _derive_days(out)
    return out


def _texts(frame: pd.DataFrame, name: str, size: int) -> list[str | None]:
    if name not in frame:
        return [None] * size
    values = frame[name].to_numpy(dtype=object)
    blank = pd.isna(values)
    if blank.any():
        values = values.copy()
        values[blank] = None
    texts: list[str | None] = values.tolist()
    return texts


def _numbers(frame: pd.DataFrame, name: str) -> NDArray[np.float64]:
    if name not in frame:
        return np.full(len(frame), np.nan)
    return frame[name].to_numpy(dtype=float)


def _derive_calipers(out: pd.DataFrame, classes: Mapping[str, Any], unit: str | None) -> None:
    scion, stock = _numbers(out, "scion_caliper_mm"), _numbers(out, "understock_caliper_mm")
    ratio = scion / stock
    out["caliper_ratio"] = ratio
    within = float(classes.get(MATCH_KEY, MATCH_WITHIN))
    worked = np.select(
        [np.isnan(ratio), ratio < 1 - within, ratio > 1 + within],
        ["", "scion thinner", "scion thicker"],
        "matched",
    )
    typed = _texts(out, "caliper_match", len(out))
    if "caliper_match" in out or not np.isnan(ratio).all():
        out["caliper_match"] = np.array(
            [t or (w or None) for t, w in zip(typed, worked.tolist(), strict=True)], dtype=object
        )
    bounds = class_bounds(classes, unit)
    if bounds and not np.isnan(stock).all():
        typed = _texts(out, "caliper_class", len(out))
        named = [t or class_of(mm, bounds) for t, mm in zip(typed, stock.tolist(), strict=True)]
        out["caliper_class"] = np.array(named, dtype=object)


def _days(texts: list[str | None]) -> NDArray[np.float64]:
    """Day numbers; a month without its day is NaN."""
    return np.array([_day(text) for text in texts], dtype=float)


@lru_cache(maxsize=65536)
def _day(text: str | None) -> float:
    if text is None or len(text) < 10:
        return np.nan
    return float(dt.date.fromisoformat(text).toordinal())


def _derive_days(out: pd.DataFrame) -> None:
    size = len(out)
    grafted = pd.Series(_days(_texts(out, "graft_date", size)), index=out.index)
    first = grafted.groupby(out["season"]).transform("min")
    out["day_of_season"] = (grafted - first).to_numpy()
    cut = _days(_texts(out, "scion_cut_date", size))
    out["storage_days"] = grafted.to_numpy() - cut
    broke = _days(_texts(out, "bud_break_date", size))
    out["days_to_bud_break"] = broke - grafted.to_numpy()


def tray_ids(lines: pd.DataFrame, *, trays_recorded: bool) -> list[str]:
    """A name for each tray that is unique among all that were read, and short."""
    if not trays_recorded:
        return [f"line {i + 1}" for i in range(len(lines))]
    size = len(lines)
    trays = [t or "" for t in _texts(lines, "tray", size)]
    seasons = [s or "" for s in _texts(lines, "season", size)]
    trials = [t or "" for t in _texts(lines, "trial", size)]
    full = list(zip(seasons, trials, trays, strict=True))
    wanted = len(set(full))
    for parts in ((2,), (0, 2), (1, 2)):
        if len({tuple(key[i] for i in parts) for key in full}) == wanted:
            return [" ".join(key[i] for i in parts if key[i]) for key in full]
    return [" ".join(part for part in key if part) for key in full]
