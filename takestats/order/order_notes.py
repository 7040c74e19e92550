"""What does an order rest on, and what must be said beside it?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.models.grouped_seasons import OWN_SCALE
from takestats.order.grafting_window import GraftingWindow
from takestats.order.order_money import OrderMoney
from takestats.order.ordered_rows import OTHERS, TYPED, Ordered
from takestats.order.past_seasons import PastSeasons, PastShare
from takestats.order.scion_wood import ScionWood
from takestats.order.tray_size import TraySize
from takestats.order.understocks import Understocks
from takestats.wording import order_notes as words
from takestats.wording.models import count_note


def order_notes(
    ordered: Sequence[Ordered],
    past: PastSeasons | None,
    size: TraySize,
    stocks: Understocks,
    wood: ScionWood,
    costs: OrderMoney,
    window: GraftingWindow,
    assurance: float,
    banner: str,
) -> tuple[str, ...]:
    """Every note of an order, what matters most first."""
    by_past = [row for row in ordered if row.rests_on != TYPED]
    notes = [banner] if banner else []
    if by_past:
        notes.append(words.assurance_note(assurance, size.cells, len(ordered)))
    if len(by_past) < len(ordered):
        notes.append(words.TYPED_NOTE)
    if past is not None and by_past:
        notes.append(count_note(past.count, past.dates, "made"))
        notes.append(words.MISSING_NOTE)
        notes += _seasons("Take", [row.past for row in by_past], past.takes)
        sold = [row.sold for row in by_past if row.sold is not None]
        if sold:
            notes.append(words.SOLD_NOTE)
            notes += _seasons("Saleable of grafts made", sold, past.sold)
            if any(share.spread is not None and not share.pooled for share in sold):
                notes.append(words.saleable_spread_note(OWN_SCALE))
        graded = [row.graded for row in by_past if row.graded is not None and row.sold is None]
        if graded:
            notes.append(words.CULL_NOTE)
            notes += _seasons("Saleable of those that took", graded, past.kept)
        if past.records.no_trays:
            notes.append(words.NO_TRAYS_NOTE)
        elif size.why == "grafted":
            notes.append(words.ASSUMED_TRAYS_NOTE)
        notes += past.notes
    if any(row.rests_on == OTHERS for row in ordered):
        notes.append(words.OTHERS_NOTE)
    if any(row.kept_typed for row in ordered):
        notes.append(words.CULL_TYPED_NOTE)
    if (stocks.classes["caliper_class"] != "").any():
        notes.append(words.CLASS_NOTE)
    if stocks.seedlings["usable_share"].notna().any():
        notes.append(words.SEEDLING_NOTE)
    if wood.table["terminal"].notna().any():
        notes.append(words.WOOD_NOTE)
    if costs.plan is not None:
        notes.append(words.MONEY_NOTE)
        if costs.without_saleable:
            notes.append(words.WITHOUT_SALEABLE_NOTE)
        if costs.unlimited:
            notes.append(words.unlimited_note(costs.unlimited))
        if costs.plan.left_out:
            notes.append(words.left_out_steps_note(costs.plan.left_out))
    return (*notes, *window.notes)


def _seasons(
    what: str, shares: Sequence[PastShare | None], every: dict[str, PastShare]
) -> list[str]:
    """What the spread between seasons rests on: once when pooled, else for each kind of support."""
    own = [share for share in shares if share is not None and share.spread is not None]
    pooled = next((share for share in own if share.pooled), None)
    if pooled is not None and pooled.spread is not None:
        spread = (pooled.spread.estimate, pooled.spread.low, pooled.spread.high)
        many = [share for share in every.values() if share.seasons > 1]
        seasons = max(share.seasons for share in every.values())
        return [
            words.seasons_note(
                what, seasons, len(many), pooled=True, scale=pooled.scale, spread=spread
            )
        ]
    kinds = dict.fromkeys(min(share.seasons, 2) for share in own)
    return [
        words.seasons_note(
            what,
            number,
            1 if number else 0,
            pooled=False,
            scale=[share.scale for share in own if min(share.seasons, 2) == number],
            spread=None,
        )
        for number in sorted(kinds)
    ]
