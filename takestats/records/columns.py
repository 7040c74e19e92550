"""Which columns may a grafting record have, and what does each one mean?

One table of declarations. Reading, checking, the help pages and the frame
contract are all built from it, so that a column is described in one place.
A source is named where a limit comes from somewhere; limits marked "common
practice, no source" are limits for a question, never for a refusal.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from takestats.records.words import (
    CALIPER_MATCH,
    COUNT_NAMES,
    MADE_BY,
    RELATION,
    SCION_WOOD,
    SYNONYMS,
    YES_NO,
)

Kind = Literal["text", "plant", "method", "word", "whole", "length", "height", "date", "season"]
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
        whole (whole number), length (mm or inch), height, date, season.
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
CODES = "names after ICN and ICNCP"
_MOST = 100_000
"""More grafts than this in one row are taken for a slip."""


def _column(
    name: str,
    kind: Kind,
    role: Role,
    meaning: str,
    unit: str = "",
    limits: tuple[float, float] | None = None,
    *,
    usual: tuple[float, float] | None = None,
    words: dict[str, tuple[str, ...]] | None = None,
    source: str = PRACTICE,
) -> Column:
    low, high = limits if limits else (None, None)
    usual_low, usual_high = usual if usual else (None, None)
    also = tuple(part.strip() for part in SYNONYMS.get(name, "").split(";") if part.strip())
    return Column(
        name=name,
        meaning=meaning,
        kind=kind,
        role=role,
        unit=unit,
        low=low,
        high=high,
        usual_low=usual_low,
        usual_high=usual_high,
        words=words or {},
        synonyms=also,
        source=source,
    )


COLUMNS: tuple[Column, ...] = (
    _column("season", "season", "key", "the season, named by the year of its settled count"),
    _column("trial", "text", "key", "the trial that the tray belongs to"),
    _column("block", "text", "place", "the group of trays that stood or were made together"),
    _column("tray", "text", "key", "the tray, unique within its season and trial"),
    _column("graft", "text", "key", "the graft, for records with one row per graft"),
    _column("bench", "text", "place", "the bench that the tray stood on"),
    _column("position", "text", "place", "the place of the tray on its bench"),
    _column("heat_zone", "text", "place", "the heated zone that the tray stood in"),
    _column("tray_size", "whole", "place", "cells or pots in the tray", "cells", (1, 10000)),
    _column(
        "made_by",
        "word",
        "treatment",
        "how the plants were made: by graft or by cutting",
        words=MADE_BY,
    ),
    _column("scion", "plant", "treatment", "the plant worked on top", source=CODES),
    _column("understock", "plant", "treatment", "the rooted plant below", source=CODES),
    _column(
        "relation", "word", "treatment", "how near the scion is to the understock", words=RELATION
    ),
    _column("understock_lot", "text", "treatment", "the lot or seed source of the understock"),
    _column("stock_stage", "text", "treatment", "how far the understock had grown when grafted"),
    _column("donor", "text", "treatment", "the plant or bed that the scion wood was cut from"),
    _column("licence", "text", "note", "licence number of a protected cultivar"),
    _column("method", "method", "treatment", "how the graft was cut and joined"),
    _column(
        "scion_wood",
        "word",
        "treatment",
        "the part of the shoot that the scion was cut from",
        words=SCION_WOOD,
    ),
    _column("buds", "whole", "treatment", "buds on the scion", "buds", (1, 30)),
    _column(
        "union_height_mm",
        "height",
        "treatment",
        "height of the union above the soil, or the words low and high",
        "mm",
        (0, 5000),
    ),
    _column("sealed", "word", "treatment", "whether the union was sealed", words=YES_NO),
    _column("healing", "text", "treatment", "the surroundings in which the union healed"),
    _column(
        "understock_caliper_mm",
        "length",
        "treatment",
        "thickness of the understock at the union",
        "mm",
        (0.5, 300),
        usual=(2, 60),
    ),
    _column(
        "scion_caliper_mm",
        "length",
        "treatment",
        "thickness of the scion at the cut",
        "mm",
        (0.5, 300),
        usual=(2, 60),
    ),
    _column("caliper_class", "text", "treatment", "the size class of the understock"),
    _column(
        "caliper_match",
        "word",
        "treatment",
        "whether scion and understock were equally thick",
        words=CALIPER_MATCH,
    ),
    _column("graft_date", "date", "treatment", "the day of grafting"),
    _column("scion_cut_date", "date", "treatment", "the day the scion wood was cut"),
    _column(
        "bud_break_date",
        "date",
        "treatment",
        "bud break of the ungrafted understock in the same house",
    ),
    _column(
        "grafter", "text", "treatment", "initials of the person who grafted; for adjustment only"
    ),
    _column("grafted", "whole", "count", "grafts made (cuttings struck)", "grafts", (1, _MOST)),
    _column("count", "word", "count", "which count the row tells of", words=COUNT_NAMES),
    _column("count_date", "date", "count", "the day of the count"),
    _column(
        "taken",
        "whole",
        "count",
        "grafts alive and joined at the count (cuttings rooted)",
        "grafts",
        (0, _MOST),
    ),
    _column(
        "understock_dead",
        "whole",
        "count",
        "grafts whose understock was dead at the count",
        "grafts",
        (0, _MOST),
    ),
    _column(
        "missing",
        "whole",
        "count",
        "grafts that could not be found or judged at the count",
        "grafts",
        (0, _MOST),
    ),
    _column(
        "alive_later", "whole", "outcome", "grafts alive at a later count", "grafts", (0, _MOST)
    ),
    _column("later_count_date", "date", "outcome", "the day of the later count"),
    _column("saleable", "whole", "outcome", "grafts fit for sale", "grafts", (0, _MOST)),
    _column("saleable_date", "date", "outcome", "the day the saleable grafts were counted"),
    _column(
        "defects_later",
        "whole",
        "outcome",
        "grafts with a defect of the union found later",
        "grafts",
        (0, _MOST),
    ),
    _column("note", "text", "note", "anything else worth keeping"),
)
"""Every column of a record, in the order of the sheet."""

BY_NAME: dict[str, Column] = {column.name: column for column in COLUMNS}

TREATMENT_COLUMNS: tuple[str, ...] = tuple(c.name for c in COLUMNS if c.role == "treatment")
PLACE_COLUMNS: tuple[str, ...] = tuple(
    c.name for c in COLUMNS if c.role == "place" and c.name != "tray_size"
)
