"""What is told of a curve: its window, what is behind it, why there is none?"""

from __future__ import annotations

import math
from collections.abc import Sequence

from takestats.wording.along import DAY, Place, Scale, Window
from takestats.wording.numbers import (
    column_words,
    count_of,
    listing,
    percent_interval,
    points,
    trays_words,
    whole,
)
from takestats.wording.said import factor_words, opened


def is_flat(window: Window, ends: tuple[float, float]) -> bool:
    """Whether the whole curve lies within the window."""
    return window.low <= ends[0] and window.high >= ends[1]


def window_words(
    scale: Scale, window: Window, ends: tuple[float, float], within: float, who: str = ""
) -> str:
    """Say between which values the take is close to its best.

    Parameters
    ----------
    scale : Scale
    window : Window
    ends : two float
        Where the curve begins and ends.
    within : float
        Proportion.
    who : str
        The level it holds for; blank for all.

    Examples
    --------
    >>> window = Window(8.5, 7.5, 9.6, 8.0, 9.1, 6.0, 11.0)
    >>> window_words(Scale("scion_caliper_mm"), window, (6, 11), 0.05)
    'Scion caliper: between 7.5 and 9.6 mm the take is within 5 points of its best.'
    >>> wide = window._replace(low=6.0, high=11.0)
    >>> window_words(Scale("scion_caliper_mm"), wide, (6, 11), 0.05)
    'Scion caliper: anywhere between 6.0 and 11.0 mm the take is within 5 points of its best.'
    >>> nowhere = Window(8.5, *[float("nan")] * 6)
    >>> window_words(Scale("scion_caliper_mm"), nowhere, (6, 11), 0.05)
    'Scion caliper: these trays cannot say where between 6.0 and 11.0 mm the take is within \
5 points of its best.'
    """
    opening = f"{opened(scale.name)}{f', {who}' if who else ''}"
    if math.isnan(window.low):
        return (
            f"{opening}: these trays cannot say where between {scale.reach(*ends)} the "
            f"take is within {points(within)} of its best."
        )
    anywhere = "anywhere " if is_flat(window, ends) else ""
    reach = scale.reach(window.low, window.high)
    return f"{opening}: {anywhere}between {reach} the take is within {points(within)} of its best."


def lost_words(
    scale: Scale, window: Window, ends: tuple[float, float], within: float
) -> str | None:
    """Say where more than so many points are lost with nine chances in ten; None for nowhere.

    Examples
    --------
    >>> window = Window(8.5, 7.5, 9.6, 8.0, 9.1, 6.5, 11.0)
    >>> lost_words(Scale("scion_caliper_mm"), window, (6.0, 11.0), 0.05)
    'below 6.5 mm more than 5 points are lost'
    >>> lost_words(Scale("scion_caliper_mm"), window, (6.5, 11.0), 0.05) is None
    True
    """
    early, late = ("before", "after") if scale.over == DAY and scale.first else ("below", "above")
    sides = []
    if window.possible_low > ends[0]:
        sides.append(f"{early} {scale.place(window.possible_low)}")
    if window.possible_high < ends[1]:
        sides.append(f"{late} {scale.place(window.possible_high)}")
    return f"{listing(sides)} more than {points(within)} are lost" if sides else None


def window_detail(
    scale: Scale,
    window: Window,
    best: Place,
    ends: tuple[float, float],
    within: float,
    level: float = 0.95,
) -> str:
    """Say where the best lies and how sure the window is.

    Examples
    --------
    >>> best = Place(8.5, 0.912, 0.871, 0.94)
    >>> window = Window(8.5, 7.5, 9.6, 8.0, 9.1, 6.0, 11.0)
    >>> window_detail(Scale("scion_caliper_mm"), window, best, (6.0, 11.0), 0.05)
    'The best take, 91 % (95 % confidence interval 87 to 94), lies at 8.5 mm. A value is called \
within when that is more likely than not; with nine chances in ten it is so from 8.0 to 9.1 mm. \
Nowhere between 6.0 and 11.0 mm is it as sure that more than 5 points are lost.'
    """
    sure = "no value is so sure with nine chances in ten"
    if not math.isnan(window.sure_low):
        reach = scale.reach(window.sure_low, window.sure_high, "to")
        sure = f"with nine chances in ten it is so from {reach}"
        if scale.number(window.sure_low) == scale.number(window.sure_high):
            sure = f"with nine chances in ten it is so at {scale.place(window.sure_low)} alone"
    lost = lost_words(scale, window, ends, within)
    out = (
        f"With nine chances in ten, {lost}."
        if lost
        else f"Nowhere between {scale.reach(*ends)} is it as sure that more than {points(within)} "
        "are lost."
    )
    return (
        f"The best take, {percent_interval(best.take, best.low, best.high, level)}, lies at "
        f"{scale.place(best.at)}. A value is called within when that is more likely than not; "
        f"{sure}. {out}"
    )


NOT_TO_THE_DAY = "not recorded to the day"


def shared_words(layer: str, *, trays_recorded: bool) -> str:
    """Say what trays share.

    Examples
    --------
    >>> shared_words("block", trays_recorded=True), shared_words("", trays_recorded=True)
    ('trays of one block share its effect', 'trays are counted as independent of one another')
    """
    if layer:
        return f"{'trays' if trays_recorded else 'grafts'} of one {layer} share its effect"
    if not trays_recorded:
        return "grafts are counted as if independent"
    return "trays are counted as independent of one another"


