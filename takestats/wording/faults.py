"""How is a fault in the records told? One text per rule, in one place.

Each text has the rule that the cell breaks and the next step; where the fault
is and what was found there are added by the reader of the records. Words in
braces are filled in by the rule that finds the fault.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class FaultText:
    """One rule: an error (the row cannot be used) or a query (kept, and shown)."""

    kind: Literal["error", "query"]
    rule: str
    next_step: str


def _error(rule: str, next_step: str) -> FaultText:
    return FaultText("error", rule, next_step)


def _query(rule: str, next_step: str) -> FaultText:
    return FaultText("query", rule, next_step)


FAULTS: dict[str, FaultText] = {
    # the sheet
    "no_column": _error(
        'There must be a column "{column}": {meaning}.',
        "Add the column, or give it a header that is known: {known}.{hint}",
    ),
    "no_tray_column": _error(
        'There must be a column "tray", because grafts of one tray share its luck.',
        'Add the column, or put trays = "none" in the settings; then grafts are counted as if '
        "independent and the limits are too narrow if they are not.",
    ),
    "two_columns": _error(
        'Two columns are both read as "{column}".',
        "Give one of them another header, or take it out.",
    ),
    "percent_header": _error(
        "A take is read from counts: grafts made and grafts taken, not a percent.",
        'Add a column "taken" with the number that took; the percent is then worked out.',
    ),
    "totals_row": _error(
        "A row of totals or means is not a tray.",
        "Take the row out of the sheet.",
    ),
    "repeated_header": _error(
        "The header stands once, above the rows.",
        "Take the repeated header out of the sheet.",
    ),
    "unclear_header": _query(
        "This header may mean {choices}.",
        "Write out which of the two it is; until then the column is kept as it stands.",
    ),
    "long_row": _error(
        "This row has more cells than the header has columns.",
        "Look for a comma too many, such as a decimal comma in a file parted by commas; put such "
        "a cell in double quotes.",
    ),
    "swallowed_rows": _error(
        "This cell holds a line break and a whole row's worth of separators.",
        "Look for a double quote opened here and not closed: the rows below are inside it.",
    ),
    "remark_row": _error(
        "A remark below or between the rows is not a tray.",
        "Take it out of the sheet, or put it into the note of the tray that it tells of.",
    ),
    "lone_cell": _query(
        "Nothing else stands in this row.",
        "If it is a remark, take it out of the sheet; it is kept as a tray not grafted yet.",
    ),
    # cells that the spreadsheet made
    "formula": _error(
        "This is a formula that was saved without its result.",
        "Open the sheet, let it calculate and save it again, or type what was found.",
    ),
    "sheet_error": _error(
        "The spreadsheet shows an error here in place of a value.",
        "Mend the formula, or type what was found; leave the cell blank if it is not known.",
    ),
    # numbers
    "percent_cell": _error(
        "{Name} is a number of grafts, not a percent.",
        "Type the number counted.",
    ),
    "text_number": _error(
        "{Name} is a whole number in figures, without signs or words.",
        "Type the number counted; leave the cell blank if it was not counted.",
    ),
    "fraction": _error("{Name} is a whole number.", "Type the number counted, not a share."),
    "negative": _error("{Name} cannot be below zero.", "Type the number counted."),
    "out_of_range": _error(
        "{Name}: a number from {low} to {high}{unit}.",
        "Check the number.",
    ),
    "unusual": _query(
        "{Name} is usually from {low} to {high}{unit}.",
        "Check the number and its unit; it is kept as typed.",
    ),
    "not_a_length": _error(
        "{Name} is one length above zero, in mm, cm or inches.",
        "Type it like 9.5 mm or 3/8 in; leave it blank if it was not measured.",
    ),
    "length_range": _error(
        "{Name} is one length; a range is a size class.",
        "Put the range under caliper class, or type the length that was measured.",
    ),
    "turned_to_date": _error(
        "{Name} is never a date: this was a fraction (or tray name) that the spreadsheet turned "
        "into a date. It cannot be turned back for sure.",
        "Type it again as text: format the cell as text first, or put an apostrophe in front.",
    ),
    "height_words": _query(
        "The union height is either measured or told as low and high, one of the two all the way "
        "down.",
        "Use one of the two; until then every height is kept as text.",
    ),
    # dates
    "not_a_date": _error(
        "{Name} is a date: 2026-02-03, 3 Feb 2026, or a month such as Feb 2026.",
        "Type the date with the month as a word, or year-month-day.",
    ),
    "day_number": _error(
        "{Name} is a date; this is the number by which a spreadsheet keeps a day.",
        "Show the cells as dates in the spreadsheet and save again, or type the date as text.",
    ),
    "date_order": _error(
        "In a date written in figures, day and month cannot be told apart.",
        'Write the month as a word, or say once in the settings: date_order = "day first" or '
        '"month first".',
    ),
    "date_without_year": _error(
        "A date has its year; two figures beside a month may be a day.",
        "Write the year in four figures.",
    ),
    "date_year": _error(
        "The year lies between {earliest} and {latest}.",
        "Check the year.",
    ),
    "no_such_day": _error(
        "There is no such day in the calendar.",
        "Check the date, and the date order in the settings if there is one.",
    ),
    "date_before": _error(
        "{Name} cannot be before the {other}.",
        "Check both dates.",
    ),
    "date_after": _error(
        "{Name} cannot be after the {other}.",
        "Check both dates.",
    ),
    "long_gap": _query(
        "The {second} usually comes within {most} months of the {first}; here it is {months}.",
        "Check the year of both; they are kept as typed.",
    ),
    "date_without_count": _error(
        "A date of a count needs its count; the {dated} is {date}.",
        "Type the number counted (0 if none), or leave the date blank until it is counted.",
    ),
    "season_against_date": _query(
        "A season has the year of its settled count; this one is {season}.",
        "Check the year of the date and the season; both are kept as typed.",
    ),
    "bad_season": _error(
        "A season is a year or two: 2026, 2025-26 or 2025/26.",
        "Type the year in which the settled count falls.",
    ),
    # words
    "not_in_list": _error(
        "{Name} is one of: {known}.",
        "Use one of these words.{nearest}",
    ),
    "two_spellings": _query(
        'Elsewhere this is written "{other}".',
        "Write it in one way if it is the same; the two are kept apart as typed.",
    ),
    "sign_for_blank": _query(
        "A cell that says nothing is left blank.",
        "If the sign means not recorded, clear the cell; it is kept as a word of its own.",
    ),
    "unknown_class": _query(
        "The settings have these size classes: {known}.",
        "Use one of them, or put this one under classes in the settings; it is kept as typed.",
    ),
    "class_against_caliper": _query(
        "This class goes from {low} to {high} mm; the understock caliper is {mm} mm.",
        "Check both; they are kept as typed.",
    ),
    "ambiguous_method": _error(
        "This word means different grafts in different nurseries: {choices}.",
        'Which is it? Write the full word, or put "{word}" under methods in the settings.',
    ),
    "method_near": _error(
        "This method is not known.",
        'Is it "{choices}"? If not, put "{word}" under methods in the settings.',
    ),
    "own_method": _query(
        "This method is not in the list of grafts.",
        "It is kept as the nursery's own word; put it under methods in the settings to say so.",
    ),
    "unknown_name": _error(
        "A plant is written Genus species 'Cultivar', or with a short name from the settings: "
        "{known}.",
        'Correct the name, or put "{word}" under names in the settings.{nearest}',
    ),
    "short_name": _query(
        "A plant is written Genus species 'Cultivar', or with a short name from the settings.",
        'It is kept as typed; put "{word}" under names in the settings to say which plant it is.',
    ),
    "two_understocks": _error(
        "The understock stands in one place: in its own column or after the scion.",
        "Make the two cells agree, or clear one.",
    ),
    "cutting_with_graft": _error(
        "A cutting has no {name}.",
        'Clear the cell, or write "graft" under "made by".',
    ),
    # counts of one row
    "no_grafted": _error(
        "A row with a date or a count needs the number of grafts that were made.",
        "Type how many grafts were made.",
    ),
    "no_tray": _error(
        "Every row names its tray.",
        'Type the tray, or put trays = "none" in the settings.',
    ),
    "more_than_grafted": _error(
        "{Name} cannot be more than the grafts made ({grafted}).",
        "Check both numbers.",
    ),
    "parts_over_whole": _error(
        "{taken} taken, {dead} with a dead understock and {missing} missing cannot be more than "
        "the {grafted} grafts made.",
        "Check the numbers: each graft is in one of them only.",
    ),
    "more_than_taken": _error(
        "{Name} cannot be more than the grafts taken.",
        "Check both numbers.",
    ),
    "more_than_tray": _query(
        "A tray holds no more grafts than it has cells; this one has {total} in {cells}.",
        "Check the number of grafts and the size of the tray; both are kept as typed.",
    ),
    "alive_rose": _query(
        "Grafts alive may not rise from one count to the next.",
        "Check both counts; both are kept as typed.",
    ),
    "later_twice": _error(
        "A later count stands once; {first} already has {other} alive later.",
        "Make the two agree, or clear one of them.",
    ),
    "graft_not_0_1": _error(
        "In a record with one row per graft, taken is 1 or 0.",
        "Type 1 if the graft took and 0 if not; leave it blank if it was not counted.",
    ),
    "graft_not_one": _error(
        "In a record with one row per graft, every row is one graft.",
        'Type 1 under "grafted", or leave the column out.',
    ),
    "graft_not_counted": _query(
        "Other grafts of this tray were counted; this one has no count.",
        "It is kept and counted as missing; type 1 or 0 if it was seen.",
    ),
    # trays
    "same_graft": _error(
        "A graft stands once at each count; {first} is the same graft.",
        "Take one of the rows out, or give the grafts different numbers.",
    ),
    "same_row": _error(
        "A tray with one treatment stands once at each count; {first} says the same.",
        "Take one of the two rows out, or write what was done differently, such as the method.",
    ),
    "same_row_other_counts": _error(
        "A tray with one treatment stands once at each count; {first} has other numbers.",
        "Keep the right row, or write what was done differently, such as the method.",
    ),
    "two_places": _error(
        "A tray stands in one place; {first} has it at {other}.",
        "Check the tray name and its place; two trays need two names.",
    ),
    "not_on_record_sheet": _error(
        "The sheet of a count tells of trays of the record sheet; this one is not on it.",
        "Check the tray name; a tray that was grafted has its row on the record sheet.",
    ),
    "which_line": _error(
        "At a later count a row must say which part of the tray it tells of; it may be {lines}.",
        "Fill in what sets the parts apart, such as the method.",
    ),
    "grafted_changed": _error(
        "The number of grafts made is the same at every count; {first} has {other}.",
        "Check both numbers.",
    ),
    "treatment_changed": _error(
        "A tray keeps its treatment from count to count; {first} has {other}.",
        "Make the two rows agree, or leave the cell of the later count blank.",
    ),
}


def fault_text(code: str, **words: str) -> FaultText:
    """The text of one fault with its words filled in."""
    plain = FAULTS[code]
    name = spoken(words.get("column", ""))
    said = {**words, "name": name, "Name": name[:1].upper() + name[1:]}
    return FaultText(plain.kind, plain.rule.format(**said), plain.next_step.format(**said))


def spoken(column: str) -> str:
    """Say a column's name in a sentence, without its unit.

    Examples
    --------
    >>> spoken("understock_caliper_mm")
    'understock caliper'
    """
    return column.removesuffix("_mm").replace("_", " ")
