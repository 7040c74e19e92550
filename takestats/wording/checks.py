"""Checks of a model read aloud."""

from __future__ import annotations

from takestats.wording.layered import unit_words
from takestats.wording.numbers import chance, column_words, count_of, level_text

NO_TRAYS = (
    "Without trays the scatter cannot be checked: grafts were counted as if independent, and "
    "nothing in these records can say whether they are."
)
RESIDUAL_NOTE = (
    "Randomised quantile residuals: each tray is predicted without its own count; where the model "
    "fits they scatter like a standard normal."
)


def scatter_sentence(trays: int, p_value: float, rare: float, thing: str = "tray") -> str:
    """Say whether trays, or rows of trays, scatter as the model expects.

    Examples
    --------
    >>> scatter_sentence(1, 0.6, 0.01)
    'One tray cannot show whether trays scatter as the model expects.'
    """
    if trays == 1:
        return "One tray cannot show whether trays scatter as the model expects."
    if p_value < rare:
        return (
            f"The {count_of(trays, thing)} do not scatter as the model expects "
            f"(chance {chance(p_value)}): read its limits with care."
        )
    return (
        f"The {count_of(trays, thing)} scatter as the model expects (chance {chance(p_value)}); "
        "few trays could hide a misfit."
    )


def misfit_sentence(curve: str, p_value: float, rare: float) -> str:
    """Say whether a curve misses part of its range."""
    name = column_words(curve)
    if p_value < rare:
        return f"Along {name} the curve misses a third of its range (chance {chance(p_value)})."
    return f"Along {name} no third of the range is missed (chance {chance(p_value)})."


def group_sentence(
    column: str, worst: str, value: float, p_value: float, rare: float, *, in_it: bool
) -> str:
    """Say whether a block, group or season lies off.

    Examples
    --------
    >>> group_sentence("block", "B03", -3.9, 0.002, 0.01, in_it=False)
    'The trays of block B03 took less than the model expects (chance 0.002); the model has no \
layer of blocks, so its limits can be too narrow.'
    >>> group_sentence("block", "B03", -1.2, 0.6, 0.01, in_it=True)
    'No block lies further off than blocks usually do (chance 0.600, the furthest is B03).'
    """
    unit, units = unit_words(column), count_of(2, unit_words(column)).removeprefix("2 ")
    if p_value >= rare:
        than = f"than {units} usually do" if in_it else f"than trays without {units} would"
        return (
            f"No {unit} lies further off {than} (chance {chance(p_value)}, the furthest is "
            f"{level_text(worst)})."
        )
    side = "less" if value < 0.0 else "more"
    ends = (
        f"the spread from {unit} to {unit} does not hold it: look for a cause"
        if in_it
        else f"the model has no layer of {units}, so its limits can be too narrow"
    )
    return (
        f"The trays of {unit} {level_text(worst)} took {side} than the model expects "
        f"(chance {chance(p_value)}); {ends}."
    )


def rows_sentence(pairs: int, value: float, p_value: float, rare: float) -> str:
    """Say whether rows of one tray are as alike as the model takes them to be.

    Examples
    --------
    >>> rows_sentence(12, 0.3, 0.76, 0.01)
    'Rows of one tray are as alike as the model expects (chance 0.760, 12 pairs of rows).'
    """
    behind = f"chance {chance(p_value)}, {count_of(pairs, 'pair')} of rows"
    if p_value >= rare:
        return f"Rows of one tray are as alike as the model expects ({behind})."
    side = "more" if value > 0.0 else "less"
    return (
        f"Rows of one tray are {side} alike than the model expects ({behind}): read the limits of "
        "their difference with care."
    )
