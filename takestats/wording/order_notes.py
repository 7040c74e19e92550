"""What an order rests on, what was assumed, and what it cannot know."""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.groups import season_spread_note
from takestats.wording.numbers import listing, plain
from takestats.wording.order_told import chance_words

Limits = tuple[float, float, float]


def assurance_note(assurance: float, tray_size: float, combinations: int) -> str:
    """Say what the chance is a chance of."""
    together = (
        " Each combination is met with that chance by itself: all of them together are met less "
        "often."
        if combinations > 1
        else ""
    )
    return (
        f"Grafts are the fewest that give the plants wanted in {chance_words(assurance)}: the take "
        f"of a season not yet seen, trays of {plain(tray_size)} that differ, chance in every graft "
        "and, where recorded, the share that is saleable are in it. This is more than the plants "
        "wanted divided by the lower limit of the take. The average take of the past is met about "
        f"every second season and is not used.{together}"
    )


TYPED_NOTE = (
    "Takes were typed and so assumed: grafts are the plants wanted divided by the poor take (less "
    "the culls), the usual and the good take give the surplus. No trays and no chance are in it."
)
OTHERS_NOTE = (
    "A combination without a past is taken to resemble those of its relation on record, which were "
    "chosen and not drawn by lot."
)
SOLD_NOTE = (
    "Where every tray on record has its saleable plants, grafts are ordered on the saleable plants "
    "of the grafts made, take and cull together, by the same model as the take."
)
CULL_NOTE = (
    "Where only some trays have their saleable plants, take and cull of a season not yet seen are "
    "put together as if they were independent; that makes the order somewhat larger than need be."
)
CULL_TYPED_NOTE = "The cull was typed and so assumed: the same in every season and tray."
PARTLY_GRADED_NOTE = "What is saleable is learnt from the trays where it was recorded."
MISSING_NOTE = "A missing graft is taken to have done as those that were found."
SEEDLING_NOTE = (
    "Usable share, years and yearly losses are taken as they were written; they have no interval, "
    "and a poor year for seedlings is not in the assurance."
)
CLASS_NOTE = (
    "Classes: shares of the newest season that records them on that understock; next year's "
    "seedlings may stand otherwise."
)
WOOD_NOTE = (
    "Wood: terminal pieces are used first, combinations of one scion in the order of the targets."
)
MONEY_NOTE = (
    "Money: grafts are certain, plants that take are not. The limits are a season as poor, and as "
    "good, as the assurance allows for; the row for all puts every combination in the same season. "
    "Steps have no interval of their own; seedlings that are not fit to graft are not in it."
)
NO_TRAYS_NOTE = (
    "No trays recorded: grafts counted as if independent; the order is too small if they are not."
)
ASSUMED_TRAYS_NOTE = (
    "Tray size not recorded: trays are taken to hold as many grafts as the trays on record did in "
    "the middle."
)


def seasons_note(
    what: str,
    seasons: int,
    groups: int,
    *,
    pooled: bool,
    scale: float | Sequence[float],
    spread: Limits | None,
) -> str:
    """Say what the spread between seasons of a share rests on."""
    said = season_spread_note(seasons, groups, pooled=pooled, scale=scale, spread=spread)
    return f"{what}: {said[0].lower()}{said[1:]}"


def saleable_spread_note(scale: float) -> str:
    """Say where the assumed spread between seasons of saleable plants comes from."""
    return (
        "The assumed spread between seasons of saleable plants is what the same assumption on the "
        f"take and on the share that is kept comes to (scale {scale:g} each); it is smaller where "
        "few plants are lost."
    )


def unlimited_note(steps: Sequence[str]) -> str:
    """Say which steps were left out for want of records."""
    return (
        f"Left out where there are no records to weigh them by: {listing(list(steps))}, limited to "
        "one method or scion wood."
    )


WITHOUT_SALEABLE_NOTE = (
    "Steps done for saleable plants are left out where saleable plants are not recorded."
)


def left_out_steps_note(steps: Sequence[str]) -> str:
    """Say which usual steps have no cost."""
    return f"Usual steps without a cost: {listing(list(steps))}."
