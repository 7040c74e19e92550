"""What do the page and the printed answer of a plan say beyond the plan's own sentences?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import count_of, listing, percent, points, whole
from takestats.wording.planning import LAST_SEASON_NOTE, icc_words

PARTS = (
    ("bench", "For the bench"),
    ("season", "The numbers"),
    ("statistician", "For the statistician"),
)
TITLES = {
    "tell_apart": "Trial plan: telling two takes apart",
    "no_worse": "Trial plan: is the new one no worse",
    "above_floor": "Trial plan: is the take above the floor",
    "estimate": "Trial plan: how well will the take be known",
    "two_stage": "Trial plan in two stages",
}
GROUP_RULE = "The rule, set before the first graft"
GROUP_ASIDE = "Set aside"
GROUP_CANNOT = "What this trial cannot show"
GROUP_BEFORE = "Because the combination is new"
GROUP_NEXT = "Then"
TABLE_NOTE = (
    "Trays differ by: intra-tray correlation, 0 where trays are alike. False finding: how often "
    "the planned number of trays finds what is not there."
)
NEW_TABLE_NOTE = (
    "Trays and grafts are those of the new combination alone. False finding: how often such a "
    "trial calls a combination good enough that is just not. Assurance: power averaged over what "
    "past combinations of the relation make likely."
)
STAGES_TABLE_NOTE = (
    "Grafts of the first stage and of both; the plan is the line of the most uneven trays."
)
NOT_GIVEN = "not given"
LASTING = (
    "A settled take is not a lasting union: delayed failure shows only in the counts of later "
    "seasons."
)
ASSUMED = {
    "above_floor": "The number of trays holds for the take that was assumed; one nearer to the "
    "floor needs more.",
    "estimate": "The number of trays holds for the take that was assumed; one nearer to 50 % needs "
    "more.",
}
BY_LOT = (
    "What is not drawn by lot can look like a difference of methods: share out grafters, days, "
    "donors and places on the bench alike over both."
)
SEVERAL_NEW = (
    "With several new methods the season page answers for the one that the settings name as new, "
    "with a 95 % interval that does not allow for the other looks."
)
NO_PAST = (
    "No past records were given: how much trays differ is assumed, over a range. Records of a past "
    "season, with its trays, would narrow it (--past)."
)
METHOD = (
    "Trays needed: a closed form says where to look, a few hundred simulated trials feel the way, "
    "thousands confirm. Each simulated trial is judged with the interval that the season page "
    "shows, by averaging tray models with weak priors; its trays are drawn half from the "
    "beta-binomial and half from the logit-normal model, at the intra-tray correlation of the line."
)
METHOD_STAGES = (
    "Rules in two stages: exact, over every rule there is (after Simon 1989, Control Clin Trials "
    "10:1-10); for whole trays the chances are exact under the beta-binomial and under the "
    "logit-normal model, and the rule holds on the average of both."
)
NO_TRAYS_RULE = (
    "The rule takes every graft by itself. Trays that share their fate make it too sure of itself; "
    "give --tray-size for a rule of whole trays."
)


def new_title(scion: str, understock: str) -> str:
    """Head the page of a combination not yet tried."""
    return f"Trial plan: {scion} on {understock}"


def cannot_show(
    kind: str, take_a: float, take_b: float, margin: float, arms: int
) -> tuple[str, ...]:
    """Say what a trial of this kind cannot show."""
    if kind == "tell_apart":
        own: tuple[str, ...] = (
            f"A step of less than {points(abs(take_b - take_a))} is found less often than said; "
            "not told apart is not equal.",
            BY_LOT,
        )
        if arms > 2:
            own = (*own, SEVERAL_NEW)
    elif kind == "no_worse":
        own = (
            f"No worse is not as good as: a take lower by up to {points(margin)} may hide in it, "
            "and it does not show that the new one is better.",
            BY_LOT,
        )
    elif kind == "above_floor":
        own = (
            "It is held against a number, not against what you do now: a take above "
            f"{percent(take_a)} may still be below your usual one in that season.",
            ASSUMED[kind],
        )
    else:
        own = (
            "A take by itself is held against nothing: it says neither better nor worse.",
            ASSUMED[kind],
        )
    return (*own, LAST_SEASON_NOTE, LASTING)


def past_line(icc: float, low: float, high: float, trays: int, grafts: float, seasons: int) -> str:
    """Say what the past shows of how much trays differ, and how thin it is.

    Examples
    --------
    >>> past_line(0.1, 0.02, 0.3, 6, 180, 1)[-13:]
    'That is thin.'
    """
    behind = (
        f"{count_of(trays, 'tray')}, {whole(grafts)} grafts, {count_of(max(1, seasons), 'season')}"
    )
    thin = " That is thin." if trays < 20 or seasons < 2 else ""
    return (
        f"How much trays differ is read off past records ({behind}): an intra-tray correlation of "
        f"{icc_words(icc)}, anything from {icc_words(low)} to {icc_words(high)} possible.{thin}"
    )


def tray_size_line(tray_size: int, source: str) -> str:
    """Say where the tray size comes from when it was not typed."""
    return f"No tray size was given: {count_of(tray_size, 'graft')} are taken, as {source}."


def picture_line(take: float, tray_size: int, spans: Sequence[tuple[float, int, int]]) -> str:
    """Say what an intra-tray correlation looks like on the bench.

    Parameters
    ----------
    take : float
    tray_size : int
    spans : sequence of (icc, low, high)
        Between which counts nine trays in ten lie.

    Examples
    --------
    >>> picture_line(0.9, 30, [(0.02, 23, 30), (0.2, 16, 30)])
    'To picture it, at a take of 90 %: at 0.02 nine trays in ten have 23 to 30 of 30 taken, at 0.2
    16 to 30.'
    """
    told = [f"{icc_words(icc)} {whole(low)} to {whole(high)}" for icc, low, high in spans]
    first = (
        f"{icc_words(spans[0][0])} nine trays in ten have {whole(spans[0][1])} to "
        f"{whole(spans[0][2])} of {whole(tray_size)} taken"
    )
    return f"To picture it, at a take of {percent(take)}: at {', at '.join([first, *told[1:]])}."


FROM_SETTINGS = "the settings say"
FROM_PAST = "most trays of the past records held"


def no_spare_aside(grafts: int, at_most: int) -> str:
    """Say what to set aside where there are too few scions for a spare tray."""
    left = f"{whole(at_most - grafts)} left" if at_most > grafts else "none left"
    return (
        f"{count_of(grafts, 'understock')} and as many scions for the trial; of "
        f"{whole(at_most)} there are {left} for a spare tray, so make none of bad wood."
    )


def stages_answer(first: int, total: int, tray_size: int | None) -> str:
    """Say how large a plan in two stages is, before its rule.

    Examples
    --------
    >>> stages_answer(36, 108, 12)
    'Plan two stages: 3 trays of 12 grafts (36 grafts) first, 9 trays (108 grafts) in all at most.'
    """
    if tray_size is None:
        return f"Plan two stages: {count_of(first, 'graft')} first, {whole(total)} in all at most."
    one = f"{count_of(first // tray_size, 'tray')} of {count_of(tray_size, 'graft')}"
    both = f"{count_of(total // tray_size, 'tray')} ({count_of(total, 'graft')})"
    return f"Plan two stages: {one} ({count_of(first, 'graft')}) first, {both} in all at most."


def stages_aside(first: int, rest: int, tray_size: int | None, at_most: int | None = None) -> str:
    """Say how many understocks and scions a first stage takes, and what may come after."""
    if at_most is not None and first + rest + (tray_size or 0) > at_most:
        return (
            f"{count_of(first, 'understock')} and as many scions for the first stage, "
            f"{whole(rest)} more only if the rule says go on. Of {whole(at_most)} there are too "
            "few for a spare tray, so make none of bad wood."
        )
    if tray_size is None:
        return (
            f"{count_of(first, 'understock')} and as many scions for the first stage, "
            f"with a few spare against losses before grafting. {whole(rest)} more are needed only "
            "if the rule says go on."
        )
    return (
        f"{whole(first + tray_size)} understocks and as many scions: {whole(first)} for "
        f"the first stage and a spare tray ({whole(tray_size)}) against losses before grafting. "
        f"{whole(rest)} more are needed only if the rule says go on."
    )


def beside_aside(new: int, tray_size: int) -> str:
    """Say how many scions of the new one, and of the standard beside it."""
    return (
        f"{whole(new + tray_size)} scions of the new one and as many of the standard, "
        f"with {whole(2 * (new + tray_size))} understocks: {whole(new)} of each for the trial and "
        f"a spare tray ({whole(tray_size)}) of each against losses before grafting."
    )


def alone_aside(new: int, tray_size: int) -> str:
    """Say how many scions and understocks of the new one alone."""
    return (
        f"{whole(new + tray_size)} scions of the new one and as many understocks: "
        f"{whole(new)} for the trial and a spare tray ({whole(tray_size)}) against losses before "
        "grafting."
    )


def worst_stages_line(icc: float, only: bool) -> str:
    """Say which of several rules is the plan."""
    if only:
        return (
            f"The rule is for trays that differ by an intra-tray correlation of {icc_words(icc)}."
        )
    return (
        "How much trays differ is not known beforehand: the rule is that of the most uneven trays "
        f"looked at, an intra-tray correlation of {icc_words(icc)}."
    )


def range_standard_line(take: float) -> str:
    """Say which of several standards the settings hold the rule for."""
    return (
        f"Not knowing the standard, trial.toml holds the rule for a standard of {percent(take)}: "
        "find out its take first, then plan again."
    )


NAMES_OF_PAIR = (
    "Write the names of the new one and the standard into trial.toml, or plan again with --new and "
    "--standard: the report looks for them."
)
NAME_OF_ONE = (
    "If only part of the season is on trial, write its name into trial.toml, or plan again with "
    "--new; without a name the report reads all grafts of the season."
)


def next_steps(randomised: str, named: bool, pair: bool) -> tuple[str, ...]:
    """Say what is done between the plan and its answer."""
    lots = {
        "tray": "Draw by lot which trays get which method, before the first graft: name the "
        "treatments under [bench] in trial.toml, and `takestats bench trial.toml` draws them and "
        "makes the record workbook, bench sheets and labels.",
        "half": "Draw by lot which half of each tray gets which method, before the first graft: "
        "name the two treatments under [bench] in trial.toml, and `takestats bench trial.toml` "
        "draws them and makes the record workbook, bench sheets and labels.",
    }.get(randomised, "Spread its trays over the bench and the days, not all in one place.")
    names = ""
    if not named:
        names = NAMES_OF_PAIR if pair else NAME_OF_ONE
    out = (
        lots,
        names,
        "Graft, count at the settled count, one line per tray with its date.",
    )
    return tuple(line for line in out if line)


def report_line(settings: str) -> str:
    """Say which command answers the question when the trays are counted."""
    return (
        f"When the trays are counted, `takestats report RECORDS --trial {settings}` answers the "
        "question by this rule."
    )


def header_lines(banner: str, size: str, range_line: str) -> tuple[str, ...]:
    """The comment lines at the head of a settings file."""
    lines = (
        f"{banner} The past that this plan rests on." if banner else "",
        "Settings of one trial, written by takestats from its plan. The rule was set before the",
        "first graft: change it, and what it promises no longer holds.",
        f"Planned: {size}." if size else "",
        range_line,
    )
    return tuple(line for line in lines if line)


def names_wanted(keys: Sequence[str]) -> str:
    """The comment where a name is still to be filled in."""
    told = listing([f'{key} = "..."' for key in keys])
    return f"Still to be written in under [trial]: {told}"


def foreign_settings(path: str, *, ours: bool) -> tuple[str, str, str]:
    """What, rule and next step where another trial.toml stands in the folder."""
    what = (
        "a trial.toml of another plan stands here."
        if ours
        else "a trial.toml that this command did not write stands here."
    )
    return (
        what,
        "the settings of a trial are never written over: the rule in them was set beforehand.",
        f"name another folder with --out, or move {path} away first.",
    )


def plan_table_note(what: str, seed: int, banner: str) -> str:
    """Say what a table of a plan holds, for the line above its header.

    Examples
    --------
    >>> plan_table_note("trays needed", 1, "")
    'takestats: trays needed; planned, not observed; seed 1; takes and chances from 0 to 1.'
    """
    parts = [f"{banner} takestats: {what}".strip(), "planned, not observed", f"seed {seed}"]
    return f"{'; '.join(parts)}; takes and chances from 0 to 1."
