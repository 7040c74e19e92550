"""Which settings are there, and what may each one be?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from takestats.records.words import COUNT_NAMES

Kind = Literal[
    "text",
    "yes_no",
    "number",
    "share",
    "whole",
    "words",
    "any",
    "one_of",
    "fill",
    "cost",
    "shares",
    "wholes",
    "numbers",
    "unions",
]


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One setting: where it stands, what it means and what it may be."""

    section: str
    key: str
    kind: Kind
    meaning: str
    one_of: tuple[str, ...] = ()


SETTINGS: tuple[Setting, ...] = (
    Setting(section="", key="title", kind="text", meaning="name of the trial"),
    Setting(section="", key="invented", kind="yes_no", meaning="the records are made up"),
    Setting(section="", key="seed", kind="whole", meaning="seed of invented records"),
    Setting(section="", key="truth", kind="text", meaning="where the known truth is"),
    Setting(section="", key="source", kind="text", meaning="where the records were published"),
    Setting(
        section="",
        key="reconstructed",
        kind="text",
        meaning="what was worked back from printed figures, in words (or yes)",
    ),
    Setting(section="trial", key="question", kind="text", meaning="the question in words"),
    Setting(section="trial", key="new", kind="text", meaning="the new method or combination"),
    Setting(section="trial", key="standard", kind="text", meaning="what it is compared with"),
    Setting(section="trial", key="margin_points", kind="number", meaning="points that matter"),
    Setting(section="trial", key="floor", kind="share", meaning="the lowest take worth having"),
    Setting(section="trial", key="rule", kind="text", meaning="the rule of the decision"),
    Setting(section="trial", key="stages", kind="any", meaning="stages of the trial"),
    Setting(
        section="trial",
        key="randomised",
        kind="one_of",
        meaning="what the treatments were drawn by lot for",
        one_of=("tray", "half", "graft", "no"),
    ),
    Setting(
        section="records",
        key="date_order",
        kind="one_of",
        meaning="order of day and month in dates of figures",
        one_of=("day first", "month first"),
    ),
    Setting(
        section="records",
        key="caliper_unit",
        kind="one_of",
        meaning="unit of calipers typed without one",
        one_of=("mm", "cm", "in"),
    ),
    Setting(
        section="records",
        key="count",
        kind="one_of",
        meaning="the count that is compared",
        one_of=tuple(COUNT_NAMES),
    ),
    Setting(
        section="records",
        key="count_after_weeks",
        kind="number",
        meaning="weeks from grafting until the compared count is due",
    ),
    Setting(
        section="records",
        key="out_of",
        kind="one_of",
        meaning="what take is a share of",
        one_of=("made", "live_understock"),
    ),
    Setting(
        section="records",
        key="trays",
        kind="one_of",
        meaning="whether trays were recorded",
        one_of=("recorded", "none"),
    ),
    Setting(
        section="records",
        key="fill_down",
        kind="fill",
        meaning="blank cells mean the cell above: yes, or the columns",
    ),
    Setting(section="names", key="*", kind="text", meaning="short name = full name"),
    Setting(section="methods", key="*", kind="text", meaning="own word = word for the graft"),
    Setting(section="classes", key="*", kind="any", meaning="caliper class = bounds"),
    Setting(section="compare", key="factors", kind="words", meaning="what is compared"),
    Setting(section="compare", key="curves", kind="words", meaning="numbers fitted as curves"),
    Setting(section="compare", key="grouping", kind="text", meaning="what groups the trays"),
    Setting(section="compare", key="reference", kind="any", meaning="level compared against"),
    Setting(section="bench", key="treatments", kind="any", meaning="treatments to lay out"),
    Setting(section="bench", key="trays_each", kind="whole", meaning="trays of each treatment"),
    Setting(section="bench", key="tray_size", kind="whole", meaning="cells in a tray"),
    Setting(section="bench", key="blocks", kind="any", meaning="blocks of the bench"),
    Setting(section="bench", key="seed", kind="whole", meaning="seed of the layout"),
    Setting(
        section="bench",
        key="split_trays",
        kind="yes_no",
        meaning="two treatments in each tray, half and half",
    ),
    Setting(
        section="bench",
        key="rows",
        kind="one_of",
        meaning="what has a row of its own in the record workbook",
        one_of=("tray", "graft"),
    ),
    Setting(
        section="bench",
        key="counts",
        kind="any",
        meaning="counts with their own sheet beside the settled one, parted by commas; or none",
    ),
    Setting(section="bench", key="label_width_mm", kind="number", meaning="width of a tray label"),
    Setting(
        section="bench", key="label_height_mm", kind="number", meaning="height of a tray label"
    ),
    Setting(
        section="bench",
        key="drawn",
        kind="words",
        meaning="columns given by lot; written with the layout",
    ),
    Setting(
        section="bench",
        key="layout",
        kind="text",
        meaning="fingerprint of the layout; written with it, not to be changed",
    ),
    Setting(
        section="targets",
        key="*",
        kind="any",
        meaning=(
            "combination = plants wanted; poor, usual and good take beside it where none is on "
            "record, as 500, poor 60%, usual 75%, good 85%"
        ),
    ),
    Setting(section="costs", key="currency", kind="text", meaning="the money, as EUR"),
    Setting(section="costs", key="hour", kind="number", meaning="money for one hour of work"),
    Setting(section="costs", key="price", kind="number", meaning="what a saleable plant sells for"),
    Setting(
        section="costs",
        key="assumed",
        kind="yes_no",
        meaning="the costs are assumed, not taken from the nursery's books",
    ),
    Setting(
        section="costs",
        key="*",
        kind="cost",
        meaning=(
            "step = what it costs: minutes, money or both, for every graft made unless it says per "
            "taken or per saleable; only NAME limits it to one method or scion wood; assumed marks "
            "it. Usual steps: understock, scion piece, prepare and graft, tie and seal, label and "
            "place, aftercare, grow on"
        ),
    ),
    Setting(section="work", key="grafts_a_day", kind="number", meaning="grafts made in a day"),
    Setting(section="work", key="days_a_week", kind="number", meaning="grafting days in a week"),
    Setting(section="work", key="window", kind="any", meaning="first and last day of grafting"),
    Setting(
        section="work",
        key="window_year",
        kind="whole",
        meaning=(
            "year in which the window starts, where its days are written without one; else the "
            "season after the newest on record"
        ),
    ),
    Setting(
        section="work",
        key="assumed",
        kind="yes_no",
        meaning="what stands under [work] is assumed, not taken from the nursery's books",
    ),
    Setting(
        section="work",
        key="cull",
        kind="shares",
        meaning=(
            "share of the plants that took which are not fit for sale, where saleable plants are "
            "not recorded; for all, or for each combination"
        ),
    ),
    Setting(
        section="work",
        key="usable_share",
        kind="shares",
        meaning="share of the seedlings grown that are fit to graft; for all, or each understock",
    ),
    Setting(
        section="work",
        key="years_grown",
        kind="numbers",
        meaning="years from raising a seedling to grafting it; for all, or each understock",
    ),
    Setting(
        section="work",
        key="loss_a_year",
        kind="shares",
        meaning="share of the seedlings lost in each of these years; for all, or each understock",
    ),
    Setting(
        section="work",
        key="understocks",
        kind="wholes",
        meaning=(
            "understocks to be had for next season; for all understocks each, for each "
            "understock, or for each caliper class of one, as virginiana thin 200"
        ),
    ),
    Setting(
        section="work",
        key="union_by_class",
        kind="unions",
        meaning="own rule: caliper class = low or high union, as thin low, stout high",
    ),
    Setting(
        section="work",
        key="pieces_a_graft",
        kind="numbers",
        meaning="scion pieces set on one understock, 1 if not given; for all, or each scion",
    ),
    Setting(
        section="work",
        key="pieces_a_stick",
        kind="numbers",
        meaning="usable scion pieces cut from one stick; for all, or each scion",
    ),
    Setting(
        section="work",
        key="terminal_pieces",
        kind="wholes",
        meaning="terminal pieces to be had; used first; for all scions each, or each scion",
    ),
    Setting(
        section="work",
        key="sub_terminal_pieces",
        kind="wholes",
        meaning="sub-terminal pieces to be had; for all scions each, or each scion",
    ),
)
"""Every setting, in the order of the page that explains them."""

SECTIONS: tuple[str, ...] = tuple(dict.fromkeys(s.section for s in SETTINGS if s.section))
BY_PLACE = {(s.section, s.key): s for s in SETTINGS}

ALSO = {
    "date_order": {
        "dmy": "day first",
        "day-first": "day first",
        "dayfirst": "day first",
        "day/month": "day first",
        "d/m/y": "day first",
        "mdy": "month first",
        "month-first": "month first",
        "monthfirst": "month first",
        "month/day": "month first",
        "m/d/y": "month first",
    },
    "caliper_unit": {"inch": "in", "inches": "in", "millimetres": "mm", "centimetres": "cm"},
    "randomised": {
        "false": "no",
        "none": "no",
        "trays": "tray",
        "halves": "half",
        "grafts": "graft",
    },
    "rows": {"trays": "tray", "grafts": "graft", "half": "tray", "halves": "tray"},
    "trays": {"no": "none", "false": "none", "yes": "recorded", "true": "recorded"},
    "out_of": {"live understock": "live_understock"},
    "count": {other: name for name, others in COUNT_NAMES.items() for other in others},
}
"""Other ways to write a word of a setting."""