def behind_words(
    scale: Scale,
    *,
    trays: float,
    grafts: float,
    blank: int,
    values: int,
    ends: tuple[float, float],
    beside: Sequence[str],
    layer: str,
) -> str:
    """Say what stands behind a curve and what it was averaged over.

    Parameters
    ----------
    scale : Scale
    trays, grafts : float
    blank : int
        Trays that do not have it recorded.
    values : int
        Different values.
    ends : two float
        Smallest and largest value.
    beside : sequence of str
        Factors beside it.
    layer : str
        What trays share besides: "block", "day"; blank for nothing.

    Examples
    --------
    >>> behind_words(Scale("warmth"), trays=40, grafts=1600, blank=2, values=39, ends=(2.0, 31.0),
    ...              beside=["method"], layer="block")
    'Behind it: 40 trays, 1,600 grafts, 39 different values between 2.0 and 31; 2 trays have none \
recorded and are left out. At the same mix of method; trays of one block share its effect. The \
curve is drawn where nine tenths of the trays lie.'
    """
    left = ""
    if blank:
        left = f"; {count_of(blank, 'tray')} {'has' if blank == 1 else 'have'} none recorded and "
        left += f"{'is' if blank == 1 else 'are'} left out"
    mix = f"at the same mix of {listing([factor_words(name) for name in beside])}"
    how = [mix] if beside else ["averaged over all else"]
    how.append(shared_words(layer, trays_recorded=trays == trays))
    return (
        f"Behind it: {trays_words(trays)}, {whole(grafts)} grafts, {values} different values "
        f"between {scale.reach(*ends)}{left}. {opened('; '.join(how))}. The curve is drawn where "
        "nine tenths of the trays lie."
    )


SEEN_ALONG = (
    "Dates and calipers are hardly ever given by lot: what stands here was seen together, not "
    "shown to cause. Wood, stock, weather and hands change along the season as well."
)


def together_words(first: str, second: str, correlation: float) -> str:
    """Say that two numbers ran together, so that each has its own fit.

    Examples
    --------
    >>> together_words("day_of_season", "days_to_bud_break", -0.984)
    'Date of grafting and days to bud break ran together (correlation -0.98): each is looked at by \
itself, and these records cannot tell which of the two matters.'
    """
    a, b = Scale(first).name, Scale(second).name
    return (
        f"{opened(a)} and {b} ran together (correlation {correlation:.2f}): each is looked at by "
        "itself, and these records cannot tell which of the two matters."
    )


def same_curve_words(kept: str, left: str, correlation: float) -> str:
    """Say that a second curve is not drawn because it would be the first one over again.

    Examples
    --------
    >>> same_curve_words("day_of_season", "days_to_bud_break", -1.0)
    'Days to bud break: ran with date of grafting (correlation -1.00), so its curve would be the \
same one read the other way round; name it under curves in the settings to see it.'
    """
    turned = "the same one read the other way round" if correlation < 0.0 else "the same one"
    return (
        f"{opened(Scale(left).name)}: ran with {Scale(kept).name} (correlation {correlation:.2f}), "
        f"so its curve would be {turned}; name it under curves in the settings to see it."
    )


def no_curve_words(over: str, reason: str) -> str:
    """Say why there is no curve.

    Examples
    --------
    >>> no_curve_words("caliper_ratio", "not recorded")
    'Caliper ratio: not recorded.'
    """
    return f"{opened(Scale(over).name)}: {reason.rstrip('.')}."


def too_few_values(values: int, least: int) -> str:
    """Say that a column has too few values.

    Examples
    --------
    >>> too_few_values(3, 4)
    'too few values for a curve (3 different ones; 4 are needed)'
    """
    return f"too few values for a curve ({values} different ones; {least} are needed)"


def too_few_trays(trays: int, least: int) -> str:
    """Say that too few trays have it recorded.

    Examples
    --------
    >>> too_few_trays(5, 8)
    'too few trays for a curve (5 have it recorded; 8 are needed)'
    """
    return f"too few trays for a curve ({trays} have it recorded; {least} are needed)"


def not_a_number(over: str) -> str:
    """Say that a column named as a curve is not one of numbers.

    Examples
    --------
    >>> not_a_number("donor")
    'donor is not a column of numbers'
    """
    return f"{column_words(over)} is not a column of numbers"


CURVE_HEADER = ("take (95 % interval)",)
NO_CURVE_HEADING = "Calipers and dates without a curve"


def along_heading(scale: Scale) -> str:
    """Head a section.

    Examples
    --------
    >>> along_heading(Scale("days_to_bud_break"))
    'Along days to bud break'
    """
    return f"Along {'the ' if scale.over == DAY else ''}{scale.name}"


def five_caption(scale: Scale) -> str:
    """Head the table of a curve at five places.

    Examples
    --------
    >>> five_caption(Scale("understock_caliper_mm"))
    'Take along understock caliper, at five places'
    """
    return f"Take along {scale.name}, at five places"


def bench_window_words(
    scale: Scale, window: Window, ends: tuple[float, float], within: float
) -> str | None:
    """Say at the bench where take is lost; None where that is not sure anywhere.

    Examples
    --------
    >>> window = Window(8.5, 7.5, 9.6, 8.0, 9.1, 6.5, 11.0)
    >>> bench_window_words(Scale("understock_caliper_mm"), window, (6.0, 11.0), 0.05)
    'Understock caliper: best near 8.5 mm; below 6.5 mm more than 5 points are lost, with nine \
chances in ten (seen together, not shown to cause).'
    """
    lost = lost_words(scale, window, ends, within)
    if lost is None:
        return None
    return (
        f"{opened(scale.name)}: best near {scale.place(window.best_at)}; {lost}, with nine chances "
        "in ten (seen together, not shown to cause)."
    )
