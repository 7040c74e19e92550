"""What is each combination of the season worth once all of them have been heard?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.answers.group_takes import group_takes
from takestats.errors import DesignError
from takestats.models.fit import fit_take

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.group_takes import GroupTakes
    from takestats.pages.asked import OutOf
    from takestats.records.result import Records

FEWEST = 3


def many_combinations(trays: DataFrame) -> bool:
    """Whether three combinations or more have a counted tray."""
    return bool(trays["combination"].nunique() >= FEWEST)


def shrunk_takes(
    records: Records, trays: DataFrame, *, season: str, out_of: OutOf
) -> tuple[GroupTakes | None, str]:
    """Fit the combinations as a grouping; else say what forbids it.

    Parameters
    ----------
    records : Records
    trays : pandas.DataFrame
        Counted trays of the season.
    season, out_of : str

    Returns
    -------
    tuple
        The takes or None; the reason, blank where there is none.
    """
    if not many_combinations(trays):
        return None, ""
    try:
        model = fit_take(
            records, [], grouping="combination", season=season or "auto", out_of=out_of
        )
        return group_takes(model), ""
    except DesignError as error:
        return None, error.what
