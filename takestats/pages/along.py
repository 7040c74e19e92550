"""Along which recorded numbers does a page draw the take, and with what beside them?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from pandas import to_numeric

from takestats.answers.curves import take_curve
from takestats.errors import DesignError
from takestats.models.fit import fit_take
from takestats.models.splines import FEWEST_FOR_A_CURVE
from takestats.wording.along import Scale
from takestats.wording.along_told import (
    NOT_TO_THE_DAY,
    no_curve_words,
    not_a_number,
    same_curve_words,
    together_words,
    too_few_trays,
    too_few_values,
)
from takestats.wording.numbers import NOT_RECORDED

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.curves import CurveWindow, TakeCurve
    from takestats.models.take_model import TakeModel
    from takestats.pages.gathered import Gathered

CURVES = ("understock_caliper_mm", "caliper_ratio", "day_of_season", "days_to_bud_break")
DATES = ("day_of_season", "days_to_bud_break")
#: Own choice: fewer trays than that draw a line through their own spread.
FEWEST_TRAYS = 8
#: From so many trays on, only the main factor stands beside a curve, and only dates keep a layer.
MANY_TRAYS = 300
TOGETHER = 0.95
WITHIN = 0.05
Say = Callable[[str], None]


@dataclass(frozen=True, eq=False, kw_only=True)
class Along:
    """One curve of a page.

    Parameters
    ----------
    scale : Scale
    model : TakeModel
    curve : TakeCurve
    window : CurveWindow
    blank : int
        Trays of the season that do not have it recorded.
    """

    scale: Scale
    model: TakeModel
    curve: TakeCurve
    window: CurveWindow
    blank: int


@dataclass(frozen=True, kw_only=True)
class Wanted:
    """Which curves are to be drawn, and what is said of the others.

    Parameters
    ----------
    drawn : tuple of str
    said : tuple of str
        Why the others are not, and which of those drawn ran together; an empty list in the
        settings asks for none.
    recorded : bool
        Whether any of them is recorded at all.
    """

    drawn: tuple[str, ...]
    said: tuple[str, ...]
    recorded: bool


def wanted_curves(found: Gathered) -> Wanted:
    """Sort the curves that the settings name, else all that are recorded.

    Parameters
    ----------
    found : Gathered

    Returns
    -------
    Wanted
        Two that ran together (correlation over .95) are both drawn, each by itself; where
        one is the other over again, or trays are many, only the first, unless the settings
        name both.
    """
    named = found.records.trial.compare.get("curves")
    if named is not None and not named:
        return Wanted(drawn=(), said=(), recorded=False)
    asked = (named,) if isinstance(named, str) else tuple(str(name) for name in named or ())
    drawn: list[str] = []
    said: list[str] = []
    for over in asked or CURVES:
        reason = _too_few(found.trays, over)
        if reason:
            said.append(no_curve_words(over, reason))
            continue
        twin = _twin(found.trays, drawn, over)
        if twin is None:
            drawn.append(over)
        elif not asked and (abs(twin[1]) > 1.0 - 1e-9 or len(found.trays) > MANY_TRAYS):
            said.append(same_curve_words(twin[0], over, twin[1]))
        else:
            drawn.append(over)
            said.append(together_words(twin[0], over, twin[1]))
    recorded = any(name in found.trays and found.trays[name].notna().any() for name in CURVES)
    return Wanted(drawn=tuple(drawn), said=tuple(said), recorded=recorded or bool(asked))


def along(found: Gathered, over: str) -> Along | str:
    """Fit the take along one number; a sentence where the layout does not carry it.

    Parameters
    ----------
    found : Gathered
    over : str
        One of :func:`wanted_curves`.

    Notes
    -----
    Beside the curve stand the main factor and the combination, as far as the page's model
    has them; in a big season the main factor alone. A block stays a layer above the trays.
    Without one, trays that share a day share the day's effect, also along the date itself:
    the curve is what the days have in common, the layer what each day has of its own. In a
    big season a curve along anything but dates counts trays as independent, and says so.
    """
    many = len(found.trays) > MANY_TRAYS
    kept = (found.main,) if many else (found.main, "combination")
    beside = [name for name in found.chosen.factors if name in kept and name != over]
    grouping: str | None = "auto" if found.records.no_trays else _layer(found.trays, over)
    if many and over not in DATES:
        grouping = None
    for factors in dict.fromkeys((tuple(beside), tuple(beside[:1]), ())):
        try:
            model = fit_take(
                found.records,
                list(factors),
                curves=[over],
                grouping=grouping,
                season=found.season or "auto",
                out_of=found.asked.out_of,
            )
        except DesignError as error:
            refused = error
            continue
        curve = take_curve(model, over)
        return Along(
            scale=Scale(over, first_day(found.trays) if over == "day_of_season" else ""),
            model=model,
            curve=curve,
            window=curve.window(WITHIN),
            blank=int(found.trays.groupby("tray_id")[over].apply(lambda x: x.isna().all()).sum()),
        )
    return no_curve_words(over, refused.what)


def first_day(trays: DataFrame) -> str:
    """The ISO date of the first day of the season; blank when no full date is recorded."""
    whole = trays[trays["day_of_season"] == trays["day_of_season"].min()]
    if whole.empty:
        return ""
    day = np.datetime64(str(whole["graft_date"].iloc[0])[:10])
    return str(day - np.timedelta64(int(whole["day_of_season"].iloc[0]), "D"))


def _too_few(trays: DataFrame, over: str) -> str:
    """Why no curve can be drawn; blank when one can."""
    if over not in trays.columns or trays[over].isna().all():
        dated = "graft_date" in trays.columns and trays["graft_date"].notna().any()
        return NOT_TO_THE_DAY if dated and over == "day_of_season" else NOT_RECORDED
    values = to_numeric(trays[over], errors="coerce")
    if int(values.notna().sum()) < int(trays[over].notna().sum()):
        return not_a_number(over)
    if values.nunique() < FEWEST_FOR_A_CURVE:
        return too_few_values(int(values.nunique()), FEWEST_FOR_A_CURVE)
    have = int(trays.loc[values.notna(), "tray_id"].nunique())
    return too_few_trays(have, FEWEST_TRAYS) if have < FEWEST_TRAYS else ""


def _twin(trays: DataFrame, drawn: list[str], over: str) -> tuple[str, float] | None:
    """The first curve already there that ran together with this one."""
    for name in drawn:
        both = trays[[name, over]].dropna().astype(float)
        if len(both) < 3 or both[name].nunique() < 2 or both[over].nunique() < 2:
            continue
        together = float(np.corrcoef(both[name], both[over])[0, 1])
        if abs(together) > TOGETHER:
            return name, together
    return None


def _layer(trays: DataFrame, over: str) -> str:
    """Trays of one day share the day also where the curve runs along the date itself."""
    has_block = "block" in trays.columns and trays["block"].notna().any()
    if over not in DATES or has_block or "graft_date" not in trays.columns:
        return "auto"
    held = (
        trays[["tray_id", "graft_date", over]].dropna().drop_duplicates(["tray_id", "graft_date"])
    )
    several = held["graft_date"].value_counts()
    shared = int((several >= 2).sum()) >= 2 and len(several) > 2
    return "graft_date" if shared and not held["tray_id"].duplicated().any() else "auto"
