"""Which trays are worth a look?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from pandas import DataFrame

from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import trays as words

_RARE = 0.01


@dataclass(frozen=True, eq=False, kw_only=True)
class OddTrays(TableResult):
    """Trays far from their group.

    Parameters
    ----------
    looked_at : int
        How many trays were looked at.
    """

    looked_at: int


def odd_trays(model: TakeModel, *, rare: float = _RARE) -> OddTrays:
    """Which trays lie far from their group, further than trays usually do?

    Parameters
    ----------
    model : TakeModel
    rare : float
        A tray is listed when a count at least this far out has a smaller
        chance than this.

    Returns
    -------
    OddTrays
        tray_id, season, the factors, taken, tried, raw_rate, expected_rate,
        chance, side ("low" or "high"), the oddest first.

    Notes
    -----
    Beta-binomial tail averaged over the posterior of the tray's own pattern,
    the tray's own count taken back out by importance weights. Where no trays
    were recorded the list is empty.

    References
    ----------
    Half of the count's own chance (mid-p): Lancaster 1961, J Am Stat Assoc
    56:223-234 (from memory). Leaving one out by importance weights: Gelfand,
    Dey & Chang 1992, Bayesian Statistics 4:147-167 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.odd_trays import odd_trays
    >>> bench = pd.DataFrame({
    ...     "season": ["2025-26"] * 8, "tray": list("ABCDEFGH"),
    ...     "grafted": [40] * 8, "taken": [37, 38, 36, 39, 38, 37, 38, 8]})
    >>> odd_trays(ts.fit_take(ts.records_from_frame(bench), [])).table["tray_id"].tolist()
    ['H']
    """
    lines = model.lines
    named = list(dict.fromkeys(("tray_id", "season", *model.factors)))
    columns = [*named, "taken", "tried", "raw_rate", "expected_rate", "chance", "side"]
    rows: list[dict[str, Any]] = []
    for index, tail in enumerate(model.tray_tails):
        low = tail.lower + 0.5 * tail.at
        chance, side = (low, "low") if low <= 0.5 else (1.0 - low, "high")
        if chance < rare:
            line = lines.iloc[index]
            taken, tried = float(line["taken"]), float(line["tried"])
            rows.append(
                {name: line[name] for name in named}
                | {
                    "taken": taken,
                    "tried": tried,
                    "raw_rate": taken / tried,
                    "expected_rate": tail.expected,
                    "chance": chance,
                    "side": side,
                }
            )
    table = DataFrame(rows, columns=columns).sort_values(
        ["chance", "tray_id"], kind="stable", ignore_index=True
    )
    return OddTrays(
        _table=table,
        notes=(words.odd_trays_note(len(lines), rare), *model.notes),
        sentences=words.odd_trays_sentences(
            sorted(rows, key=lambda row: (row["chance"], row["tray_id"])),
            len(lines),
            rare,
            model.trays_recorded,
        ),
        looked_at=len(lines),
    )
