"""Which species forgive a scion that is thinner than its understock?"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from pandas import DataFrame

from takestats.answers.gaps import Differences, differences
from takestats.answers.held import HeldDifference, held_difference
from takestats.errors import CountsError
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import forgiving as words

MATCH = "caliper_match"
MATCHED = "matched"
THINNER = "scion thinner"
ALLOWED = 0.05


@dataclass(frozen=True, eq=False, kw_only=True)
class Forgiving(TableResult):
    """How much take a poorer match costs, species by species.

    Parameters
    ----------
    species : str
        The column of the species.
    other : str
        The match held against matched.
    allowed : float
        A drop that is forgiven, as a proportion.
    level : float
    """

    species: str
    other: str
    allowed: float
    level: float
    _held: HeldDifference | None = field(repr=False)

    @property
    def held(self) -> HeldDifference | None:
        """Whether the drop is the same from species to species; None for one species."""
        return self._held


def forgiving(
    model: TakeModel,
    species: str = "scion_species",
    *,
    other: str = THINNER,
    only: str = "",
    allowed: float = ALLOWED,
    level: float = 0.95,
) -> Forgiving:
    """Does this species forgive a scion that is thinner than its understock?

    Parameters
    ----------
    model : TakeModel
        Fitted with the interaction of ``caliper_match`` and ``species``; where the trays are
        of one species, with ``caliper_match`` alone and the species named by ``only``.
    species : str
        scion_species or understock.
    other : str
        The match held against matched grafts.
    only : str
        The one species of all trays of the fit.
    allowed : float
        A drop up to this is forgiven: 0.05 for 5 points.
    level : float
        Confidence level.

    Returns
    -------
    Forgiving
        One row a species: the species column, drop (take of matched grafts less that of
        the other), low, high, trays_matched, trays_other, grafts_matched, grafts_other,
        raw_drop, verdict ("forgives", "does not forgive", "cannot be said").

    Raises
    ------
    CountsError
        When ``allowed`` is not between 0 and 1.
    DesignError, UnknownLevelError
        When the model does not hold what is asked.

    Notes
    -----
    A species forgives when the whole interval of the drop lies at or under ``allowed``: no
    clear drop is not enough, because few trays never show one. This is the usual way to
    show that something is no worse by more than a margin.

    References
    ----------
    An interval held against a margin: Piaggio et al. 2012, JAMA 308:2594-2604 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.forgiving import forgiving
    >>> bench = pd.DataFrame({
    ...     "season": "2026", "tray": [f"T{i}" for i in range(16)], "grafted": 40,
    ...     "scion_species": ["Acer griseum"] * 8 + ["Carpinus betulus"] * 8,
    ...     "caliper_match": ["matched", "scion thinner"] * 8,
    ...     "taken": [39, 39, 40, 40, 38, 39, 40, 40, 38, 25, 39, 28, 37, 24, 38, 27]})
    >>> pair = ["caliper_match", "scion_species"]
    >>> model = ts.fit_take(ts.records_from_frame(bench), pair, interactions=[pair])
    >>> forgiving(model).table["verdict"].tolist()
    ['forgives', 'does not forgive']
    """
    if not 0.0 < allowed < 1.0:
        raise CountsError(
            where="allowed",
            what=f"{allowed!r}",
            rule="a proportion between 0 and 1",
            next_step="write 0.05 for 5 points",
        )
    held = None
    inside: Differences | HeldDifference
    if only:
        inside = differences(model, MATCH, pairs=[(MATCHED, other)], level=level)
    else:
        held = held_difference(model, MATCH, species, pairs=[(MATCHED, other)], level=level)
        inside = held
    rows: list[dict[str, Any]] = []
    drops: list[words.Drop] = []
    for row in inside.table.to_dict("records"):
        low, high = float(row["low"]), float(row["high"])
        name = only or str(row[species])
        found = words.Drop(
            name, other, float(row["difference"]), low, high, row["trays_a"], row["trays_b"]
        )
        drops.append(found)
        rows.append(
            {
                species: name,
                "drop": found.drop,
                "low": low,
                "high": high,
                "trays_matched": row["trays_a"],
                "trays_other": row["trays_b"],
                "grafts_matched": row["grafts_a"],
                "grafts_other": row["grafts_b"],
                "raw_drop": row["raw_difference"],
                "verdict": words.verdict_of(low, high, allowed),
            }
        )
    verdicts = [str(row["verdict"]) for row in rows]
    named = [(drop.species, verdict) for drop, verdict in zip(drops, verdicts, strict=True)]
    lines = [
        words.drop_words(drop, verdict, level)
        for drop, verdict in zip(drops, verdicts, strict=True)
    ]
    return Forgiving(
        _table=DataFrame(rows),
        notes=(
            words.forgiving_note(other, species),
            words.rule_words(other, allowed, level),
            *inside.notes,
        ),
        sentences=(words.summary_words(named, other, allowed), *lines),
        species=species,
        other=other,
        allowed=allowed,
        level=level,
        _held=held,
    )
