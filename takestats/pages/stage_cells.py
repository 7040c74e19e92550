"""How are the stages of a graft set as tables on a page?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takestats.answers.first_count import FirstCount
from takestats.answers.stages import SALEABLE_OF_TAKEN, STAGES, TAKEN, StageShares
from takestats.pages.parts import Cells
from takestats.pages.rows import rows_of, slug
from takestats.wording.first_count import fall_words
from takestats.wording.numbers import NOT_RECORDED, level_text, percent, trays_words, whole
from takestats.wording.said import factor_words
from takestats.wording.stages import dates_of, share_words

MOST_ROWS = 20
Row = dict[str, Any]


def what_of(result: StageShares | FirstCount) -> str:
    """Name what the levels of a result are."""
    return factor_words(result.by) if result.by else "grafts"


def file_of(result: StageShares | FirstCount) -> str:
    """Name the file of a result."""
    stem = "stages" if isinstance(result, StageShares) else "first_against_compared"
    return f"{stem}_by_{slug(result.by).replace('-', '_')}" if result.by else stem


def stage_cells(result: StageShares, season: str, first: StageShares | None = None) -> Cells:
    """One row a level: every stage with its interval, then what it rests on.

    Parameters
    ----------
    result : StageShares
    season : str
        The one that is shown.
    first : StageShares, optional
        All grafts together, set above the levels.
    """
    rows = [_level_cells(own) for own in _levels(first, season)] if first is not None else []
    own = _levels(result, season)
    rest = max(0, len(own) - MOST_ROWS)
    rows += [_level_cells(one) for one in own[:MOST_ROWS]]
    later = any(cells[3] != NOT_RECORDED for cells in rows)
    shown = [place for place in range(len(_HEADER) + 1) if later or place != 3]
    header = (what_of(result), *_HEADER)
    when = f", season {season}" if season else ""
    return Cells(
        caption=f"Stages by {what_of(result)}{when}" if result.by else f"Stages{when}",
        header=tuple(header[place] for place in shown),
        rows=tuple(tuple(cells[place] for place in shown) for cells in rows),
        numbers=(False, *(True,) * (len(shown) - 1)),
        after=f"{rest} more in tables/{file_of(result)}.csv." if rest else "",
    )


_HEADER = (
    "take, raw (95 % interval)",
    "taken",
    "alive later, of those that took",
    "saleable, of those that took",
    "saleable, of made",
    "saleable",
    "trays with a saleable count",
)


def _levels(result: StageShares, season: str) -> list[list[Row]]:
    """The rows of a season, level by level."""
    rows = [row for row in rows_of(result.table) if row["season"] == season]
    label = result.by or "level"
    return [
        [row for row in rows if row[label] == name]
        for name in dict.fromkeys(row[label] for row in rows)
    ]


def _level_cells(rows: Sequence[Row]) -> tuple[str, ...]:
    by_stage = {row["stage"]: row for row in rows}
    took, sale = by_stage[TAKEN], by_stage[SALEABLE_OF_TAKEN]
    name = next(value for key, value in took.items() if key not in ("season", "stage"))
    taken, later, of_taken, of_made = (
        share_words(row["share"], row["low"], row["high"])
        for row in (by_stage[stage[0]] for stage in STAGES)
    )
    saleable = f"{whole(sale['alive'])} of {whole(sale['out_of'])}"
    return (
        "all grafts" if "level" in took else level_text(name),
        taken,
        f"{whole(took['alive'])} of {whole(took['out_of'])}",
        later,
        of_taken,
        of_made,
        saleable if sale["alive"] == sale["alive"] else NOT_RECORDED,
        f"{whole(sale['trays'])} of {whole(took['counted_trays'])}"
        if took["counted_trays"] == took["counted_trays"]
        else NOT_RECORDED,
    )


def later_cells(row: Row) -> tuple[str, ...]:
    """The share alive later with what it rests on."""
    return (
        share_words(row["share"], row["low"], row["high"]),
        f"{whole(row['alive'])} of {whole(row['out_of'])}",
        f"{trays_words(row['trays'])} of {whole(row['counted_trays'])}"
        if row["trays"] == row["trays"]
        else trays_words(row["trays"]),
        dates_of(row),
    )


def first_cells(falls: Mapping[str | None, FirstCount]) -> Cells:
    """The first count against the compared one, season by season, then by level."""
    rows: list[tuple[str, ...]] = []
    for name, result in falls.items():
        label = result.by or "level"
        for row in rows_of(result.table):
            level = level_text(row[label]) if name else "all grafts"
            rows.append(
                (
                    level,
                    row["season"],
                    percent(row["first_share"]),
                    percent(row["share"]),
                    fall_words(row["fall"], row["low"], row["high"]),
                    whole(row["trays"]),
                    whole(row["grafts"]),
                    dates_of(row),
                )
            )
    return Cells(
        caption=f"Take at the first and the {falls[None].count} count, in the same trays",
        header=(
            "what",
            "season",
            "first count",
            f"{falls[None].count} count",
            "lower by (95 % interval)",
            "trays with both",
            "grafts",
            "first counted",
        ),
        rows=tuple(rows),
        numbers=(False, *(True,) * 7),
    )
