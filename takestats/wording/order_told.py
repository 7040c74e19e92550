"""An order of understock read aloud: grafts, understocks, wood, days, money, and what changed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.costs import assumed_words, money, money_interval
from takestats.wording.numbers import (
    count_of,
    few_names,
    level_words,
    listing,
    percent,
    percent_number,
    plain,
    points,
    points_range,
    trays_words,
    whole,
)

Row = Mapping[str, Any]
_FEW = 10.0


def chance_words(assurance: float) -> str:
    """Say the chance an order is placed with.

    Examples
    --------
    >>> chance_words(0.9), chance_words(0.95)
    ('nine seasons in ten', '95 seasons in 100')
    """
    if assurance == 0.9:
        return "nine seasons in ten"
    if assurance == 0.5:
        return "every second season"
    return f"{100.0 * assurance:g} seasons in 100"


def some(number: float) -> str:
    """Say how many plants a model expects: whole, one decimal when few.

    Examples
    --------
    >>> some(131.4), some(2.345), some(3.0)
    ('131', '2.3', '3')
    """
    if math.isnan(number) or abs(number) >= _FEW or number == int(number):
        return whole(number)
    return f"{number:.1f}"


def hours(number: float) -> str:
    """Say hours of work.

    Examples
    --------
    >>> hours(1.0), hours(12.34), hours(150.2)
    ('1 hour', '12 hours', '150 hours')
    """
    said = some(number)
    return f"{said} hour" if said == "1" else f"{said} hours"


def too_many_words(wanted: int, most: int, assurance: float, *, hardly: bool) -> str:
    """Say that no number of grafts is enough, or more than a million are."""
    plants = count_of(wanted, "plant")
    chance = "" if math.isnan(assurance) else f" in {chance_words(assurance)}"
    if hardly:
        return f"no number of grafts is enough for {plants}{chance}: next to nothing may take"
    return f"{plants}{chance} need more than {whole(most)} grafts"


def head_sentence(rows: Sequence[Row], assurance: float) -> str:
    """Say the whole order first."""
    grafts = sum(row["grafts"] for row in rows)
    who = f"for {rows[0]['combination']}"
    if len(rows) > 1:
        who = f"for {count_of(len(rows), 'combination')}, each by itself"
    typed = {row["rests_on"] == "typed takes" for row in rows}
    if typed == {True}:
        met = "enough when the take is no lower than the poor take that was typed (assumed)"
    else:
        met = f"to have the plants wanted in {chance_words(assurance)}"
        if True in typed:
            met += ", or at the poor take where takes were typed (assumed)"
    lacking = [row["combination"] for row in rows if row["plants"] == "taken"]
    tail = (
        f" What is culled after the take is not recorded for {few_names(lacking)}: there the order "
        "is for plants that take, not for saleable ones."
        if lacking
        else ""
    )
    return f"Order {count_of(grafts, 'understock')} {who}, {met}.{tail}"


def row_sentence(row: Row) -> str:
    """Read the order of one combination aloud."""
    plants = "saleable plants" if row["plants"] == "saleable" else "plants that take"
    fills = "" if math.isnan(row["trays"]) else f" ({count_of(row['trays'], 'tray')})"
    wanted = f"{whole(row['wanted'])} {plants} wanted, {count_of(row['grafts'], 'graft')}{fills}"
    if row["rests_on"] == "typed takes":
        return (
            f"{row['combination']}: {wanted}, ordered on the poor take of "
            f"{percent(row['take_low'])}{_typed_cull(row)}; {_surplus(row, 'at the usual')} take "
            f"of {percent(row['expected_take'])}, {some(row['largest_surplus'])} at the good one; "
            "assumed, not recorded."
        )
    share = percent_number(row["assurance"])
    kept = ""
    if row["plants"] == "saleable" and row["kept_typed"]:
        kept = _typed_cull(row)
    elif row["plants"] == "saleable":
        kept = (
            f", and {percent(row['kept'])} of those that take to be saleable "
            f"({percent(row['kept_low'])} or more with {share} % probability)"
        )
    return (
        f"{row['combination']}: {wanted}. In a new season expect {percent(row['expected_take'])} "
        f"to take ({percent(row['take_low'])} or more with {share} % probability){kept}; "
        f"{_surplus(row, 'on average')}, {some(row['largest_surplus'])} or more in a season as "
        f"good as one in {some(1.0 / (1.0 - row['assurance']))}; from {_behind(row)}."
    )


def _typed_cull(row: Row) -> str:
    if not row["kept_typed"]:
        return ""
    return f", less an assumed cull of {percent(1.0 - row['kept'])}"


def _surplus(row: Row, when: str) -> str:
    spare = row["expected_surplus"]
    if spare < 0.0:
        return f"{some(-spare)} too few {when}"
    return f"{some(spare)} to spare {when}"


def _behind(row: Row) -> str:
    parts = [trays_words(row["past_trays"]), count_of(row["past_grafts"], "graft")]
    if row["past_seasons"] > 0:
        parts.insert(0, count_of(row["past_seasons"], "season"))
    said = listing(parts)
    if row["rests_on"] == "others like it":
        said += " of others of its relation, for it has no past of its own"
    return said


def class_sentences(rows: Sequence[Row]) -> tuple[str, ...]:
    """Say how many understocks of each class, and where their unions go."""
    said = []
    for stock in dict.fromkeys(str(row["understock"]) for row in rows):
        own = [row for row in rows if row["understock"] == stock]
        total = count_of(sum(row["understocks"] for row in own), "understock")
        if not own[0]["caliper_class"]:
            said.append(f"{stock}: {total}; caliper classes not recorded.")
            continue
        parts = [
            f"{whole(row['understocks'])} {row['caliper_class']}"
            + (f" ({row['union']} union)" if row["union"] else "")
            for row in own
        ]
        rule = "" if any(row["union"] for row in own) else "; low or high union not recorded"
        said.append(
            f"{stock}: {total}, {listing(parts)}, as the classes stood in {own[0]['season']} on "
            f"{count_of(own[0]['recorded_grafts'], 'graft')}{rule}."
        )
    return tuple(said)


def seedling_sentences(rows: Sequence[Row]) -> tuple[str, ...]:
    """Say how many seedlings to raise, or that it cannot be told."""
    said = []
    for row in rows:
        if math.isnan(row["usable_share"]):
            said.append(
                f"{row['understock']}: seedlings to raise not told, for the usable share is not "
                "recorded."
            )
            continue
        if math.isinf(row["seedlings"]):
            said.append(f"{row['understock']}: no seedling is left to graft at these shares.")
            continue
        why = f"{percent(row['usable_share'])} usable"
        years, loss = row["years_grown"], row["loss_a_year"]
        if math.isnan(years) or math.isnan(loss):
            why += "; losses while they grow not recorded"
        else:
            grown = "year" if years == 1 else "years"
            why += f" after {plain(years)} {grown} with {percent(loss)} lost in each"
        said.append(f"{row['understock']}: raise {count_of(row['seedlings'], 'seedling')} ({why}).")
    return tuple(said)


def wood_sentences(rows: Sequence[Row], difference: Row | None, currency: str) -> tuple[str, ...]:
    """Say pieces and sticks, and what sub-terminal wood costs in take and training."""
    if all(math.isnan(row["sticks"]) and math.isnan(row["terminal"]) for row in rows):
        pieces = count_of(sum(row["pieces"] for row in rows), "scion piece")
        return (f"{pieces}; pieces a stick and terminal pieces to be had not recorded.",)
    said = []
    for row in rows:
        parts = [count_of(row["pieces"], "scion piece")]
        if math.isnan(row["sticks"]):
            parts.append("pieces a stick not recorded")
        else:
            parts.append(
                f"{count_of(row['sticks'], 'stick')} at {plain(row['pieces_a_stick'])} pieces each"
            )
        if math.isnan(row["terminal"]):
            parts.append("terminal pieces to be had not recorded")
        else:
            parts.append(f"{whole(row['terminal'])} terminal")
            if row["sub_terminal"] > 0:
                parts.append(f"{whole(row['sub_terminal'])} sub-terminal")
            if row["short"] > 0:
                parts.append(f"{whole(row['short'])} not to be had")
        said.append(f"{row['combination']}: {', '.join(parts)}{_second(row, currency)}.")
    if difference is not None:
        said.append(difference_sentence(difference))
    elif any(row["sub_terminal"] > 0 for row in rows):
        said.append(
            "What sub-terminal wood costs in take is not recorded: no season has both woods "
            "counted."
        )
    return tuple(said)


def _second(row: Row, currency: str) -> str:
    if not row["sub_terminal"] > 0:
        return ""
    cost = (
        "training of sub-terminal plants not recorded"
        if math.isnan(row["training"])
        else f"{money(row['training'], currency)} for training the sub-terminal ones"
    )
    if math.isnan(row["fewer_plants"]):
        return f"; {cost}"
    fewer, low, high = row["fewer_plants"], row["fewer_low"], row["fewer_high"]
    word = "fewer" if fewer >= 0.0 else "more"
    ends = f"from {side_words(low)} to {side_words(high)}"
    return f"; {some(abs(fewer))} {word} take than if all were terminal ({ends}); {cost}"


def side_words(fewer: float) -> str:
    """Say a limit of plants that take or do not.

    Examples
    --------
    >>> side_words(6.9), side_words(-2.0)
    ('6.9 fewer', '2 more')
    """
    return f"{some(abs(fewer))} {'fewer' if fewer >= 0.0 else 'more'}"


def difference_sentence(row: Row) -> str:
    """Say what sub-terminal wood takes against terminal wood."""
    seasons = row["seasons"]
    season = f"in {listing(seasons)}" if seasons else "season not recorded"
    if len(seasons) > 1:
        season += ", each season by itself"
    within = " of the same combinations" if row["within"] else ""
    lot = "" if row["by_lot"] else "; seen together, not shown to cause"
    gap = row["difference"]
    more = "more" if gap >= 0.0 else "less"
    return (
        f"Sub-terminal wood took {points(abs(gap))} {more} than terminal wood{within} "
        f"({level_words(row['level'])} of the difference {points_range(row['low'], row['high'])}; "
        f"{season}, {trays_words(row['trays'][0])} and {trays_words(row['trays'][1])}){lot}. It is "
        "not added to the order, which stands at the mix of wood on record."
    )


def days_sentence(row: Row, *, window: bool = True) -> str:
    """Say trays, days and weeks, and the window as it was written."""
    grafts = count_of(row["grafts"], "graft")
    trays = (
        "tray size not recorded"
        if math.isnan(row["trays"])
        else f"{count_of(row['trays'], 'tray')} of {whole(row['tray_size'])}"
    )
    if math.isnan(row["days"]):
        work = "grafts a day not recorded"
    else:
        work = f"{count_of(row['days'], 'bench day')} at {plain(row['grafts_a_day'])} grafts a day"
        if math.isnan(row["weeks"]):
            work += "; days a week not recorded"
        else:
            work += f", about {some(row['weeks'])} weeks at {plain(row['days_a_week'])} days a week"
    tail = f"; window as written: {row['window']}" if row["window"] else "; window not recorded"
    return f"{grafts} in all: {trays}, {work}{tail if window else ''}."


def money_sentences(
    rows: Sequence[Row], currency: str, assumed: str, unpriced: Sequence[str], assurance: float
) -> tuple[str, ...]:
    """Say hours and money of the whole order."""
    if not rows:
        return ("Costs not recorded.",)
    row = rows[-1]
    work = f"{hours(row['hours'])} of work ({some(row['hours_low'])} to {some(row['hours_high'])})"
    named = assumed_words(assumed) if assumed else "costs as written"
    if unpriced:
        goods = money_interval(row["material"], row["material_low"], row["material_high"], currency)
        return (
            f"The whole order: {work}, and {goods} of material ({named}); an hour has no price, so "
            "the work is not in the money.",
        )
    cost = money_interval(row["cost"], row["cost_low"], row["cost_high"], currency)
    each = money_interval(
        row["cost_per_plant"], row["cost_per_plant_low"], row["cost_per_plant_high"], currency
    )
    goods, labour = money(row["material"], currency), money(row["labour"], currency)
    tail = plain(100.0 * (1.0 - assurance))
    return (
        f"The whole order: {work}; {cost} in all, {labour} of it labour and {goods} material; "
        f"{each} for each plant ({named}; the limits: of 100 seasons {tail} are poorer and {tail} "
        "better).",
    )
