"""Why can these treatments not be laid out, and what is the nearest that can?

Each sentence comes as what was found, the rule, and the next step.
"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.wording.numbers import column_words, count_of, listing, plain

Refusal = tuple[str, str, str]

_EACH_BLOCK = "Every treatment stands equally often in each block."
_AS_LIST = 'Write them like method = ["cleft", "side veneer"], or one set of words for each.'


def parted(said: Refusal, where: str = "bench layout") -> dict[str, str]:
    """Name the four parts of an error."""
    return {"where": where, "what": said[0], "rule": said[1], "next_step": said[2]}


def kind_words(kind: str) -> str:
    """Say a kind of block.

    Examples
    --------
    >>> kind_words("heat_zone")
    'heat zone'
    """
    return column_words(kind)


def not_treatments(given: object) -> Refusal:
    """Say that treatments are missing or of no use."""
    what = "no treatments are given" if given is None else f"{given!r}"
    return what, "Treatments are factors with their levels, or a list of treatments.", _AS_LIST


def too_few_treatments(number: int) -> Refusal:
    """Say that one treatment needs no lot."""
    what = "one treatment only" if number == 1 else "no treatment"
    return (
        what,
        "A layout by lot is between two treatments or more.",
        "Add what it is compared with; for one treatment alone, run `takestats start`.",
    )


def other_columns(at: int, first: Sequence[str], found: Sequence[str]) -> Refusal:
    """Say that treatments name different things."""
    return (
        f"treatment {at} names {listing([column_words(n) for n in found])}, the first names "
        f"{listing([column_words(n) for n in first])}",
        "All treatments name the same columns, so that they can be compared.",
        "Write every column for each treatment, also where it is the same for all.",
    )


def twice(levels: Sequence[str], earlier: int, at: int) -> Refusal:
    """Say that a treatment stands twice."""
    return (
        f"treatments {earlier} and {at} are the same: {', '.join(levels)}",
        "Each treatment is named once; how often it is laid out is trays_each.",
        "Take one of the two out.",
    )


def no_levels(name: str) -> Refusal:
    """Say that a factor has no levels."""
    return f"{name} has no levels", "A factor has a list of levels.", _AS_LIST


def not_a_treatment(at: int, given: object) -> Refusal:
    """Say that one treatment is no set of words."""
    return (
        f"treatment {at} is {given!r}",
        "A treatment says what is done, column by column.",
        'Write it like { method = "cleft", scion_wood = "terminal" }.',
    )


def blank_level(name: str, at: int) -> Refusal:
    """Say that a level is blank."""
    return (
        f"treatment {at}, {column_words(name)} is blank",
        "A treatment says what is done in words that can be printed.",
        "Write the level, or leave the column out of every treatment.",
    )


def column_twice(name: str, at: int) -> Refusal:
    """Say that a treatment names a column twice."""
    said = column_words(name)
    return f"treatment {at} names {said} twice", "A column is named once.", "Take one of them out."


def no_such_column(typed: str, at: int, near: str, offered: Sequence[str]) -> Refusal:
    """Say that a column is none of the records' treatment columns."""
    hint = f'Is it "{near}"?' if near else f"Known: {', '.join(offered)}."
    return (
        f'treatment {at}, "{typed}"',
        "Treatments are told in the columns of the records; days of grafting are blocks.",
        hint,
    )


def ambiguous(typed: str, choices: Sequence[str]) -> Refusal:
    """Say that a graft's word means several grafts."""
    return (
        f'method "{typed}"',
        "This word means different grafts in different nurseries.",
        f"Write one of: {listing(list(choices), 'or')}.",
    )


def not_a_word(name: str, typed: str, known: Sequence[str]) -> Refusal:
    """Say that a column has a short list of words, and this is none."""
    return (
        f'{column_words(name)} "{typed}"',
        f"It is one of: {', '.join(known)}.",
        "Write one of these words.",
    )


def not_blocks(given: object) -> Refusal:
    """Say that blocks cannot be made of this."""
    return (
        f"{given!r}",
        "Blocks are a number from 1 to 1000, a list of names, or kinds with their names.",
        'Write blocks = 4, or blocks = { day = ["Monday", "Tuesday"] }.',
    )


def no_such_kind(typed: str, kinds: Sequence[str]) -> Refusal:
    """Say that a block is of no known kind."""
    return f'"{typed}"', f"A block is one of: {', '.join(kinds)}.", "Write one of these kinds."


def unnamed_block() -> Refusal:
    """Say that a block has no name."""
    return "a block without a name", "Each block has a name that can be printed.", "Name it."


def block_twice(name: str) -> Refusal:
    """Say that two blocks share a name."""
    return f'"{name}" stands twice', "Each block has a name of its own.", "Rename one of the two."


def not_places(name: str, places: object) -> Refusal:
    """Say that the places of a block are no number."""
    return (
        f'block "{name}" has {places!r} places',
        "The places of a block are a whole number of trays.",
        "Write it like bench = { south = 12, north = 12 }.",
    )


def block_is_treatment(name: str) -> Refusal:
    """Say that a column is both block and treatment."""
    return (
        f"{column_words(name)} is a block and a treatment",
        "What parts the bench into blocks cannot be drawn by lot inside them.",
        "Leave it out of the one or of the other.",
    )


