"""Which rows does a page fit its models to? Grafts, when cuttings are recorded beside them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from takestats.records.result import Records


def grafts_alone(records: Records) -> Records:
    """The records without their cuttings, which are never in one model with grafts.

    Parameters
    ----------
    records : Records

    Returns
    -------
    Records
        The same object when there are no cuttings, or nothing else.
    """
    trays = records.trays
    grafts = trays["made_by"].fillna("graft") == "graft"
    if grafts.all() or not grafts.any():
        return records
    kept = trays[grafts]
    counts = records.counts[records.counts["line"].isin(kept["line"])]
    return replace(records, trays=kept, counts=counts)
