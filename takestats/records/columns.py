"""Which columns may a grafting record have, and what does each one mean?

One table of declarations. Reading, checking, the help pages and the frame
contract are all built from it, so that a column is described in one place.
A source is named where a limit comes from somewhere; limits marked "common
practice, no source" are limits for a question, never for a refusal.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Kind = Literal[
    "text", "plant", "method", "word", "whole", "number", "length", "height", "date", "season"
]
Role = Literal["key", "place", "treatment", "derived", "count", "outcome", "note"]


@dataclass(frozen=True, kw_only=True)
class Column:
    """One column of a grafting record.

    Parameters
    ----------
    name : str
        The name used everywhere inside the package; a unit stands in the name.
    meaning : str
        What a cell of it says.
    kind : str
        How a cell is read: text, plant, method, word (one of a short list),
        whole (whole number), number, length (mm or inch), height, date, season.
    role : str
        key (says which tray), place (where the tray stood), treatment (what was
        done, by whom, with what), derived, count (belongs to one count),
        outcome (recorded once, after the count), note.
    unit : str
        Unit of the numbers, blank for text.
    low, high : float or None
        Outside these limits a number cannot be right (an error).
    usual_low, usual_high : float or None
        Outside these limits a number is asked about (a query).
    words : dict of str to tuple of str
        For kind "word": the words used, and how else they are written.
    synonyms : tuple of str
        Other headers that are read as this column.
    source : str
        Where the meaning or the limits come from.
    """

    name: str
    meaning: str
    kind: Kind
    role: Role
    unit: str = ""
    low: float | None = None
    high: float | None = None
    usual_low: float | None = None
    usual_high: float | None = None
    words: dict[str, tuple[str, ...]] = field(default_factory=dict)
    synonyms: tuple[str, ...] = ()
    source: str = ""


PRACTICE = "common practice, no source"

COUNT_NAMES: dict[str, tuple[str, ...]] = {
    "callus check": ("callus", "callusing", "callus count"),
    "first": ("first count", "1", "1st", "1st count", "early"),
    "settled": ("settled count", "main", "main count"),
    "later": ("later count", "late", "second", "second count"),
    "season end": ("end of season", "season end count", "autumn", "lifting"),
    "next spring": ("spring", "next spring count", "second season"),
}
"""The counts of one graft, in the order of time, and how else they are written."""

_YES_NO = {
    "yes": ("y", "true", "1", "sealed", "waxed"),
    "no": ("n", "false", "0", "unsealed", "not sealed", "none"),
}

COLUMNS: tuple[Column, ...] = (
    Column(
        name="season",
        meaning="the season, named by the year of its settled count",
        kind="season",
        role="key",
        synonyms=("year", "grafting season"),
    ),
    Column(
        name="trial",
        meaning="the trial that the tray belongs to",
        kind="text",
        role="key",
        synonyms=("trial name", "experiment"),
    ),
    Column(
        name="block",
        meaning="the group of trays that stood or were made together",
        kind="text",
        role="place",
        synonyms=("rep", "replicate", "block no"),
    ),
    Column(
        name="tray",
        meaning="the tray, unique within its season and trial",
        kind="text",
        role="key",
        synonyms=(
            "tray no",
            "tray number",
            "tray id",
            "tray code",
            "tray name",
            "flat",
            "flat no",
            "crate",
            "batch tray",
        ),
    ),
    Column(
        name="graft",
        meaning="the graft, for records with one row per graft",
        kind="text",
        role="key",
        synonyms=("graft no", "graft number", "graft id", "plant no"),
    ),
    Column(
        name="bench",
        meaning="the bench that the tray stood on",
        kind="text",
        role="place",
        synonyms=("bench no",),
    ),
    Column(
        name="position",
        meaning="the place of the tray on its bench",
        kind="text",
        role="place",
        synonyms=("place", "bench position"),
    ),
    Column(
        name="heat_zone",
        meaning="the heated zone that the tray stood in",
        kind="text",
        role="place",
        synonyms=("zone", "mat", "heat mat"),
    ),
    Column(
        name="tray_size",
        meaning="cells or pots in the tray",
        kind="whole",
        role="place",
        unit="cells",
        low=1,
        high=10_000,
        synonyms=("cells", "cells per tray", "pots per tray", "tray cells"),
    ),
    Column(
        name="made_by",
        meaning="how the plants were made: by graft or by cutting",
        kind="word",
        role="treatment",
        words={
            "graft": ("grafted", "grafting", "grafts"),
            "cutting": ("cuttings", "struck"),
        },
        synonyms=("propagated by", "propagation"),
    ),
    Column(
        name="scion",
        meaning="the plant worked on top",
        kind="plant",
        role="treatment",
        synonyms=("cion", "graftwood", "scion plant", "scion cultivar", "cultivar", "variety"),
        source="names after ICN and ICNCP",
    ),
    Column(
        name="understock",
        meaning="the rooted plant below",
        kind="plant",
        role="treatment",
        synonyms=(
            "rootstock",
            "root stock",
            "stock",
            "under stock",
            "seedling",
            "rs",
            "understock species",
        ),
        source="names after ICN and ICNCP",
    ),
    Column(
        name="relation",
        meaning="how near the scion is to the understock",
        kind="word",
        role="treatment",
        words={
            "same species": ("species", "conspecific"),
            "same genus": ("genus", "congeneric"),
            "other genus": ("other genus in the family", "intergeneric"),
            "other family": ("family",),
            "undetermined": ("unknown", "not known"),
        },
        synonyms=("compatibility class", "relationship"),
    ),
    Column(
        name="understock_lot",
        meaning="the lot or seed source of the understock",
        kind="text",
        role="treatment",
        synonyms=("stock lot", "seed lot", "rootstock lot", "lot"),
    ),
    Column(
        name="stock_stage",
        meaning="how far the understock had grown when grafted",
        kind="text",
        role="treatment",
        synonyms=("understock stage", "rootstock stage", "stage"),
    ),
    Column(
        name="donor",
        meaning="the plant or bed that the scion wood was cut from",
        kind="text",
        role="treatment",
        synonyms=("donor plant", "mother plant", "mother"),
    ),
    Column(
        name="licence",
        meaning="licence number of a protected cultivar",
        kind="text",
        role="note",
        synonyms=("license", "licence no", "license no"),
    ),
    Column(
        name="method",
        meaning="how the graft was cut and joined",
        kind="method",
        role="treatment",
        synonyms=("graft method", "grafting method", "graft type"),
    ),
    Column(
        name="scion_wood",
        meaning="the part of the shoot that the scion was cut from",
        kind="word",
        role="treatment",
        words={
            "terminal": ("tip", "apical", "end", "top"),
            "sub_terminal": ("sub terminal", "subterminal", "second", "middle"),
            "basal": ("base", "lower"),
        },
        synonyms=("wood", "wood type", "scion wood type", "scion position"),
    ),
    Column(
        name="buds",
        meaning="buds on the scion",
        kind="whole",
        role="treatment",
        unit="buds",
        low=1,
        high=30,
        synonyms=("bud count", "buds per scion", "number of buds"),
    ),
    Column(
        name="union_height_mm",
        meaning="height of the union above the soil, or the words low and high",
        kind="height",
        role="treatment",
        unit="mm",
        low=0,
        high=5_000,
        synonyms=("union height", "union", "graft height", "height of union", "working height"),
    ),
    Column(
        name="sealed",
        meaning="whether the union was sealed",
        kind="word",
        role="treatment",
        words=_YES_NO,
        synonyms=("seal", "waxed"),
    ),
    Column(
        name="healing",
        meaning="the surroundings in which the union healed",
        kind="text",
        role="treatment",
        synonyms=("healing system", "callusing", "callusing system", "aftercare"),
    ),
    Column(
        name="understock_caliper_mm",
        meaning="thickness of the understock at the union",
        kind="length",
        role="treatment",
        unit="mm",
        low=0.5,
        high=300,
        usual_low=2,
        usual_high=60,
        synonyms=(
            "understock caliper",
            "stock caliper",
            "rootstock caliper",
            "understock calliper",
            "stock calliper",
            "understock diameter",
            "stock diameter",
            "caliper",
            "calliper",
        ),
        source=PRACTICE,
    ),
    Column(
        name="scion_caliper_mm",
        meaning="thickness of the scion at the cut",
        kind="length",
        role="treatment",
        unit="mm",
        low=0.5,
        high=300,
        usual_low=2,
        usual_high=60,
        synonyms=("scion caliper", "scion calliper", "scion diameter"),
        source=PRACTICE,
    ),
    Column(
        name="caliper_class",
        meaning="the size class of the understock",
        kind="text",
        role="treatment",
        synonyms=("calliper class", "size class", "stock class", "understock class", "grade"),
    ),
    Column(
        name="caliper_match",
        meaning="whether scion and understock were equally thick",
        kind="word",
        role="treatment",
        words={
            "matched": ("match", "equal", "same", "yes"),
            "scion thinner": ("thinner", "thin", "scion smaller", "smaller"),
            "scion thicker": ("thicker", "thick", "scion larger", "larger"),
        },
        synonyms=("calliper match", "match"),
    ),
    Column(
        name="graft_date",
        meaning="the day of grafting",
        kind="date",
        role="treatment",
        synonyms=("date grafted", "grafted on", "date of grafting", "grafting date"),
    ),
    Column(
        name="scion_cut_date",
        meaning="the day the scion wood was cut",
        kind="date",
        role="treatment",
        synonyms=("date cut", "scion cut", "wood cut", "scion cut on"),
    ),
    Column(
        name="bud_break_date",
        meaning="bud break of the ungrafted understock in the same house",
        kind="date",
        role="treatment",
        synonyms=("bud break", "budbreak", "understock bud break"),
    ),
    Column(
        name="grafter",
        meaning="initials of the person who grafted; for adjustment only",
        kind="text",
        role="treatment",
        synonyms=("grafted by", "grafter initials", "initials"),
    ),
    Column(
        name="grafted",
        meaning="grafts made (cuttings struck)",
        kind="whole",
        role="count",
        unit="grafts",
        low=1,
        high=100_000,
        synonyms=(
            "grafts",
            "grafts made",
            "made",
            "number grafted",
            "no grafted",
            "no of grafts",
            "number of grafts",
            "grafts done",
            "struck",
        ),
    ),
    Column(
        name="count",
        meaning="which count the row tells of",
        kind="word",
        role="count",
        words=COUNT_NAMES,
        synonyms=("count name", "which count", "counting"),
    ),
    Column(
        name="count_date",
        meaning="the day of the count",
        kind="date",
        role="count",
        synonyms=("date counted", "counted on", "counted", "date of count", "take date"),
    ),
    Column(
        name="taken",
        meaning="grafts alive and joined at the count (cuttings rooted)",
        kind="whole",
        role="count",
        unit="grafts",
        low=0,
        high=100_000,
        synonyms=(
            "take",
            "takes",
            "took",
            "alive",
            "scion alive",
            "grafts taken",
            "number taken",
            "no taken",
            "successes",
            "rooted",
        ),
    ),
    Column(
        name="understock_dead",
        meaning="grafts whose understock was dead at the count",
        kind="whole",
        role="count",
        unit="grafts",
        low=0,
        high=100_000,
        synonyms=(
            "stock dead",
            "stocks dead",
            "dead stock",
            "dead stocks",
            "dead understock",
            "understocks dead",
            "rootstock dead",
            "dead rootstock",
        ),
    ),
    Column(
        name="missing",
        meaning="grafts that could not be found or judged at the count",
        kind="whole",
        role="count",
        unit="grafts",
        low=0,
        high=100_000,
        synonyms=("lost", "missing grafts", "grafts missing", "lost or missing"),
    ),
    Column(
        name="alive_later",
        meaning="grafts alive at a later count",
        kind="whole",
        role="outcome",
        unit="grafts",
        low=0,
        high=100_000,
        synonyms=("later alive", "alive at later count", "taken later"),
    ),
    Column(
        name="later_count_date",
        meaning="the day of the later count",
        kind="date",
        role="outcome",
        synonyms=("later date", "date of later count"),
    ),
    Column(
        name="saleable",
        meaning="grafts fit for sale",
        kind="whole",
        role="outcome",
        unit="grafts",
        low=0,
        high=100_000,
        synonyms=("salable", "sellable", "number saleable"),
    ),
    Column(
        name="saleable_date",
        meaning="the day the saleable grafts were counted",
        kind="date",
        role="outcome",
        synonyms=("salable date", "date saleable", "date graded"),
    ),
    Column(
        name="defects_later",
        meaning="grafts with a defect of the union found later",
        kind="whole",
        role="outcome",
        unit="grafts",
        low=0,
        high=100_000,
        synonyms=("defects", "late defects", "later defects"),
    ),
    Column(
        name="note",
        meaning="anything else worth keeping",
        kind="text",
        role="note",
        synonyms=("notes", "remark", "remarks", "comment", "comments"),
    ),
)

BY_NAME: dict[str, Column] = {column.name: column for column in COLUMNS}

TREATMENT_COLUMNS: tuple[str, ...] = tuple(c.name for c in COLUMNS if c.role == "treatment")
PLACE_COLUMNS: tuple[str, ...] = tuple(
    c.name for c in COLUMNS if c.role == "place" and c.name != "tray_size"
)
COUNT_COLUMNS: tuple[str, ...] = tuple(c.name for c in COLUMNS if c.role == "count")
OUTCOME_COLUMNS: tuple[str, ...] = tuple(c.name for c in COLUMNS if c.role == "outcome")
NOTE_COLUMNS: tuple[str, ...] = tuple(c.name for c in COLUMNS if c.role == "note")

DERIVED_COLUMNS: dict[str, str] = {
    "tray_id": "the tray, unique among all that were read",
    "combination": "scion on understock",
    "caliper_ratio": "scion caliper divided by understock caliper",
    "day_of_season": "days from the season's first graft",
    "storage_days": "days from cutting the scion wood to grafting",
    "days_to_bud_break": "days from grafting to bud break of the understock",
    "counted": "whether the tray has the count that was asked for",
}
"""Columns that are worked out, never typed."""
