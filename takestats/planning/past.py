"""What do past seasons say of how much trays differ?"""

from __future__ import annotations

from dataclasses import dataclass

from takestats.errors import CountsError, DesignError
from takestats.models.fit import fit_take
from takestats.models.take_model import TakeModel
from takestats.records.result import Records

_LEAST, _MOST = 0.005, 0.6


@dataclass(frozen=True, kw_only=True)
class PastTrays:
    """How much the trays of past records differed.

    Parameters
    ----------
    icc, low, high : float
        Intra-tray correlation, the middle and its 95 % limits.
    trays : int
    grafts : float
    seasons : int
    banner : str
        Of invented or reconstructed records; blank else.
    """

    icc: float
    low: float
    high: float
    trays: int
    grafts: float
    seasons: int
    banner: str = ""

    @property
    def iccs(self) -> tuple[float, ...]:
        """The lower limit, the middle and the upper limit, kept where a plan can use them."""
        inside = (min(max(x, _LEAST), _MOST) for x in (self.low, self.icc, self.high))
        return tuple(dict.fromkeys(inside))


def past_trays(past: TakeModel | Records) -> PastTrays:
    """Read the intra-tray correlation off a fitted model, or fit the records by combination.

    Parameters
    ----------
    past : TakeModel or Records
        Records are fitted with the combination (or without factors where it is
        not recorded) and, over several seasons, the season.

    Raises
    ------
    CountsError
        For anything else.
    DesignError
        No trays were recorded.
    """
    if isinstance(past, Records):
        past = _fitted(past)
    if not isinstance(past, TakeModel):
        raise CountsError(
            where="past",
            what=type(past).__name__,
            rule="past is what read_records or fit_take gives",
            next_step="read the past season's file with read_records first",
        )
    table = past.tray_variation.table
    if not past.trays_recorded or table.empty:
        raise DesignError(
            where="past",
            what="no trays recorded",
            rule="how much trays differ is seen only where trays were recorded",
            next_step="leave past out: the plan then goes over a range",
        )
    row = table[table["level"] == "all"].iloc[0]
    return PastTrays(
        icc=float(row["icc"]),
        low=float(row["low"]),
        high=float(row["high"]),
        trays=past.trays,
        grafts=past.grafts,
        seasons=len(past.seasons),
        banner=past.records.banner,
    )


def _fitted(records: Records) -> TakeModel:
    trays = records.trays
    counted = trays[trays["counted"].astype(bool)]
    combinations = int(counted["combination"].nunique()) if "combination" in counted else 0
    return fit_take(records, ["combination"] if combinations > 1 else [], grouping=None)
