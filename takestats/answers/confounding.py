"""Which things moved together, so that the records cannot tell them apart?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pandas import DataFrame

from takestats.answers.population import names
from takestats.models.lines import as_level
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import trays as words

USUAL_SUSPECTS = (
    "season",
    "block",
    "bench",
    "heat_zone",
    "graft_date",
    "grafter",
    "donor",
    "understock_lot",
    "healing",
    "method",
    "scion_wood",
    "caliper_class",
    "combination",
)
_SEVERAL = 2


@dataclass(frozen=True, eq=False, kw_only=True)
class Confounding(TableResult):
    """Levels that stand wholly within one level of something else."""


def confounding(model: TakeModel, factors: str | Sequence[str] | None = None) -> Confounding:
    """Was one thing always done together with another?

    Parameters
    ----------
    model : TakeModel
    factors : str, list of str or None
        Columns to look at; by default the factors of the model.

    Returns
    -------
    Confounding
        factor, level, other, other_level, trays, of_levels: one row for each
        level of a factor all of whose trays share one level of another
        recorded column that itself has several.

    Notes
    -----
    Looks at the columns a nursery usually records (season, block, date,
    grafter, donor, lot and the like) and at the model's own factors. A level
    with one tray is wholly within everything; it is listed once, against the
    first column found.

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.confounding import confounding
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 4, "tray": list("ABCD"), "grafter": ["AB", "AB", "CD", "CD"],
    ...     "method": ["cleft", "cleft", "side veneer", "side veneer"],
    ...     "grafted": [40] * 4, "taken": [31, 36, 40, 39]})
    >>> model = ts.fit_take(ts.records_from_frame(bench), ["method"])
    >>> confounding(model).table["other"].tolist()
    ['grafter', 'grafter']
    """
    asked = list(names(factors)) or list(model.factors)
    lines = model.lines
    others = [c for c in dict.fromkeys([*USUAL_SUSPECTS, *asked]) if c in lines.columns]
    texts = {c: [as_level(v) for v in lines[c].tolist()] for c in [*others, *asked]}
    kinds = {other: len(set(texts[other]) - {None}) for other in others}
    rows: list[dict[str, Any]] = []
    for factor in asked:
        for level, places in _places(texts[factor]).items():
            for other in others:
                if other == factor or kinds[other] < _SEVERAL:
                    continue
                found = {texts[other][place] for place in places}
                if len(found) == 1 and None not in found:
                    rows.append(
                        {
                            "factor": factor,
                            "level": level,
                            "other": other,
                            "other_level": found.pop(),
                            "trays": len(places),
                            "of_levels": kinds[other],
                        }
                    )
                    if len(places) == 1:
                        break
    columns = ["factor", "level", "other", "other_level", "trays", "of_levels"]
    table = DataFrame(rows, columns=columns)
    pairs = list(dict.fromkeys((row["factor"], row["other"]) for row in rows))
    sentences = tuple(
        words.confounding_sentence(
            row["factor"], row["level"], row["other"], row["other_level"], row["trays"]
        )
        for row in rows
    )
    return Confounding(
        _table=table,
        notes=(words.confounding_summary(pairs),),
        sentences=sentences or (words.confounding_summary([]),),
    )


def _places(levels: Sequence[str | None]) -> dict[str, list[int]]:
    """Where each level stands, in the order in which levels are met; blanks stand nowhere."""
    found: dict[str, list[int]] = {}
    for place, level in enumerate(levels):
        if level is not None:
            found.setdefault(level, []).append(place)
    return found
