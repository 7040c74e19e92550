"""What does the page that explains the columns say around its tables?"""

from __future__ import annotations

from takestats.wording.numbers import plain

TITLE = "Columns, words and settings of grafting records"
MADE = (
    "Made from the declarations in `takestats/records/` by "
    "`python -m takestats.pages.column_reference`; a test holds the two together. Do not edit it."
)
OPENING = (
    "Needed are `grafted` and `taken` (or one row per graft, with `taken` 1 or 0), and `tray` "
    'unless the settings say `trays = "none"`. All else may be left out: a question whose column '
    'is blank is answered "not recorded". Columns that are not listed here are kept, and may be '
    "compared by their own name. A heading may be written in capitals or not, with spaces, "
    "underscores or points, with its unit in brackets."
)
ROLES = {
    "key": "Which tray",
    "place": "Where the tray stood",
    "treatment": "What was done, by whom, with what",
    "count": "Grafts made, and one count of them",
    "outcome": "Recorded once, after the count",
    "note": "Notes",
}
DERIVED = {
    "combination": "scion on understock, of grafts for which both are recorded",
    "relation": "same species, same genus, other genus or undetermined, where it was not typed",
    "caliper_ratio": "scion caliper divided by understock caliper",
    "caliper_match": "matched within a tenth, else scion thinner or thicker, where it was not "
    "typed (common practice, no source; classes.match_within changes the tenth)",
    "caliper_class": "by the bounds of the settings, where it was not typed; never a midpoint",
    "day_of_season": "days from the first graft of the season",
    "storage_days": "days from cutting the scion wood to grafting",
    "days_to_bud_break": "days from grafting to bud break of the understock",
}
DERIVED_TITLE = "Worked out from the others"
KINDS = {
    "text": "text",
    "plant": "plant name, or a short name from the settings",
    "method": "word for the graft",
    "word": "one word of a list",
    "whole": "whole number",
    "length": "length in mm, cm or inches; fractions such as 3/8 in",
    "height": "height, or low and high",
    "date": "date, or a month",
    "season": "year, or two: 2026, 2025-26",
}
SETTING_KINDS = {
    "text": "text",
    "yes_no": "yes or no",
    "number": "number",
    "share": "share, as 0.9 or 90%",
    "whole": "whole number",
    "words": "columns, parted by commas",
    "any": "as the meaning says",
    "one_of": "one of",
    "fill": "yes, or columns",
    "cost": 'text such as "0.5 min, 1.20, per taken, only cleft, assumed", its parts in any order '
    "parted by a comma and a space or by a semicolon; a number alone is money; in TOML also "
    "{minutes = 0.5, money = 1.20}",
    "shares": 'share for all, or one for each name, as "virginiana 80%, hornbeam 70%"',
    "wholes": 'whole number for all, or one for each name, as "moth 400, wren 250"',
    "numbers": 'number for all, or one for each name, as "moth 4, wren 3"',
    "unions": 'low or high for each class, as "thin low, stout high"',
}
METHODS_OPENING = (
    'Read without capitals, hyphens, spaces and the words "graft", "grafting" and "budding". A '
    "word that is not listed is kept as the nursery's own and asked about."
)
AMBIGUOUS_OPENING = (
    "These words mean different grafts in different nurseries; they are asked about, never guessed."
)
SETTINGS_OPENING = (
    "In the sheet `trial` of a workbook (what, value), or in a TOML file under the same sections. "
    "A key that is not known is a fault, told with the nearest known one."
)


def limits_words(low: float | None, high: float | None, unit: str) -> str:
    """Say limits.

    Examples
    --------
    >>> limits_words(0.5, 300, "mm"), limits_words(None, None, "")
    ('0.5 to 300 mm', '')
    """
    if low is None or high is None:
        return ""
    return f"{plain(low)} to {plain(high)} {unit}".strip()
