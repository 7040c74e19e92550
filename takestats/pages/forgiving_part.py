"""Which species of this season forgive a scion that is thinner than its understock?"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from takestats.answers.forgiving import MATCH, MATCHED, THINNER, forgiving
from takestats.errors import DesignError
from takestats.models.fit import fit_take
from takestats.models.lines import as_level
from takestats.pages.along import MANY_TRAYS
from takestats.pages.strata import find_strata
from takestats.wording.forgiving import no_match_words, no_pair_words, not_forgiving_words

if TYPE_CHECKING:
    from takestats.answers.forgiving import Forgiving
    from takestats.models.take_model import TakeModel
    from takestats.pages.gathered import Gathered
    from takestats.records.result import Records

SPECIES = ("scion_species", "understock")
THICKER = "scion thicker"


def season_forgiving(found: Gathered) -> tuple[Forgiving | None, tuple[str, ...]]:
    """Hold the matched grafts against the others inside each species.

    Parameters
    ----------
    found : Gathered

    Returns
    -------
    tuple
        The answer or None; sentences: the species that could not be held, or why there is
        no answer. Both are empty where no caliper match is recorded.

    Notes
    -----
    From one model with the interaction of match and species, the main factor beside it; in
    a big season every cell of match and species by itself, trays counted as independent.
    """
    if MATCH not in found.trays.columns or found.trays[MATCH].isna().all():
        return None, ()
    levels = {as_level(value) for value in found.trays[MATCH]} - {None}
    others = [name for name in (THINNER, THICKER) if name in levels]
    if MATCHED not in levels or not others:
        return None, (not_forgiving_words(no_match_words(sorted(str(x) for x in levels))),)
    other = others[0]
    records = _of_levels(found.records, (MATCHED, other))
    counted = found.trays[found.trays[MATCH].map(as_level).isin([MATCHED, other])]
    for species in SPECIES:
        if species not in counted.columns or counted[species].isna().all():
            continue
        try:
            strata = find_strata(counted, MATCH, species, [MATCHED, other])
        except DesignError:
            continue
        kept = strata.inside(records)
        try:
            if len(strata.kept) == 1:
                kept = _of_one(kept, species, strata.kept[0])
                model = _fit(found, kept, "")
                return forgiving(model, species, other=other, only=strata.kept[0]), strata.said
            return forgiving(_fit(found, kept, species), species, other=other), strata.said
        except DesignError as error:
            return None, (not_forgiving_words(error.what),)
    return None, (not_forgiving_words(no_pair_words(other)),)


def _fit(found: Gathered, records: Records, species: str) -> TakeModel:
    """Match by species with the main factor beside them, without it where it is refused."""
    many = len(found.trays) > MANY_TRAYS
    pair = [MATCH, species] if species else [MATCH]
    beside = [found.main] if found.main not in ("", "combination", *pair) and not many else []
    for more in dict.fromkeys((tuple(beside), ())):
        try:
            return fit_take(
                records,
                [*pair, *more],
                interactions=[pair] if species else (),
                grouping=None if many else "auto",
                season=found.season or "auto",
                out_of=found.asked.out_of,
            )
        except DesignError as error:
            refused = error
    raise refused


def _of_levels(records: Records, levels: tuple[str, ...]) -> Records:
    """Without the trays of another match; blank ones stay, to be counted as left out."""
    trays = records.trays
    keep = trays[MATCH].map(as_level).isin(levels) | trays[MATCH].isna()
    return replace(records, trays=trays[keep])


def _of_one(records: Records, species: str, level: str) -> Records:
    trays = records.trays
    return replace(records, trays=trays[trays[species].map(as_level) == level])
