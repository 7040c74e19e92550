"""What is each combination worth once all the others have been heard?"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from pandas import DataFrame

from takestats.answers.raw import counted
from takestats.errors import DesignError, UnknownColumnError
from takestats.interval import check_level
from takestats.models.belief import single
from takestats.models.crossed_belief import CrossedBelief
from takestats.models.design import Design
from takestats.models.engines import grid_belief
from takestats.models.grouped_belief import GroupedBelief
from takestats.models.line_arrays import LineArrays
from takestats.models.lines import as_level, nearest
from takestats.models.result import TableResult
from takestats.models.take_model import TakeModel
from takestats.wording import groups as words


@dataclass(frozen=True, eq=False, kw_only=True)
class GroupTakes(TableResult):
    """Shrunk takes of a grouping's levels, the unshrunk ones beside them.

    Parameters
    ----------
    grouping : str
        The column whose levels are the groups.
    level : float
    """

    grouping: str
    level: float
    _new_group: DataFrame = field(repr=False)
    _between: DataFrame = field(repr=False)

    @property
    def new_group(self) -> DataFrame:
        """A group not yet seen: take_rate, low, high (one row, a copy)."""
        return self._new_group.copy()

    @property
    def between(self) -> DataFrame:
        """Spread between groups, log odds: standard_deviation, low, high (one row, a copy)."""
        return self._between.copy()


def group_takes(
    model: TakeModel, *, grouping: str | None = None, level: float = 0.95
) -> GroupTakes:
    """What is each combination worth once all the others have been heard?

    Few trays of one combination say little; the others say what such
    combinations usually do. Each take is drawn to the mean of all, the more
    the less its own trays say.

    Parameters
    ----------
    model : TakeModel
        Fitted with a grouping.
    grouping : str, optional
        Which of two that cross; the first one named when left out.
    level : float
        Confidence level.

    Returns
    -------
    GroupTakes
        One row per level of the grouping: the level, take_rate, low, high
        (shrunk, averaged over trays, at the mix of the other columns over all
        lines), shrunk_by, unshrunk_take, unshrunk_low, unshrunk_high (the
        level's own trays, as the grouping fitted alone as a factor), trays,
        grafts, raw_rate. ``new_group``: the same for a level not yet tried.

    Raises
    ------
    DesignError
        When the model has no grouping.
    CountsError
        For a level outside 0 to 1.

    Notes
    -----
    ``shrunk_by``: if the middle of all groups moved by a little, in log odds,
    the share of that move that the middle of this group's belief would follow.
    It is the variance of the group's log odds given the middle over the
    squared spread between groups, averaged over the posterior: 0 stands wholly
    on its own trays, 1 wholly on the mean.

    Shrunk takes are for ranking, orders and what was not tried yet: over all
    combinations they hold the truth as often as they say. The truly best or
    worst of many is held less often (about 90 of 100 at 95 %): for a
    combination somebody named, or the difference of two, read the unshrunk
    interval. Under five groups the result rests on an assumed spread.

    References
    ----------
    Shrinkage towards a common mean: Efron & Morris 1975, JASA 70:311-319 (from
    memory).

    Examples
    --------
    >>> import pandas as pd
    >>> import takestats as ts
    >>> bench = pd.DataFrame({
    ...     "season": "2025-26", "tray": [f"T{i}" for i in range(12)],
    ...     "donor": ["east", "north", "south", "west"] * 3,
    ...     "grafted": 40, "taken": [31, 36, 38, 40, 33, 37, 39, 40, 30, 35, 39, 38]})
    >>> model = ts.fit_take(ts.records_from_frame(bench), [], grouping="donor")
    >>> takes = group_takes(model)
    >>> takes.table["donor"].tolist()
    ['east', 'north', 'south', 'west']
    >>> bool((takes.table["take_rate"].diff().dropna() > 0).all())
    True
    """
    check_level(level)
    belief: object = model.belief
    if isinstance(belief, CrossedBelief):
        belief = belief.view(_one_of(belief.groupings, grouping))
    elif isinstance(belief, GroupedBelief):
        _one_of((belief.grouping,), grouping)
    if not isinstance(belief, GroupedBelief):
        raise DesignError(
            where="group_takes",
            what="the model has no grouping",
            rule="shrunk takes are those of a grouping's levels",
            next_step='fit again with grouping="combination", or ask take_rates for a factor',
        )
    name = belief.grouping
    lines = model.lines
    lines[name] = [as_level(value) for value in lines[name]]
    lines = lines[lines[name].notna()]
    arrays = LineArrays.of(lines, (name,), (name,))
    alone = Design(factors=(name,), levels={name: belief.groups}, curves=(), interactions=())
    # Several rows of one tray are one tray of its group.
    trays = lines.groupby(["tray_id", name], sort=False)[["taken", "tried"]].sum().reset_index()
    own = grid_belief(trays, alone, no_trays=not model.trays_recorded, seed=model.seed)
    rows: list[dict[str, Any]] = []
    for group in belief.groups:
        mask = arrays.mask((name,), (group,))
        counts = counted(arrays, mask, trays_recorded=model.trays_recorded)
        shrunk = belief.group_take(group, level)
        lone = own.take(single((name,), (group,)), level)
        rows.append(
            {
                name: group,
                "take_rate": shrunk.estimate,
                "low": shrunk.low,
                "high": shrunk.high,
                "shrunk_by": belief.shrunk_by(group),
                "unshrunk_take": lone.estimate,
                "unshrunk_low": 0.0 if counts["taken"] <= 0.0 else lone.low,
                "unshrunk_high": 1.0 if counts["taken"] >= counts["grafts"] else lone.high,
                "trays": counts["trays"],
                "grafts": counts["grafts"],
                "raw_rate": counts["taken"] / counts["grafts"],
            }
        )
    new = belief.new_group(level)
    fresh = {"take_rate": new.estimate, "low": new.low, "high": new.high}
    spread = belief.between(level)
    between = {"standard_deviation": spread.estimate, "low": spread.low, "high": spread.high}
    few = () if len(rows) >= words.FEW_GROUPS else (words.few_groups_note(name, len(rows)),)
    notes = (
        *words.group_notes(name, level, (spread.estimate, spread.low, spread.high)),
        *words.unshrunk_notes((*model.factors, *model.curves), model.seasons),
        *few,
        *(note for note in model.notes if note not in few),
    )
    return GroupTakes(
        _table=DataFrame(rows),
        notes=notes,
        sentences=(
            *words.group_sentences(rows, name, level),
            words.new_group_sentence(name, fresh, level),
        ),
        grouping=name,
        level=level,
        _new_group=DataFrame([fresh]),
        _between=DataFrame([between]),
    )


def _one_of(known: tuple[str, ...], asked: str | None) -> str:
    if asked is None:
        return known[0]
    if asked not in known:
        raise UnknownColumnError(
            where="group_takes, grouping",
            what=f"{asked!r}",
            rule="a grouping of this model",
            next_step=nearest(asked, list(known)),
        )
    return asked
