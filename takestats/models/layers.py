"""Which layers stand above the trays, and do trays hold several rows?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pandas import DataFrame

from takestats.models.checks import refuse
from takestats.models.lines import as_level
from takestats.wording import layered as words
from takestats.wording.numbers import column_words, listing

_DATES = ("graft_date", "day_of_season", "days_to_bud_break", "month", "week")
_FEWEST = 3
_MOST_GROUPINGS = 2


@dataclass(frozen=True, eq=False, kw_only=True)
class Layers:
    """The layers of a fit beside the tray itself.

    Parameters
    ----------
    column : str
        The column above the trays; empty when there is none.
    named : bool
        Whether the user named it: then its levels are told apart by
        :func:`takestats.group_takes`.
    units : tuple of str
        The block, day or group of each line; empty without a layer.
    second : str
        A second named grouping, that crosses the first; empty when there is none.
    second_units : tuple of str
        Its group of each line.
    rows : bool
        Whether trays hold several rows of the fit.
    notes : tuple of str
    """

    column: str = ""
    named: bool = False
    units: tuple[str, ...] = ()
    second: str = ""
    second_units: tuple[str, ...] = ()
    rows: bool = False
    notes: tuple[str, ...] = ()


def check_grouping(
    grouping: str | Sequence[str] | None,
    factors: Sequence[str],
    curves: Sequence[str],
    engine: str,
) -> tuple[str, ...]:
    """The named groupings: none, one or two.

    Raises
    ------
    DesignError
        For a column that is also a factor or a curve, the tray itself, three
        groupings, or an engine that knows no layer above the tray.
    """
    if grouping is None or grouping == "auto":
        return ()
    named = (grouping,) if isinstance(grouping, str) else tuple(grouping)
    for name in named:
        _check_one_grouping(name, factors, curves, engine)
    if not 1 <= len(set(named)) == len(named) <= _MOST_GROUPINGS or (engine == "ml" and named[1:]):
        raise refuse(
            "grouping",
            listing([str(name) for name in named]) or "an empty list",
            "one grouping, or two different ones that cross (not by maximum likelihood)",
            "name the one or two whose levels are drawn from many",
        )
    return named


def _check_one_grouping(
    grouping: str, factors: Sequence[str], curves: Sequence[str], engine: str
) -> None:
    if grouping in factors or grouping in curves:
        raise refuse(
            f"grouping, {grouping}",
            "it is also among the factors and curves",
            "a column is a factor or a grouping, never both: a factor's levels are compared, "
            "a grouping's levels are drawn from many",
            "leave it out of one of the two",
        )
    if grouping in ("tray", "tray_id"):
        raise refuse(
            "grouping, tray",
            "the tray is always a layer of the model",
            "a grouping stands above the trays: a block, a day, a combination, a grafter",
            'leave it out, or name such a column; grouping="auto" finds a recorded block',
        )
    if engine not in ("tray_model", "ml"):
        raise refuse(
            f"engine, {engine}",
            f"a grouping, {grouping}, was asked for",
            "only the tray model and maximum likelihood have a layer above the trays",
            "leave the grouping out, or use the tray model",
        )


def find_layers(
    table: DataFrame,
    factors: Sequence[str],
    curves: Sequence[str],
    *,
    grouping: str | Sequence[str] | None,
    trays_recorded: bool,
    trays: int | None = None,
) -> Layers:
    """Which layer is there, and is it used?

    Parameters
    ----------
    table : DataFrame
        Lines of the fit: tray_id, season and the recorded columns.
    factors, curves : sequence of str
    grouping : str, sequence of str or None
        One column or two, "auto" or None.
    trays_recorded : bool
    trays : int, optional
        How many there are, where it is known.

    Raises
    ------
    DesignError
        A tray in two groups; a grouping that is the tray, or a factor, under
        another name; a named grouping beside several rows in a tray.
    """
    known = int(table["tray_id"].nunique()) if trays is None else trays
    rows = trays_recorded and known < len(table)
    if grouping is not None and grouping != "auto":
        named = (grouping,) if isinstance(grouping, str) else tuple(grouping)
        found = [
            _named(table, name, factors, rows=rows, trays_recorded=trays_recorded) for name in named
        ]
        if len(found) == 1:
            return found[0]
        return _crossed(found[0], found[1], trays_recorded=trays_recorded)
    column = _recorded(table, [*factors, *curves])
    if not column:
        return Layers(rows=rows)
    if not trays_recorded:
        return Layers(notes=(words.unused_note(column, "no trays were recorded"),))
    if grouping is None:
        return Layers(rows=rows, notes=(words.unused_note(column, "it was switched off"),))
    blank = int(table[column].isna().sum())
    if blank:
        note = words.unused_note(column, words.blank_reason(blank)) if column == "block" else ""
        return Layers(rows=rows, notes=(note,) if note else ())
    units = _labels(table, column)
    _check_one_unit(table, column, units)
    pairs = DataFrame({"unit": units, "tray": table["tray_id"].astype(str)}).drop_duplicates()
    several = pairs["unit"].value_counts()
    if int((several >= 2).sum()) < 2:
        if column != "block":
            return Layers(rows=rows)
        why = "one block only" if several.size == 1 else words.LONE_TRAYS
        return Layers(rows=rows, notes=(words.unused_note(column, why),))
    if rows:
        return Layers(rows=True, notes=(words.unused_note(column, words.ROWS_FIRST),))
    return Layers(
        column=column,
        units=tuple(units),
        notes=_unit_notes(table, units, factors, column),
    )


def _recorded(table: DataFrame, used: Sequence[str]) -> str:
    """The recorded layer: a block, else a graft date that several trays share."""
    if "block" in table.columns and table["block"].notna().any():
        return "" if "block" in used else "block"
    if "graft_date" not in table.columns or any(name in used for name in _DATES):
        return ""
    dates = table[["tray_id", "graft_date"]].dropna().drop_duplicates()
    return "graft_date" if bool(dates["graft_date"].duplicated().any()) else ""


def _labels(table: DataFrame, column: str) -> list[str]:
    """Blocks are their own within a season and a trial."""
    apart = [
        name
        for name in ("season", "trial")
        if column == "block" and name in table.columns and table[name].nunique() > 1
    ]
    parts = [[as_level(value) or "" for value in table[name]] for name in (*apart, column)]
    return [", ".join(filter(None, items)) for items in zip(*parts, strict=True)]


def _check_one_unit(table: DataFrame, column: str, units: Sequence[str]) -> None:
    held = DataFrame({"tray": table["tray_id"].astype(str), "unit": units}).drop_duplicates()
    twice = held[held["tray"].duplicated(keep=False)]
    if len(twice):
        tray = str(twice["tray"].iloc[0])
        own = [str(unit) for unit in twice.loc[twice["tray"] == tray, "unit"]]
        raise refuse(
            f"tray {tray}",
            f"stands in two levels of {column}: {listing(own)}",
            f"a tray stands in one {words.unit_words(column)}",
            f"correct the column {column}, or use grouping=None",
        )


def _unit_notes(
    table: DataFrame, units: Sequence[str], factors: Sequence[str], column: str
) -> tuple[str, ...]:
    """Count the units of each level of a factor that was given to whole units."""
    notes: list[str] = []
    for factor in factors:
        pairs = DataFrame({"unit": units, "level": table[factor].astype(str)}).drop_duplicates()
        if bool(pairs["unit"].duplicated().any()):
            continue
        counts = {
            str(level): int(n) for level, n in pairs["level"].value_counts(sort=False).items()
        }
        notes.append(words.whole_units_note(factor, counts, column))
        if min(counts.values()) < _FEWEST:
            notes.append(words.cannot_tell_note(factor, column))
    return tuple(notes)


def _named(
    table: DataFrame, grouping: str, factors: Sequence[str], *, rows: bool, trays_recorded: bool
) -> Layers:
    units = [str(value) for value in table[grouping]]
    if rows:
        raise refuse(
            f"grouping, {grouping}",
            "some trays hold several rows of the fit",
            "one layer beside the tray at a time: rows in trays, or trays in groups",
            "leave the grouping out, or leave out the factor whose levels share trays",
        )
    if trays_recorded:
        _check_one_unit(table, grouping, units)
        if len(set(units)) == table["tray_id"].nunique():
            raise refuse(
                f"grouping, {grouping}",
                f"every tray is a {column_words(grouping)} of its own",
                "a grouping gathers trays: some of its levels have two or more",
                "leave it out: the spread from tray to tray is in the model already",
            )
    for factor in factors:
        pairs = DataFrame({"unit": units, "level": table[factor].astype(str)}).drop_duplicates()
        if len(pairs) == pairs["unit"].nunique() == pairs["level"].nunique():
            raise refuse(
                f"grouping, {grouping}",
                f"its levels are those of {factor}, one for one",
                "a column is a factor or a grouping, never both",
                f"leave out {grouping} or {factor}",
            )
    return Layers(
        column=grouping,
        named=True,
        units=tuple(units),
        notes=_unit_notes(table, units, factors, grouping),
    )


def _crossed(first: Layers, second: Layers, *, trays_recorded: bool) -> Layers:
    """Two groupings side by side; neither may lie wholly inside the other."""
    pairs = DataFrame({"a": first.units, "b": second.units}).drop_duplicates()
    inside = [
        (inner.column, outer.column)
        for inner, outer, key in ((first, second, "a"), (second, first, "b"))
        if not bool(pairs[key].duplicated().any())
    ]
    if inside or not trays_recorded:
        what = (
            f"each {column_words(inside[0][0])} has one {column_words(inside[0][1])}"
            if inside
            else "no trays were recorded"
        )
        raise refuse(
            f"grouping, {listing([first.column, second.column])}",
            what,
            "two groupings cross: groups of either meet several of the other, in trays",
            "name one of the two",
        )
    return Layers(
        column=first.column,
        named=True,
        units=first.units,
        second=second.column,
        second_units=second.units,
        notes=tuple(dict.fromkeys((*first.notes, *second.notes))),
    )
