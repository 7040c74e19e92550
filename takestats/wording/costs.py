"""How is money read aloud: spent on a graft, on a plant that took, on one that can be sold?"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from takestats.wording.numbers import (
    NO_UPPER_BOUND,
    NOT_RECORDED,
    count_of,
    level_text,
    level_words,
    listing,
    percent,
    percent_number,
    trays_words,
)
from takestats.wording.said import opened

Row = Mapping[str, Any]

NO_CULL = (
    "Saleable plants are not recorded, so how many are culled after they took is not known: cost "
    "per saleable plant and break-even take are not shown."
)
NO_PRICE = "What a saleable plant sells for (costs.price) is not set: no break-even take is shown."
NOT_OPTIMUM = (
    "Money is what was written under [costs], the same for every tray; the intervals come from "
    "the counts alone. Where one plant costs less than another, that was seen together with its "
    "method or wood, not shown to be caused by it, unless that was given by lot."
)


class Told(NamedTuple):
    """What the settings say of all costs: the money, whether assumed, what a plant sells for."""

    currency: str
    assumed: str
    price: float | None


class Left(NamedTuple):
    """Steps in the money, and steps that are not: no cost, minutes without a price, no tray."""

    steps: Sequence[str]
    no_cost: Sequence[str]
    no_hour: Sequence[str]
    no_tray: Sequence[str]


class StepWords(NamedTuple):
    """One step, for a table."""

    name: str
    minutes: float
    money: float
    together: float
    per: str
    only: str
    assumed: bool


def money(amount: float, currency: str) -> str:
    """Say an amount of money.

    Examples
    --------
    >>> money(3.456, "EUR"), money(1234.5, ""), money(float("inf"), "EUR")
    ('3.46 EUR', '1,234.50', 'no upper bound')
    """
    if math.isnan(amount):
        return NOT_RECORDED
    if math.isinf(amount):
        return NO_UPPER_BOUND
    return f"{amount:,.2f} {currency}".strip()


def money_interval(amount: float, low: float, high: float, currency: str) -> str:
    """Say an amount with its limits.

    Examples
    --------
    >>> money_interval(3.456, 3.2, 3.9, "EUR")
    '3.46 EUR (3.20 to 3.90)'
    >>> money_interval(float("inf"), float("nan"), float("inf"), "EUR")
    'not to be said: none'
    """
    if math.isnan(amount):
        return NOT_RECORDED
    if math.isinf(amount):
        return "not to be said: none"
    return f"{money(amount, currency)} ({money(low, '')} to {money(high, '')})"


def assumed_words(assumed: str) -> str:
    """Name the costs, assumed or not.

    Parameters
    ----------
    assumed : str
        "all", "some" or blank.

    Examples
    --------
    >>> assumed_words("all"), assumed_words("some"), assumed_words("")
    ('assumed costs', 'partly assumed costs', 'costs')
    """
    return {"all": "assumed costs", "some": "partly assumed costs"}.get(assumed, "costs")


def break_even_words(take: float, low: float, high: float) -> str:
    """Say a break-even take.

    Examples
    --------
    >>> break_even_words(0.46, 0.44, 0.48), break_even_words(1.2, 1.1, 1.3)
    ('46 % (44 to 48)', 'no take pays')
    >>> break_even_words(0.9, 0.8, 1.3)
    '90 % (80 to more than all)'
    """
    if math.isnan(take):
        return NOT_RECORDED
    if take > 1.0:
        return "no take pays"
    upper = "more than all" if high > 1.0 else percent_number(high)
    return f"{percent(take)} ({percent_number(low)} to {upper})"


def cost_notes(told: Told, left: Left, *, compared: bool, level: float) -> tuple[str, ...]:
    """Say how costs were reckoned and what is not in them."""
    take = "the takes that the page compares" if compared else "raw takes with quick limits"
    notes = [
        f"Reckoned with {assumed_words(told.assumed)} from {take}: what is spent on every graft "
        f"made is divided by the take; {level_words(level)}, turned round. Saleable of those that "
        "took is the raw share with quick limits; the two are joined on the log scale as if "
        "estimated apart.",
        f"In it: {listing(left.steps)}.",
        *left_out_lines(left),
        NOT_OPTIMUM,
    ]
    return tuple(notes)


def left_out_lines(left: Left) -> list[str]:
    """Say which steps are not in the money.

    Examples
    --------
    >>> left_out_lines(Left(["understock"], ["aftercare", "grow on"], [], []))
    ['Left out, because no cost is set: aftercare and grow on.']
    """
    lines = []
    if left.no_cost:
        lines.append(f"Left out, because no cost is set: {listing(left.no_cost)}.")
    if left.no_hour:
        lines.append(
            f"The minutes of {listing(left.no_hour)} are left out, because an hour has no price "
            "(costs.hour)."
        )
    if left.no_tray:
        lines.append(
            "Left out, because no tray of the season has what it is limited to: "
            f"{listing(left.no_tray)}."
        )
    return lines


def cost_sentences(rows: Sequence[Row], label: str, told: Told, level: float) -> tuple[str, ...]:
    """Read each level's costs aloud."""
    said = []
    for row in rows:
        who = "All grafts" if label == "level" else opened(level_text(row[label]))
        named = assumed_words(told.assumed)
        took = money_interval(
            row["cost_per_taken"], row["taken_low"], row["taken_high"], told.currency
        )
        text = (
            f"{who}, {named}: {money(row['spent_per_graft'], told.currency)} is spent on every "
            f"graft; a plant that took costs {took}, {level_words(level)}, at a take of "
            f"{percent(row['take_rate'])} in {trays_words(row['trays'])}, "
            f"{count_of(row['grafts'], 'graft')}"
        )
        if math.isnan(row["saleable_share"]):
            text += f"; per saleable plant: {NOT_RECORDED}."
        else:
            cost = money_interval(
                row["cost_per_saleable"], row["cost_low"], row["cost_high"], told.currency
            )
            text += (
                f"; a saleable one {cost}, {percent(row['saleable_share'])} of those that took "
                "being saleable."
            )
        said.append(text)
    return tuple(said)