def no_pairs(treatments: int) -> Refusal:
    """Say that treatments cannot share trays."""
    return (
        f"{treatments} treatments that cannot be paired for split trays",
        "A split tray holds two treatments, alike but for one column.",
        "Nearest: whole trays (split_trays off), or two methods with every other column alike.",
    )


def not_a_tray_size(given: object, most: int) -> Refusal:
    """Say that the cells of a tray are no number."""
    return (
        f"tray_size = {given!r}",
        f"A tray has a whole number of cells, from 1 to {plain(most)}.",
        "Write it like tray_size = 30.",
    )


def odd_tray(size: int) -> Refusal:
    """Say that an odd tray cannot be split.

    Examples
    --------
    >>> odd_tray(35)[2]
    'Nearest: 34 cells, one left empty (tray_size 34), or 36.'
    """
    lower = f"{size - 1} cells, one left empty (tray_size {size - 1}), or " if size > 1 else ""
    return (
        f"a tray of {size} cells, split in halves",
        "The halves of a split tray have as many cells as each other.",
        f"Nearest: {lower}{size + 1}.",
    )


def not_trays_each(given: object) -> Refusal:
    """Say that the trays of a treatment are no number."""
    return (
        f"trays_each = {given!r}",
        "Each treatment has a whole number of trays, at least one.",
        "Write it like trays_each = 6.",
    )


def not_a_multiple(each: int, blocks: int, lower: int, upper: int, fewer: int) -> Refusal:
    """Say that trays do not go evenly into blocks.

    Examples
    --------
    >>> not_a_multiple(10, 4, 8, 12, 2)[2]
    'Nearest: 12 or 8 trays of each in 4 blocks, or 10 in 2 blocks.'
    """
    numbers = f"{upper} or {lower}" if lower else f"{upper}"
    other = ""
    if fewer:
        other = f", or {each} in {count_of(fewer, 'block')}"
    return (
        f"{count_of(each, 'tray')} of each treatment in {count_of(blocks, 'block')}",
        _EACH_BLOCK,
        f"Nearest: {numbers} trays of each in {count_of(blocks, 'block')}{other}.",
    )


def block_too_small(name: str, places: int, replicate: int) -> Refusal:
    """Say that a block does not hold every treatment once."""
    return (
        f'block "{name}" has {count_of(places, "place")} for {count_of(replicate, "tray")}, one of '
        "each treatment",
        f"{_EACH_BLOCK} A block is not smaller than one tray of each.",
        f"Nearest: {count_of(replicate, 'place')} in each block, or "
        f"{count_of(places, 'treatment')}.",
    )


def too_few_places(name: str, places: int, wanted: int, fit_each: int, fit: int) -> Refusal:
    """Say that there are more trays than places."""
    return (
        f'block "{name}" has {count_of(places, "place")} for {count_of(wanted, "tray")}',
        "A tray has a place of its own.",
        f"Nearest: {count_of(fit_each, 'tray')} of each treatment ({fit} in each block), or "
        f"{count_of(wanted, 'place')} in each block.",
    )


def too_many_trays(trays: int, most: int, each: int) -> Refusal:
    """Say that a layout is too large to be told on paper."""
    near = f"Nearest: {plain(each)} trays of each." if each else "Lay out fewer blocks."
    return f"{plain(trays)} trays", f"A layout has {plain(most)} trays at most.", near


def no_graft_rows(where: str = "bench.rows") -> dict[str, str]:
    """Say that rows of single grafts need to know how many a tray holds."""
    return parted(
        (
            "a row for each graft, and no bench.tray_size",
            "A row for each graft can be written beforehand only where the cells of a tray are "
            "known.",
            'Write tray_size = 30 under [bench], or rows = "tray".',
        ),
        where,
    )


def too_many_graft_rows(rows: int, most: int, where: str = "bench.rows") -> dict[str, str]:
    """Say that a sheet of single grafts would be too long."""
    return parted(
        (
            f"{plain(rows)} grafts, each with a row of its own",
            f"A sheet of single grafts has {plain(most)} rows at most, so that it still opens.",
            'Nearest: rows = "tray", which keeps one row for each tray; or a workbook for each '
            "part of the bench.",
        ),
        where,
    )


def no_such_count(typed: str, near: str, known: Sequence[str]) -> Refusal:
    """Say that a count with a sheet of its own is not known."""
    hint = f'Is it "{near}"? ' if near else ""
    return (
        f'bench.counts names "{typed}"',
        "Each count beside the settled one has its sheet; the settled count stands on the record "
        "sheet.",
        f"{hint}Known: {', '.join(known)}.",
    )


def method_near(typed: str, near: str) -> Refusal:
    """Say that a graft is not known, and which one is like it."""
    return (
        f'method "{typed}"',
        "This graft is not known, and the records would ask about it in every row.",
        f'Is it "{near}"? If it is a word of your own, write it under [methods].',
    )


def not_a_seed(given: object, most: int) -> Refusal:
    """Say that a seed is no number."""
    return (
        f"seed = {given!r}",
        f"A seed is a whole number from 0 to {most}.",
        "Write a number, or leave it out: one is then made and written down.",
    )
