"""How are the stages of a graft set as tables on a page?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from takestats.answers.first_count import FirstCount
from takestats.answers.stages import SALEABLE_OF_TAKEN, STAGES, TAKEN, StageShares
from takestats.pages.parts import Cells
from takestats.pages.rows import rows_of, slug
from takestats.wording.first_count import fall_words
from takestats.wording.numbers import level_text, percent, trays_words, whole
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


def stage_cells(result: StageShares, season: str) -> Cells:
    """One row a level: every stage with its interval, then what it rests on."""
    label = result.by or "level"
    rows = [row for row in rows_of(result.table) if row["season"] == season]
    levels = list(dict.fromkeys(str(row[label]) for row in rows))
    when = f", season {season}" if season else ""
    shown = levels[:MOST_ROWS]
    rest = len(levels) - len(shown)
    return Cells(
        caption=f"Stages of {what_of(result)}{when}"
        if not result.by
        else f"By {what_of(result)}{when}",
        header=(
            what_of(result),
            "grafts made",
            "take, raw (95 % interval)",
            "taken",
            "trays",
            "alive later of those that took",
            "saleable of those that took",
            "saleable of made",
            "saleable",
            "trays with a saleable count",
        ),
        rows=tuple(_level_cells([row for row in rows if row[label] == name]) for name in shown),
        numbers=(False, *(True,) * 9),
        after=f"{rest} more in tables/{file_of(result)}.csv." if rest else "",
    )


def _level_cells(rows: Sequence[Row]) -> tuple[str, ...]:
    by_stage = {row["stage"]: row for row in rows}
    took, sale = by_stage[TAKEN], by_stage[SALEABLE_OF_TAKEN]
    name = level_text(next(value for key, value in took.items() if key not in ("season", "stage")))
    taken, later, of_taken, of_made = (
        share_words(row["share"], row["low"], row["high"])
        for row in (by_stage[stage[0]] for stage in STAGES)
    )
    return (
        "all grafts" if name == "all" and "level" in took else name,
        whole(took["grafted"]),
        taken,
        f"{whole(took['alive'])} of {whole(took['out_of'])}",
        whole(took["counted_trays"]),
        later,
        of_taken,
        of_made,
        whole(sale["alive"]),
        whole(sale["trays"]),
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
        numbers=(False, False, True, True, True, True, True, False),
    )
