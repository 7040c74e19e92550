"""Between which days of the season is the take close to its best?"""

from __future__ import annotations

from typing import Any, NamedTuple

from pandas import DataFrame

from takestats.answers.curves import take_curve
from takestats.errors import TakeError
from takestats.models.take_model import TakeModel

OVER = "day_of_season"


class GraftingWindow(NamedTuple):
    """The window of a date curve: table, notes, sentences; empty where there is none."""

    table: DataFrame
    notes: tuple[str, ...]
    sentences: tuple[str, ...]


def grafting_window(model: Any) -> GraftingWindow:
    """Read the window off a model with a date curve.

    Parameters
    ----------
    model : TakeModel or anything else
        Only a model that was fitted with ``curves=["day_of_season"]`` has one.
    """
    if isinstance(model, TakeModel) and OVER in model.curves:
        try:
            found = take_curve(model, OVER).window()
        except TakeError:
            pass
        else:
            return GraftingWindow(found.table, found.notes[:1], found.sentences)
    return GraftingWindow(DataFrame(), (), ())
