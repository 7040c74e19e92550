"""May this question be put to these lines? What fit_take refuses, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takestats.errors import CountsError, DesignError, UnknownColumnError, UnknownLevelError
from takestats.models.lines import Lines, nearest
from takestats.wording.numbers import listing, plain


def refuse(where: str, what: str, rule: str, next_step: str) -> DesignError:
    """A design error in its four parts."""
    return DesignError(where=where, what=what, rule=rule, next_step=next_step)


def check_arguments(
    factors: Sequence[str],
    curves: Sequence[str],
    missing: str,
    engine: str,
    engines: Sequence[str],
) -> None:
    """Refuse arguments that mean nothing.

    Raises
    ------
    CountsError, DesignError
    """
    if engine not in engines:
        raise CountsError(
            where="engine",
            what=f"{engine!r}",
            rule=f"one of {', '.join(engines)}",
            next_step=nearest(str(engine), list(engines)),
        )
    if missing != "leave_out":
        raise CountsError(
            where="missing",
            what=f"{missing!r}",
            rule="a line with a blank in a used column is left out and counted",
            next_step='use missing="leave_out"',
        )
    named = [*factors, *curves]
    if len(set(named)) != len(named):
        raise refuse(
            "factors and curves",
            listing(named),
            "each column once, as a factor or as a curve",
            "leave the repeated one out",
        )


def check_levels(lines: Lines, factors: Sequence[str]) -> None:
    """Refuse a factor with one level.

    Raises
    ------
    DesignError
    """
    for factor in factors:
        levels = lines.table[factor].unique()
        if len(levels) < 2:
            raise refuse(
                f"factors, {factor}",
                f"one level only: {levels[0]}",
                "a factor needs two levels to be compared",
                "leave it out, or add trays of another level",
            )


def check_trays(lines: Lines, factors: Sequence[str], curves: Sequence[str]) -> None:
    """Refuse a tray that holds two levels of a used factor, or two values of a curve.

    Raises
    ------
    DesignError
    """
    if not lines.table["tray_id"].duplicated().any():
        return
    for column in [*factors, *curves]:
        levels = lines.table.groupby("tray_id", sort=False)[column].agg(lambda x: sorted(set(x)))
        mixed = levels[levels.map(len) > 1]
        if len(mixed):
            kind = "values" if column in curves else "levels"
            held = listing([plain(x) if isinstance(x, float) else str(x) for x in mixed.iloc[0]])
            raise refuse(
                f"tray {mixed.index[0]}",
                f"holds two {kind} of {column}: {held}" + _as_do(len(mixed) - 1),
                "this engine takes every tray as one line, with one level of each used factor, "
                "because grafts that share a tray are not independent",
                "use the tray model, which takes out what the rows of a tray share",
            )


def _as_do(others: int) -> str:
    if others < 1:
        return ""
    return "; so does 1 more tray" if others == 1 else f"; so do {others} more trays"


def reference_levels(
    lines: Lines, factors: Sequence[str], asked: Mapping[str, str] | None
) -> dict[str, str]:
    """The level of each factor that others are compared against.

    Raises
    ------
    UnknownColumnError, UnknownLevelError
    """
    for column in asked or {}:
        if column not in factors:
            raise UnknownColumnError(
                where="reference",
                what=f"{column!r}",
                rule="a factor of this fit",
                next_step=nearest(str(column), list(factors)),
            )
    chosen: dict[str, str] = {}
    for factor in factors:
        trays = lines.table.groupby(factor, sort=False)["tray_id"].nunique()
        if asked and factor in asked:
            level = str(asked[factor])
            if level not in trays.index:
                raise UnknownLevelError(
                    where=f"reference, {factor}",
                    what=f"{level!r}",
                    rule="a level of the column",
                    next_step=nearest(level, [str(x) for x in trays.index]),
                )
            chosen[factor] = level
        else:
            chosen[factor] = str(trays.idxmax())
    return chosen
