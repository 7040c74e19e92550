"""Checks of a model read aloud."""

from __future__ import annotations

from takestats.wording.numbers import chance, column_words, count_of

NO_TRAYS = (
    "Without trays the scatter cannot be checked: grafts were counted as if independent, and "
    "nothing in these records can say whether they are."
)
RESIDUAL_NOTE = (
    "Randomised quantile residuals: each tray is predicted without its own count; where the model "
    "fits they scatter like a standard normal."
)


def scatter_sentence(trays: int, p_value: float, rare: float) -> str:
    """Say whether trays scatter as the model expects.

    Examples
    --------
    >>> scatter_sentence(1, 0.6, 0.01)
    'One tray cannot show whether trays scatter as the model expects.'
    """
    if trays == 1:
        return "One tray cannot show whether trays scatter as the model expects."
    if p_value < rare:
        return (
            f"The {count_of(trays, 'tray')} do not scatter as the model expects "
            f"(chance {chance(p_value)}): read its limits with care."
        )
    return (
        f"The {count_of(trays, 'tray')} scatter as the model expects (chance {chance(p_value)}); "
        "few trays could hide a misfit."
    )


def misfit_sentence(curve: str, p_value: float, rare: float) -> str:
    """Say whether a curve misses part of its range."""
    name = column_words(curve)
    if p_value < rare:
        return f"Along {name} the curve misses a third of its range (chance {chance(p_value)})."
    return f"Along {name} no third of the range is missed (chance {chance(p_value)})."
