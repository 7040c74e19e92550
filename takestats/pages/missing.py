"""Could the missing grafts turn the answer round?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from takestats.answers.gaps import differences
from takestats.models.fit import fit_take

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pandas import DataFrame

    from takestats.answers.gaps import Differences
    from takestats.models.take_model import TakeModel
    from takestats.records.result import Records

MANY = 0.05


@dataclass(frozen=True, eq=False, kw_only=True)
class MissingBounds:
    """The differences of the main question under the two extremes.

    Parameters
    ----------
    left_out : Differences
        Missing grafts left out, as on the rest of the page.
    failed : Differences
        Every missing graft counted as failed.
    taken : Differences
        Every missing graft counted as taken.
    """

    left_out: Differences
    failed: Differences
    taken: Differences


def many_missing(rates: DataFrame) -> bool:
    """Whether a level misses over 5 % of its grafts, or two levels part by 5 points.

    Parameters
    ----------
    rates : pandas.DataFrame
        The table of take rates of one factor.

    Returns
    -------
    bool
        False where missing grafts are not recorded.
    """
    shares = (rates["missing"] / rates["grafted"]).fillna(0.0)
    return bool(shares.max() > MANY or shares.max() - shares.min() >= MANY)


def missing_bounds(
    records: Records,
    model: TakeModel,
    factor: str,
    left_out: Differences,
    pairs: Sequence[tuple[str, str]],
) -> MissingBounds:
    """Fit the two extremes: all missing grafts failed, all of them taken.

    Parameters
    ----------
    records : Records
    model : TakeModel
        The model in which missing grafts are left out.
    factor : str
        The main question.
    left_out : Differences
        Its differences in that model.
    pairs : sequence of pairs of levels
        The same pairs.
    """
    trays = records.trays
    missing = trays["missing"].fillna(0.0)
    nobody = trays.assign(missing=missing * 0.0)
    all_taken = nobody.assign(taken=trays["taken"] + missing)
    found = [
        differences(
            fit_take(
                replace(records, trays=changed),
                list(model.factors),
                interactions=model.design.interactions,
                season=model.season or "auto",
                out_of=model.out_of,  # type: ignore[arg-type]
            ),
            factor,
            pairs=pairs,
        )
        for changed in (nobody, all_taken)
    ]
    return MissingBounds(left_out=left_out, failed=found[0], taken=found[1])
