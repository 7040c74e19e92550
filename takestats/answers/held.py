"""Does a difference hold inside every level of another column?"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import combinations
from typing import Any

import numpy as np
from pandas import DataFrame

from takestats.answers.gaps import differences, holm
from takestats.answers.pairs import ComparedPair, Pairs, compared_pairs
from takestats.answers.population import ask
from takestats.errors import DesignError
from takestats.models.belief import ContrastBelief, Population
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import held as words

_RATIO = ("ratio_of_odds_ratios", "ratio_low", "ratio_high")


@dataclass(frozen=True, eq=False, kw_only=True)
class HeldDifference(TableResult):
    """A difference inside each level of another column, and those held against one another.

    Parameters
    ----------
    by, within : str
    level : float
    verdicts : tuple of str
        "holds in all", "differs" or "cannot tell", one a pair of levels.
    """

    by: str
    within: str
    level: float
    verdicts: tuple[str, ...]
    _contrasts: DataFrame = field(repr=False)

    @property
    def contrasts(self) -> DataFrame:
        """Two strata at a time (a copy): level_a, level_b, first, second, more, low, high, ..."""
        return self._contrasts.copy()


def held_difference(
    model: TakeModel, by: str, within: str, *, pairs: Pairs = "all", level: float = 0.95
) -> HeldDifference:
    """Does the difference hold in every species, season or other stratum?

    Parameters
    ----------
    model : TakeModel
        Fitted with the interaction of ``by`` and ``within``.
    by : str
        The factor whose levels are compared.
    within : str
        The factor inside whose levels they are compared.
    pairs : "all", "reference" or list of pairs
        As for :func:`takestats.differences`.
    level : float
        Confidence level.

    Returns
    -------
    HeldDifference
        As :func:`takestats.differences` with ``within``. ``contrasts``: level_a,
        level_b, first, second (two strata), more (the difference A minus B in the
        first less that in the second), low, high, p_value, p_adjusted (Holm, over
        the strata of the pair), wide_low, wide_high (limits that allow for all
        strata of the pair: Bonferroni), ratio_of_odds_ratios, ratio_low,
        ratio_high (averaged over trays). ``sentences``: one a pair of levels.

    Raises
    ------
    UnknownColumnError, UnknownLevelError, CountsError
    DesignError
        When the model has no interaction of the two, or an engine without one.

    Notes
    -----
    The difference of two differences is read from the same draws as the
    differences. A difference *holds in all* when each stratum's interval lies
    on the same side of zero; it *differs* when two strata part by more than
    chance (adjusted for all pairs of strata) and not all intervals lie on one
    side; else these trays *cannot tell*. In points, a difference must shrink
    as takes near 100 %; the ratio of odds ratios need not.

    References
    ----------
    Two differences compared by their own difference, not by which one is clear
    of zero: Gelman & Stern 2006, Am Stat 60:328-331 (from memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> from takestats.answers.held import held_difference
    >>> bench = pd.DataFrame({
    ...     "season": "2026", "tray": [f"T{i}" for i in range(12)], "grafted": 40,
    ...     "method": ["cleft", "side veneer"] * 6, "donor": ["east"] * 6 + ["west"] * 6,
    ...     "taken": [30, 39, 31, 38, 29, 39, 32, 38, 30, 39, 28, 38]})
    >>> model = ts.fit_take(
    ...     ts.records_from_frame(bench), ["method", "donor"], interactions=[["method", "donor"]])
    >>> held = held_difference(model, "method", "donor")
    >>> held.verdicts
    ('holds in all',)
    >>> len(held.table), len(held.contrasts)
    (2, 1)
    """
    joint = any({by, within} <= set(names) for names in model.design.interactions)
    if not joint or not isinstance(model.belief, ContrastBelief):
        raise DesignError(
            where=f"held_difference, {by} within {within}",
            what=f"the model has no interaction of {by} and {within}"
            if not joint
            else f"engine {model.engine} cannot hold two differences against each other",
            rule="without it the difference is the same everywhere because it was assumed so",
            next_step=f'fit_take(..., interactions=[["{by}", "{within}"]]) with the tray model',
        )
    gaps = differences(model, by, within=within, pairs=pairs, level=level)
    found, _ = compared_pairs(model, ask(model, by, within, None, None, "grafts"), pairs)
    together: dict[tuple[str, str], list[ComparedPair]] = {}
    for pair in found:
        key = (pair.names["level_a"], pair.names["level_b"])
        together.setdefault(key, []).append(pair)
    rows: list[dict[str, Any]] = []
    verdicts: list[str] = []
    sentences: list[str] = []
    table = gaps.table
    for (a, b), strata in together.items():
        mine = _contrasts(model.belief, strata, within, level)
        own = table[(table["level_a"] == a) & (table["level_b"] == b)]
        inside = [
            words.Inside(str(name), float(value), float(low), float(high))
            for name, value, low, high in own[[within, "difference", "low", "high"]].to_numpy()
        ]
        verdict = words.verdict_of(inside, [row["p_adjusted"] for row in mine], 1.0 - level)
        verdicts.append(verdict)
        sentences.append(words.held_sentence(verdict, (a, b), within, inside, mine, level))
        rows += [{"level_a": a, "level_b": b} | row for row in mine]
    columns = ["level_a", "level_b", "first", "second", "more", "low", "high", "p_value"]
    columns += ["p_adjusted", "wide_low", "wide_high", *_RATIO]
    return HeldDifference(
        _table=table,
        notes=(words.held_note(by, within, level), *gaps.notes),
        sentences=tuple(sentences),
        by=by,
        within=within,
        level=level,
        verdicts=tuple(verdicts),
        _contrasts=DataFrame(rows, columns=columns),
    )


def _contrasts(
    belief: ContrastBelief, strata: list[ComparedPair], within: str, level: float
) -> list[dict[str, Any]]:
    """Every two strata of one pair of levels."""
    looks = list(combinations(strata, 2))
    wide = 1.0 - (1.0 - level) / max(len(looks), 1)
    rows: list[dict[str, Any]] = []
    for first, second in looks:
        (a, b), (c, d) = first.populations, second.populations
        signs: list[tuple[float, Population]] = [(1.0, a), (-1.0, b), (-1.0, c), (1.0, d)]
        more, allowing = (belief.take_contrast(signs, x) for x in (level, wide))
        odds = belief.log_odds_contrast(signs, level)
        rows.append(
            {
                "first": first.names[within],
                "second": second.names[within],
                "more": more.estimate,
                "low": more.low,
                "high": more.high,
                "p_value": more.p_value,
                "wide_low": allowing.low,
                "wide_high": allowing.high,
            }
            | dict(zip(_RATIO, np.exp([odds.estimate, odds.low, odds.high]).tolist(), strict=True))
        )
    adjusted = holm(np.array([row["p_value"] for row in rows]))
    for row, value in zip(rows, adjusted.tolist(), strict=True):
        row["p_adjusted"] = value
    return rows