def break_even_line(row: Row, told: Told, floor: float | None) -> str:
    """Say under which take a plant costs more than it sells for, beside the floor.

    Parameters
    ----------
    row : mapping
        break_even_take, break_even_low, break_even_high, saleable_share.
    told : Told
    floor : float or None
        The lowest take worth having, of the settings.
    """
    if told.price is None:
        return NO_PRICE
    if math.isnan(row["break_even_take"]):
        return NO_CULL
    price = money(told.price, told.currency)
    named = assumed_words(told.assumed)
    if row["break_even_take"] > 1.0:
        said = f"At {price} a plant no take pays, with these {named}"
    else:
        even = break_even_words(
            row["break_even_take"], row["break_even_low"], row["break_even_high"]
        )
        said = (
            f"Break-even take, {named}: {even}; under it a saleable plant costs more than the "
            f"{price} it sells for, {percent(row['saleable_share'])} of those that took being "
            "saleable"
        )
    if floor is not None:
        said += f". The lowest take worth having, from the settings: {percent(floor)}"
    return f"{said}."


def costs_caption(what: str, told: Told, season: str) -> str:
    """Caption of a table of costs."""
    when = f", season {season}" if season else ""
    money_named = f", in {told.currency}" if told.currency else ""
    return f"{opened(assumed_words(told.assumed))} per plant by {what}{when}{money_named}"


def under_line(names: Sequence[tuple[str, float, float, float, float]], assumed: str) -> str:
    """Say which combinations took less than their break-even take.

    Parameters
    ----------
    names : sequence of (combination, take, low, high, break-even take)
    assumed : str

    Examples
    --------
    >>> under_line([], "all")
    'No combination took less than its break-even take (assumed costs).'
    >>> under_line([("A on B", 0.4, 0.3, 0.5, 0.6), ("C on D", 0.5, 0.3, 0.7, 0.6)], "")
    'Under the break-even take (costs): A on B, 40 % (30 to 50) against 60 %, clearly; C on D, \
50 % (30 to 70) against 60 %, not clearly.'
    """
    named = assumed_words(assumed)
    if not names:
        return f"No combination took less than its break-even take ({named})."
    parts = [
        f"{name}, {percent(take)} ({percent_number(low)} to {percent_number(high)}) against "
        f"{percent(even) if even <= 1.0 else 'no take that pays'}, "
        f"{'clearly' if high < even else 'not clearly'}"
        for name, take, low, high, even in names
    ]
    return f"Under the break-even take ({named}): {'; '.join(parts)}."


def step_cells(step: StepWords) -> tuple[str, ...]:
    """Say a step in the cells of a table.

    Examples
    --------
    >>> step_cells(StepWords("aftercare", 2.0, 0.1, 0.7, "taken", "cleft", True))
    ('aftercare', '2', '0.10', '0.70', 'per taken, only cleft', 'assumed')
    """
    return (
        step.name,
        f"{step.minutes:g}" if step.minutes else "",
        money(step.money, "") if step.money else "",
        money(step.together, ""),
        f"per {step.per}" + (f", only {level_text(step.only)}" if step.only else ""),
        "assumed" if step.assumed else "as written",
    )
