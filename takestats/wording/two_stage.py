"""What does a rule in two stages say?"""

from __future__ import annotations

from takestats.wording.numbers import count_of, percent, plain, whole
from takestats.wording.planning import LAST_SEASON_NOTE, icc_words, of_hundred


def too_close(floor: float, promising: float) -> str:
    """Say that the two takes are too close for a rule."""
    return f"{percent(floor)} against {percent(promising)}"


def most_rule(most: int, tray_size: int | None) -> str:
    """Say how far rules are looked for."""
    what = count_of(most, "graft" if tray_size is None else "tray")
    return f"rules of up to {what} are looked at, and none of them keeps both chances"


def wider_step(floor: float, promising: float) -> str:
    """Give the nearest question that has a rule."""
    return (
        f"ask about a floor of {plain(float(f'{max(0.01, floor):.2f}'))} against "
        f"{plain(float(f'{promising:.2f}'))}, or plan one stage with trays_to_exceed_floor"
    )


def _of_trays(grafts: int, tray_size: int | None) -> str:
    if tray_size is None:
        return count_of(grafts, "graft")
    trays = count_of(grafts // tray_size, "tray")
    return f"{trays} of {count_of(tray_size, 'graft')} ({count_of(grafts, 'graft')})"


def two_stage_sentences(
    rule: tuple[int, int, int, int],
    chances: tuple[float, float, float, float],
    floor: float,
    promising: float,
    tray_size: int | None,
) -> tuple[str, ...]:
    """Say the rule and what it does.

    Parameters
    ----------
    rule : (first, drop at or below, total, fail at or below)
    chances : (size, power, stops early, expected grafts)
    """
    first, drop, total, fail = rule
    size, power, early, expected = chances
    none = "none takes" if drop == 0 else f"{whole(drop)} or fewer take"
    return (
        f"First make {_of_trays(first, tray_size)}: if {none}, drop the combination.",
        f"Else make {_of_trays(total - first, tray_size)} more: if {whole(fail)} or fewer of all "
        f"{whole(total)} take, give it up; if more take, keep it.",
        f"If its take is really {percent(floor)}, {of_hundred(early)} such trials stop after the "
        f"first stage, {whole(expected)} grafts are to be expected, and {of_hundred(size)} keep "
        "it by mistake.",
        f"If its take is really {percent(promising)}, {of_hundred(power)} keep it.",
    )


def two_stage_notes(icc: float, tray_size: int | None) -> tuple[str, ...]:
    """Say how the chances were worked out, and what the rule does not do."""
    if tray_size is None:
        how = (
            "Exact, every graft by itself: if trays differ beyond chance the rule is too "
            "sure of itself; give the correlation and the tray size then."
        )
    else:
        how = (
            f"Whole trays, intra-tray correlation {icc_words(icc)}: exact for beta-binomial and "
            "for logit-normal trays, averaged over both."
        )
    return (
        how,
        "Either count is the settled one; a first count does not decide.",
        "A rule keeps or drops; it gives no take. Read the take of what was grafted with its "
        "interval.",
        LAST_SEASON_NOTE,
    )


def past_the_rule(grafted: int, total: int) -> str:
    """Say that more was grafted than the rule has."""
    return f"{count_of(grafted, 'graft')}, the rule has {whole(total)}"


def so_far_sentence(decision: str, taken: int, grafted: int, first: int, total: int) -> str:
    """Say what the rule says of the grafts so far."""
    told = f"{whole(taken)} of {count_of(grafted, 'graft')} took"
    then = {
        "wait": "this count is not final: wait for the settled count",
        "graft the first stage": f"the first stage is {count_of(first, 'graft')}: complete it",
        "drop": "drop the combination",
        "go on": f"go on to {count_of(total, 'graft')} in all",
        "give up": "give it up: what is left cannot reach the cut"
        if grafted < total
        else "give it up",
        "keep": "keep it",
    }[decision]
    return f"{told}: {then}."


def nothing_counted(grafts: float, trays: float) -> str:
    """Say that there is no count to read the rule with.

    Examples
    --------
    >>> nothing_counted(24, 2)
    'Nothing is counted yet: 24 grafts in 2 trays wait for the settled count.'
    """
    if not grafts:
        return "Nothing is grafted or counted yet."
    return (
        f"Nothing is counted yet: {count_of(grafts, 'graft')} in {count_of(trays, 'tray')} wait "
        "for the settled count."
    )


def behind_so_far(name: str, trays: float, count: str, dates: str, seasons: int) -> str:
    """Say what stands behind the counts so far."""
    whose = name or "all rows"
    date = dates or "date not recorded"
    season = f", {count_of(seasons, 'season')} together" if seasons > 1 else ""
    return f"Counted: {whose}, {count_of(trays, 'tray')}, {count}, {date}{season}."


def waiting_so_far(grafts: float, trays: float) -> str:
    """Say what is grafted and not counted yet."""
    return (
        f"{count_of(grafts, 'graft')} in {count_of(trays, 'tray')} are not counted yet and are not "
        "in this."
    )


def rule_so_far(first: int, drop: int, total: int, fail: int) -> str:
    """Say the rule that was read.

    Examples
    --------
    >>> rule_so_far(6, 4, 27, 22)
    'The rule: of the first 6 grafts drop at 4 or fewer, of all 27 give up at 22 or fewer.'
    """
    return (
        f"The rule: of the first {whole(first)} grafts drop at {whole(drop)} or fewer, of all "
        f"{whole(total)} give up at {whole(fail)} or fewer."
    )


def so_far_line(settings: str) -> str:
    """Say which command reads the first stage by the rule."""
    return (
        f"When the first stage is counted, `takestats trays two-stage --so-far RECORDS --trial "
        f"{settings}` says go on, drop it, or wait."
    )
