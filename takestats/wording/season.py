"""What does the season page say for the bench: plain sentences, no p-values, no odds ratios?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.charts import Take, take_value
from takestats.wording.numbers import (
    column_words,
    count_of,
    date_words,
    level_words,
    listing,
    percent,
    percent_number,
    percent_range,
    points,
    points_number,
    whole,
)

WIDE = 0.30
MOST_TRAYS_NAMED = 6
NOT_RANDOMISED = (
    "Treatments were not given to trays by lot, as far as the records say: what goes together here "
    "was seen together, not shown to cause."
)
RANDOMISED = {
    "tray": (
        "The settings say that treatments were given to whole trays by lot: a clear difference can "
        "be put down to the treatment, as far as nothing else went with it."
    ),
    "graft": (
        "The settings say that treatments were given graft by graft by lot: a clear difference can "
        "be put down to the treatment, as far as nothing else went with it."
    ),
}
NO_TRAY_STANDS_OUT = "No tray stands far from its group."
GROUP_TAKE = "What took"
GROUP_DIFFERENCES = "What differed"
GROUP_TRAYS = "What to look at"
GROUP_TOO_FEW = "What these trays cannot say"
GROUP_CARE = "How to read this"
NO_TRAYS = (
    "No trays are recorded: grafts are counted as if independent, and the limits are too narrow if "
    "they are not."
)
COUNT_NAMES = {
    "callus check": "callus check",
    "first": "first count",
    "settled": "settled count",
    "later": "later count",
    "season end": "count at season end",
    "next spring": "count of next spring",
}


class Difference(NamedTuple):
    """A minus B of one factor, as the bench reads it (proportions)."""

    factor: str
    level_a: str
    level_b: str
    difference: float
    low: float
    high: float
    trays_a: float
    trays_b: float


class OddTray(NamedTuple):
    """A tray to look at (counts; expected take as a proportion)."""

    tray: str
    taken: float
    tried: float
    expected: float
    side: str


def factor_words(factor: str) -> str:
    """Say a factor's name inside a sentence, without its unit.

    Examples
    --------
    >>> factor_words("union_height_mm"), factor_words("scion_wood")
    ('union height', 'scion wood')
    """
    return column_words(factor).removesuffix(" (mm)")


def opened(sentence: str) -> str:
    """Begin a sentence with a capital letter.

    Examples
    --------
    >>> opened("side veneer took 6 points more than cleft.")
    'Side veneer took 6 points more than cleft.'
    """
    return sentence[:1].upper() + sentence[1:]


def count_name(count: str) -> str:
    """Say a count.

    Examples
    --------
    >>> count_name("settled"), count_name("june check")
    ('settled count', 'june check')
    """
    return COUNT_NAMES.get(count, count)


def early_count(count: str) -> str | None:
    """Warn when only an early count exists.

    Examples
    --------
    >>> early_count("settled") is None
    True
    """
    if count not in ("first", "callus check"):
        return None
    return (
        f"Only a {count_name(count)} is in these records: buds can push on stored food, so these "
        "takes can be too high; count again after the first growth has hardened."
    )


def overall(
    *,
    season: str,
    take: Take,
    grafted: float,
    count: str,
    count_date: str,
    level: float,
    live: bool,
) -> str:
    """Say the season's take.

    Parameters
    ----------
    season : str
        As "2026"; blank when not recorded.
    take : Take
        Overall take; ``taken`` of ``tried`` in ``trays``.
    grafted : float
        Grafts made.
    count, count_date : str
        Name of the count and its date in words.
    level : float
        Of the interval.
    live : bool
        True when dead understock is left out of what take is a share of.
    """
    when = f"at the {count_name(count)}" if count else "at the count"
    date = f" of {count_date}" if count_date else " (count date not recorded)"
    where = f" in {count_of(take.trays, 'tray')}" if take.trays == take.trays else ""
    opening = f"Season {season}: " if season else ""
    share = " on live understock" if live else ""
    return (
        f"{opening}{whole(grafted)} grafts made{where}; {when}{date}, {whole(take.taken)} of "
        f"{whole(take.tried)}{share} had taken. Of 100 grafts made like these, "
        f"{percent_number(take.rate)} should take "
        f"({level_words(level)} {percent_number(take.low)} to {percent_number(take.high)})."
    )


def missing_line(missing: float, recorded: bool) -> str | None:
    """Say how missing grafts were treated.

    Examples
    --------
    >>> missing_line(0, False)
    'Missing grafts are not recorded; every graft made is counted.'
    """
    if not recorded:
        return "Missing grafts are not recorded; every graft made is counted."
    if missing > 0:
        were = "was" if missing == 1 else "were"
        return (
            f"{count_of(missing, 'graft')} {were} missing at the count and left out of the share."
        )
    return None


def difference_line(gap: Difference, over: str = "", level: float = 0.95) -> str:
    """Say a difference in points, the better side first.

    Parameters
    ----------
    gap : Difference
    over : str
        What it was averaged over, from :func:`averaged_words`; blank for nothing.
    level : float
        Of the interval.

    Examples
    --------
    >>> difference_line(Difference("method", "cleft", "whip", -.06, -.12, -.01, 9, 9))
    'Method: whip took 6 points more than cleft (95 % confidence interval 1 to 12 points more).'
    """
    turned = gap.difference < 0.0
    upper, lower = (gap.level_b, gap.level_a) if turned else (gap.level_a, gap.level_b)
    size = -gap.difference if turned else gap.difference
    low, high = (-gap.high, -gap.low) if turned else (gap.low, gap.high)
    opening = f"{opened(factor_words(gap.factor))}: "
    interval = level_words(level)
    if low > 0.0:
        limits = f"{interval} {points_number(low)} to {points_number(high)} points more"
        if high - low > WIDE:
            return (
                f"{opening}{upper} took better than {lower}; by how much is not known to within "
                f"{points(high - low)} ({limits}){over}."
            )
        return f"{opening}{upper} took {points(size)} more than {lower} ({limits}){over}."
    limits = f"{interval} {_side(low)} to {_side(high)}"
    if high - low > WIDE:
        return (
            f"{opening}{upper} and {lower}: this trial cannot tell them apart; more trays are "
            f"needed ({points(size)} between them, {limits}){over}."
        )
    return (
        f"{opening}{upper} and {lower}, no clear difference; {upper} took {points(size)} more "
        f"({limits}){over}."
    )


def averaged_words(averaged: Sequence[str]) -> str:
    """Say what a comparison was averaged over.

    Examples
    --------
    >>> averaged_words(["combination", "scion_wood"])
    ', within combination and scion wood and averaged over them'
    """
    if not averaged:
        return ""
    names = listing([factor_words(name) for name in averaged])
    return f", within {names} and averaged over {'them' if len(averaged) > 1 else 'it'}"


def like_with_like_line(factors: Sequence[str]) -> str:
    """Say once that several differences compare like with like.

    Examples
    --------
    >>> like_with_like_line(["method", "scion_wood"])
    'Each of these compares like with like: within the cells of method and scion wood, averaged.'
    """
    names = listing([factor_words(name) for name in factors])
    return f"Each of these compares like with like: within the cells of {names}, averaged."


def own_words(factor: str) -> str:
    """Say that a difference was looked at on its own.

    Examples
    --------
    >>> own_words("caliper_class")
    ', caliper class looked at on its own'
    """
    return f", {factor_words(factor)} looked at on its own"


def odd_trays_line(trays: Sequence[OddTray]) -> str:
    """Name the trays to look at.

    Examples
    --------
    >>> odd_trays_line([OddTray("T012", 12, 40, 0.91, "low")])
    'Look at this tray: T012 (12 of 40 took, about 91 % expected).'
    """
    if not trays:
        return NO_TRAY_STANDS_OUT
    low = [tray for tray in trays if tray.side == "low"]
    high = [tray for tray in trays if tray.side != "low"]
    parts = []
    if low:
        parts.append(f"Look at {'this tray' if len(low) == 1 else 'these trays'}: {_named(low)}.")
    if high:
        parts.append(f"Better than {'its' if len(high) == 1 else 'their'} group: {_named(high)}.")
    return " ".join(parts)


def _named(trays: Sequence[OddTray]) -> str:
    shown = [
        f"{t.tray} ({whole(t.taken)} of {whole(t.tried)} took, about {percent(t.expected)} "
        f"expected)"
        for t in trays[:MOST_TRAYS_NAMED]
    ]
    rest = len(trays) - len(shown)
    return listing([*shown, f"{rest} more, listed below"] if rest else shown)


def one_tray_line(levels: Sequence[str]) -> str | None:
    """Say which levels rest on one tray.

    Examples
    --------
    >>> one_tray_line(["saddle"])
    'Only one tray of saddle: one tray cannot show how trays differ; its limits are assumed.'
    """
    if not levels:
        return None
    return (
        f"Only one tray of {listing(levels)}: one tray cannot show how trays differ; its limits "
        "are assumed."
    )


def too_few_line(takes: Sequence[Take]) -> str | None:
    """Say whose take these trays cannot pin down.

    Examples
    --------
    >>> too_few_line([Take("A on B", 0.8, 0.5, 0.95, 16, 20, 2)])
    'Too few trays to say much about the take of A on B (50 to 95 %, 2 trays).'
    """
    if not takes:
        return None
    said = [
        f"{t.name} ({percent_range(t.low, t.high)}, {count_of(t.trays, 'tray')})" for t in takes[:4]
    ]
    rest = len(takes) - len(said)
    if rest:
        said.append(f"{rest} more in the table")
    return f"Too few trays to say much about the take of {listing(said)}."


def unseen_failure_line(levels: Sequence[tuple[str, int]]) -> str | None:
    """Say what could not have shown: the rule of three (Hanley & Lippman-Hand 1983, JAMA 249:1743).

    Parameters
    ----------
    levels : sequence of (level, trays)
        Levels of which no tray took under half.

    Examples
    --------
    >>> unseen_failure_line([("cleft", 12)])
    'No tray of cleft failed badly (took under half); up to 3 in 12 could, and not have shown.'
    """
    shown = [(level, trays) for level, trays in levels if trays > 3]
    if not shown:
        return None
    if len(shown) == 1:
        level, trays = shown[0]
        return (
            f"No tray of {level} failed badly (took under half); up to 3 in {trays} could, and not "
            "have shown."
        )
    if len(shown) > 3:
        return (
            f"No tray of these {len(shown)} failed badly (took under half); up to 3 trays of each "
            "could, and not have shown."
        )
    could = listing([f"3 in {trays} of {level}" for level, trays in shown])
    names = listing([level for level, _ in shown], "or")
    return (
        f"No tray of {names} failed badly (took under half); up to {could} could, and not have "
        "shown."
    )


def uneven_line(more: str, less: str) -> str:
    """Say that the trays of one level differ more than those of another.

    Examples
    --------
    >>> uneven_line("cleft", "side veneer")
    'cleft trays are more uneven than side veneer trays.'
    """
    return f"{more} trays are more uneven than {less} trays."


def missing_matters_line(left_out: Difference, failed: Difference, taken: Difference) -> str:
    """Say what missing grafts could do to a difference.

    Examples
    --------
    >>> gap = Difference("method", "whip", "cleft", 0.06, 0.01, 0.12, 9, 9)
    >>> missing_matters_line(gap, gap._replace(difference=0.02), gap._replace(difference=0.1))
    'Missing grafts: whip minus cleft is 6 points, 2 points if all had failed, 10 if all had taken.'
    """
    return (
        f"Missing grafts: {left_out.level_a} minus {left_out.level_b} is "
        f"{points(left_out.difference)}, {points(failed.difference)} if all had failed, "
        f"{points_number(taken.difference)} if all had taken."
    )


def not_counted_line(trays: int) -> str | None:
    """Say how many trays wait for a count.

    Examples
    --------
    >>> not_counted_line(2)
    '2 trays are not counted yet and stand outside these numbers.'
    """
    if not trays:
        return None
    verb = "is" if trays == 1 else "are"
    stand = "stands" if trays == 1 else "stand"
    return f"{count_of(trays, 'tray')} {verb} not counted yet and {stand} outside these numbers."


def set_aside_line(rows: int) -> str | None:
    """Say how many rows were set aside.

    Examples
    --------
    >>> set_aside_line(1)
    '1 row with a fault was set aside; it is listed below.'
    """
    if not rows:
        return None
    return (
        "1 row with a fault was set aside; it is listed below."
        if rows == 1
        else f"{rows} rows with faults were set aside; they are listed below."
    )


def only_level_line(factor: str, level: str) -> str:
    """Say that there is nothing to compare.

    Examples
    --------
    >>> only_level_line("method", "cleft")
    'Only one method is recorded (cleft), so methods cannot be compared.'
    """
    words = factor_words(factor)
    return f"Only one {words} is recorded ({level}), so {words}s cannot be compared."


def not_recorded_line(factor: str) -> str:
    """Say that a column is blank.

    Examples
    --------
    >>> not_recorded_line("method")
    'Take by method: not recorded.'
    """
    return f"Take by {factor_words(factor)}: not recorded."


def blank_factor_line(factor: str, blank: float) -> str:
    """Say that a column has too many blanks to stand beside the others.

    Examples
    --------
    >>> blank_factor_line("scion_wood", 0.31)
    'Take by scion wood: left out, 31 % of the trays have it blank.'
    """
    return f"Take by {factor_words(factor)}: left out, {percent(blank)} of the trays have it blank."


def dropped_line(factors: Sequence[str], reason: str, *, shown: bool = True) -> str:
    """Say why factors do not stand beside the others.

    Examples
    --------
    >>> dropped_line(["combination"], "5 factors; up to 3 factors, fitted by their cells")
    'combination is looked at on its own (5 factors; up to 3 factors, fitted by their cells).'
    """
    names = listing([factor_words(factor) for factor in factors])
    verb, own = ("is", "its") if len(factors) == 1 else ("are", "their")
    if not shown:
        return f"{names} {verb} left out of the comparison ({reason.rstrip('.')})."
    return f"{names} {verb} looked at on {own} own ({reason.rstrip('.')})."


def thin_cells_reason(cells: int, trays: int) -> str:
    """Say that trays are spread too thinly over the cells of several factors.

    Examples
    --------
    >>> thin_cells_reason(20, 38)
    '38 trays over 20 cells are too thin to compare cell by cell'
    """
    return f"{trays} trays over {cells} cells are too thin to compare cell by cell"


def empty_cell_reason(factor: str, levels: Sequence[str]) -> str:
    """Say which levels lack company to be compared in.

    Examples
    --------
    >>> empty_cell_reason("method", ["saddle"])
    'not every level of method met every level of it (saddle did not).'
    """
    return (
        f"not every level of {factor_words(factor)} met every level of it ({listing(levels)} did "
        "not)."
    )


def dates_words(dates: Sequence[str]) -> str:
    """Say when trays were counted.

    Examples
    --------
    >>> dates_words(["2026-06-15", "2026-06-15"]), dates_words(["2026-06-20", "2026-06-15"])
    ('15 June 2026', '15 June 2026 to 20 June 2026')
    """
    kept = sorted({date for date in dates if date})
    if not kept:
        return ""
    if len(kept) == 1:
        return date_words(kept[0])
    return f"{date_words(kept[0])} to {date_words(kept[-1])}"


def more_pairs_line(factor: str, pairs: int) -> str:
    """Say that not every pair stands on the sheet.

    Examples
    --------
    >>> more_pairs_line("method", 3)
    '3 more pairs of method are in the table of differences.'
    """
    verb = "is" if pairs == 1 else "are"
    return (
        f"{count_of(pairs, 'more pair')} of {factor_words(factor)} {verb} in the table of "
        f"differences."
    )


def more_together_line(number: int) -> str:
    """Point to what else was given together.

    Examples
    --------
    >>> more_together_line(1)
    '1 more thing was given together with another; see what was given together.'
    """
    verb = "was" if number == 1 else "were"
    return (
        f"{count_of(number, 'more thing')} {verb} given together with another; see what was given "
        "together."
    )


def floor_line(floor: float, takes: Sequence[Take]) -> str | None:
    """Name what took less than the lowest take worth having.

    Examples
    --------
    >>> floor_line(0.75, [Take("A on B", 0.61, 0.5, 0.7, 61, 100, 5)])
    'Below the floor of 75 %: A on B, 61 % (50 to 70), surely below.'
    """
    if not takes:
        return None
    said = [
        f"{take.name}, {take_value(take.rate, take.low, take.high)}, "
        f"{'surely below' if take.high < floor else 'perhaps'}"
        for take in takes
    ]
    return f"Below the floor of {percent(floor)}: {'; '.join(said)}."


def _side(difference: float) -> str:
    """Say a limit with its direction."""
    if difference < 0.0:
        return f"{points(-difference)} less"
    return f"{points(difference)} more" if difference > 0.0 else "no difference"
