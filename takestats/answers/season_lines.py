"""Which lines does a forecast rest on? Every season of the records."""

from __future__ import annotations

from dataclasses import replace

from pandas import DataFrame

from takestats.errors import UnknownColumnError, UnknownLevelError
from takestats.models.lines import Lines, make_lines, nearest
from takestats.models.take_model import TakeModel
from takestats.records.derive import NOT_RECORDED
from takestats.records.result import Records
from takestats.wording.groups import unknown_season_note


def season_lines(
    model: TakeModel | Records, records: Records, columns: list[str]
) -> tuple[Lines, str, str, bool]:
    """All seasons of the records, by the columns.

    Returns
    -------
    lines : Lines
    out_of, count : str
    seasoned : bool
        Whether seasons are recorded.
    """
    fitted = model if isinstance(model, TakeModel) else None
    count = None if fitted is None else fitted.count
    out_of = "made" if fitted is None else fitted.out_of
    lines = make_lines(records, [*columns, "season"], season=None, count=count, out_of=out_of)
    known = lines.table["season"].astype(str) != NOT_RECORDED
    if known.any() and not known.all():
        lines = replace(
            lines,
            table=lines.table[known].reset_index(drop=True),
            notes=(*lines.notes, unknown_season_note(int((~known).sum()))),
        )
    return lines, out_of, count or records.count, bool(known.any())


def of_relation(table: DataFrame, relation: str) -> DataFrame:
    """Keep the lines of one relation, or of any.

    Raises
    ------
    UnknownColumnError, UnknownLevelError
    """
    if table["relation"].isna().all():
        raise UnknownColumnError(
            where="relation",
            what="no combination has one",
            rule="the relation follows from scion and understock, or is typed",
            next_step="fill in scion and understock, or leave relation out",
        )
    if relation == "any":
        return table
    known = sorted(str(x) for x in table["relation"].dropna().unique())
    if relation not in known:
        raise UnknownLevelError(
            where="relation",
            what=f"{relation!r}",
            rule="a relation of the records, or any",
            next_step=nearest(relation, [*known, "any"]),
        )
    return table[table["relation"].astype(str) == relation].reset_index(drop=True)
