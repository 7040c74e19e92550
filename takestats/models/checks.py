"""May this question be put to these lines? What fit_take refuses, and why."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takestats.errors import CountsError, DesignError, UnknownColumnError, UnknownLevelError
from takestats.models.lines import Lines, nearest
from takestats.wording.numbers import listing


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
        trays = lines.trays_by_level(factor)
        if asked and factor in asked:
            level = str(asked[factor])
            if level not in trays:
                raise UnknownLevelError(
                    where=f"reference, {factor}",
                    what=f"{level!r}",
                    rule="a level of the column",
                    next_step=nearest(level, list(trays)),
                )
            chosen[factor] = level
        else:
            chosen[factor] = max(trays, key=lambda level: trays[level])
    return chosen
