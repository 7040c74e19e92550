"""What stands on bench sheets, tray labels, the bench map and their workbook's how-to?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from takestats.wording.numbers import column_words, count_of, level_text

_SHORT = ("yes", "no", "low", "high")
SHEETS_TITLE = "Bench sheets"
LABELS_TITLE = "Tray labels"
MAP_TITLE = "Bench map"
SHEET_FOOT = "Blank is not 0. Cut away from the body and the holding hand; guard on, bench lit."
CAUTIONS_HEADING = "Take care"
TALLY = "taken: tick one box for each graft that took"
MAP_HOW = (
    "Each box is a tray in its place: place, code, treatment. Places are counted as you walk along "
    "the bench, from the left; a place holds the tray named here, or the lot is lost."
)
LABELS_HOW = (
    "Print at 100 %, not fitted to the page. The last letter of a code checks the others: a code "
    "that the workbook does not know was misread."
)
SHEETS_HOW = (
    "The columns stand in the order of the record workbook. Write what was made, not what was "
    "planned; a change of treatment goes into the note, in words."
)


_HALF_OF_GRAFT = "The note says which half, left or right as the label faces you."


def half_note(half: str) -> str:
    """Say which half of a tray a row is.

    Examples
    --------
    >>> half_note("left")
    'left half'
    """
    return f"{half} half"


def layout_how_to_lines(*, file: str, split: bool, per_graft: bool = False) -> tuple[str, ...]:
    """Say in ten lines how the workbook of a layout is filled in.

    Examples
    --------
    >>> len(layout_how_to_lines(file="records.xlsx", split=False))
    10
    """
    row = (
        "One row per half of a tray; the note says which half, left or right as the label faces "
        "you."
        if split
        else "One row per tray, in the order of the bench."
    )
    made = (
        "While grafting: fill in the graft date and the grafts made (grafted). Leave a tray that "
        "is not grafted yet blank."
    )
    count = (
        "At the count: the day, the grafts alive and joined (taken), those whose understock is "
        "dead, those missing. A graft is in one of them only."
    )
    if per_graft:
        row = f"One row per graft, numbered in its tray. {_HALF_OF_GRAFT if split else ''}".strip()
        made = (
            "While grafting: fill in the graft date of each graft made, and calipers as text. A "
            "graft without a date is not made yet."
        )
        count = (
            "At the count: the day, and for each graft taken 1 or 0; understock dead 1, or missing "
            "1, with taken 0."
        )
    return (
        row,
        "Tray, place and treatment were drawn by lot and are locked. They show what each tray is "
        "to get: look before you cut.",
        made,
        "If a tray got another treatment than its row says, unlock the sheet (no password) "
        "and change the row. The report then no longer says that treatments were given by lot.",
        f"{count} A tray that was lost keeps its row: type the missing.",
        "Blank is not 0. Leave a count blank until it is made; type 0 when none took.",
        "Count once the first flush has hardened. An earlier count flatters: a scion can push on "
        "stored food and fail after. The record sheet takes this, the settled count.",
        "Each other count has its sheet, the trays in the same order: type the day and what is "
        "alive then. Counts of two days are never added.",
        "The first sheet shows what is grafted, left and due. The trial sheet holds the settings; "
        "leave its rows under bench as they are.",
        f"Save the file, then run: takestats check {file}",
    )


def half_words(half: str, levels: Mapping[str, str]) -> str:
    """Say what one half of a tray gets.

    Examples
    --------
    >>> half_words("left", {"method": "cleft"})
    'left: cleft'
    """
    return f"{half}: {treatment_words(levels)}"


def treatment_words(levels: Mapping[str, str]) -> str:
    """Say a treatment; a figure, or a yes, has the name of its column before it.

    Examples
    --------
    >>> treatment_words({"method": "cleft", "scion_wood": "sub_terminal", "sealed": "no"})
    'cleft, sub-terminal, sealed no'
    >>> treatment_words({"understock_caliper_mm": "9"})
    'understock caliper 9'
    """
    return ", ".join(
        f"{column_words(name).removesuffix(' (mm)')} {level}"
        if level[:1].isdecimal() or level in _SHORT
        else level_text(level)
        for name, level in levels.items()
    )


def block_title(block: str, trays: int, several: bool) -> str:
    """Head a sheet of one block.

    Examples
    --------
    >>> block_title("day Monday", 6, True), block_title("2", 6, True)
    ('Day Monday: 6 trays', 'Block 2: 6 trays')
    """
    name = f"Block {block}" if block.isdecimal() else f"{block[:1].upper()}{block[1:]}"
    return f"{name}: {count_of(trays, 'tray')}" if several else count_of(trays, "tray")


def place_words(block: str, position: object) -> str:
    """Say where a tray stands.

    Examples
    --------
    >>> place_words("2", 4), place_words("bench south", 4)
    ('block 2, place 4', 'bench south, place 4')
    """
    return f"{'block ' if block.isdecimal() else ''}{block}, place {position}"


def drawn_line(seed: int, made: bool, fingerprint: str) -> str:
    """Say by which seed a paper was drawn.

    Examples
    --------
    >>> drawn_line(7, True, "0f3a")
    'Drawn by lot with seed 7 (made for this layout); layout 0f3a.'
    """
    how = " (made for this layout)" if made else ""
    return f"Drawn by lot with seed {seed}{how}; layout {fingerprint}."


def column_head(name: str, *, per_graft: bool = False) -> str:
    """Head a column of a bench sheet.

    Examples
    --------
    >>> column_head("understock_dead"), column_head("taken")
    ('understock dead', 'taken: tick one box for each graft that took')
    >>> column_head("taken", per_graft=True)
    'taken (tick)'
    """
    if name == "taken":
        return "taken (tick)" if per_graft else TALLY
    return column_words(name)


def done_lines(written: Sequence[str]) -> tuple[str, ...]:
    """Say what was written, in the order of the papers."""
    what = ("Workbook:", "Sheets:", "Labels:", "Map:")
    width = max(map(len, what))
    return tuple(f"{one:<{width}} {path}" for one, path in zip(what, written, strict=True))


def label_too_small(code: str, width: float, height: float) -> tuple[str, str, str]:
    """Say that a label cannot hold its words."""
    return (
        f"a label of {width:g} by {height:g} mm for tray {code} and its treatment",
        "A label shows the code large enough to be read at arm's length, and the whole treatment.",
        "Nearest: make it larger, like label_width_mm = 70 and label_height_mm = 32, or use short "
        "names for the plants.",
    )
