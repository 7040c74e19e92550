"""How else are the columns, and the words in them, written?"""

from __future__ import annotations

COUNT_NAMES: dict[str, tuple[str, ...]] = {
    "callus check": ("callus", "callusing", "callus count"),
    "first": ("first count", "1", "1st", "1st count", "early"),
    "settled": ("settled count", "main", "main count"),
    "later": ("later count", "late", "second", "second count"),
    "season end": ("end of season", "season end count", "autumn", "lifting"),
    "next spring": ("spring", "next spring count", "second season"),
}
"""The counts of one graft, in the order of time, and how else they are written."""

YES_NO: dict[str, tuple[str, ...]] = {
    "yes": ("y", "true", "1", "sealed", "waxed"),
    "no": ("n", "false", "0", "unsealed", "not sealed", "none"),
}

MADE_BY: dict[str, tuple[str, ...]] = {
    "graft": ("grafted", "grafting", "grafts"),
    "cutting": ("cuttings", "struck"),
}
RELATION: dict[str, tuple[str, ...]] = {
    "same species": ("species", "conspecific"),
    "same genus": ("genus", "congeneric"),
    "other genus": ("other genus in the family", "intergeneric"),
    "other family": ("family",),
    "undetermined": ("unknown", "not known"),
}
SCION_WOOD: dict[str, tuple[str, ...]] = {
    "terminal": ("tip", "apical", "end", "top"),
    "sub_terminal": ("sub terminal", "subterminal", "second", "middle"),
    "basal": ("base", "lower"),
}
CALIPER_MATCH: dict[str, tuple[str, ...]] = {
    "matched": ("match", "equal", "same", "yes"),
    "scion thinner": ("thinner", "thin", "scion smaller", "smaller"),
    "scion thicker": ("thicker", "thick", "scion larger", "larger"),
}

SYNONYMS: dict[str, str] = {
    "season": "year; grafting season",
    "trial": "trial name; experiment",
    "block": "rep; replicate; block no; block number",
    "tray": (
        "tray no; tray number; tray id; tray code; tray name; trays; flat; flat no; flat number; "
        "crate; crate no; batch tray"
    ),
    "graft": "graft no; graft number; graft id; plant no",
    "bench": "bench no",
    "position": "place; bench position",
    "heat_zone": "zone; mat; heat mat",
    "tray_size": "cells; cells per tray; pots per tray; tray cells",
    "made_by": "propagated by; propagation",
    "scion": "cion; graftwood; scion plant; scion cultivar; cultivar; variety",
    "understock": (
        "rootstock; root stock; stock; under stock; seedling; rs; understock species; rootstock "
        "species; understocks; rootstocks"
    ),
    "relation": "compatibility class; relationship",
    "understock_lot": "stock lot; seed lot; rootstock lot; lot",
    "stock_stage": "understock stage; rootstock stage; stage",
    "donor": "donor plant; mother plant; mother",
    "licence": "license; licence no; license no",
    "method": "graft method; grafting method; graft type",
    "scion_wood": "wood; wood type; scion wood type; scion position",
    "buds": "bud count; buds per scion; number of buds",
    "union_height_mm": "union height; union; graft height; height of union; working height",
    "sealed": "seal; waxed",
    "healing": "healing system; callusing; callusing system; aftercare",
    "understock_caliper_mm": (
        "understock caliper; stock caliper; rootstock caliper; understock diameter; "
        "stock diameter; rootstock diameter; caliper; stem caliper; cal; stock cal; "
        "understock cal; rootstock cal"
    ),
    "scion_caliper_mm": "scion caliper; scion diameter; cion caliper; scion cal",
    "caliper_class": (
        "size class; stock class; understock class; understock size; stock size; rootstock size; "
        "understock grade; stock grade; rootstock grade"
    ),
    "caliper_match": "match; matched",
    "graft_date": (
        "date grafted; grafted on; day grafted; grafting day; date of grafting; grafting date"
    ),
    "scion_cut_date": (
        "date cut; scion cut; wood cut; scion cut on; scion wood cut; wood cut on; date scion cut"
    ),
    "bud_break_date": "bud break; budbreak; understock bud break",
    "grafter": "grafted by; grafter initials; initials",
    "grafted": (
        "grafts; grafts made; made; number grafted; no grafted; no of grafts; "
        "number of grafts; grafts done; struck; number made; no made; number struck; "
        "total grafted; grafts total"
    ),
    "count": "count name; which count; counting",
    "count_date": (
        "date counted; counted on; counted; date of count; take date; day counted; counting date"
    ),
    "taken": (
        "take; takes; took; alive; scion alive; scions alive; grafts taken; grafts alive; live "
        "grafts; number taken; no taken; number alive; no alive; total taken; success; "
        "successes; rooted; number rooted"
    ),
    "understock_dead": (
        "stock dead; stocks dead; dead stock; dead stocks; dead understock; "
        "understocks dead; rootstock dead; dead rootstock; rootstocks dead; dead rootstocks; "
        "stocks died; understocks died"
    ),
    "missing": "lost; missing grafts; grafts missing; lost or missing; number missing; no missing",
    "alive_later": "later alive; alive at later count; taken later",
    "later_count_date": "later date; date of later count",
    "saleable": "salable; sellable; number saleable; no saleable; fit for sale; number salable",
    "saleable_date": "salable date; date saleable; date salable; date graded; grading date",
    "defects_later": "defects; late defects; later defects",
    "note": "notes; remark; remarks; comment; comments",
}
"""Other headers that are read as a column, parted by semicolons."""
