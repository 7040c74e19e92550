"""Which workbook do the answers to the opening questions call for?"""

from __future__ import annotations

from collections.abc import Mapping

from takestats.pages.workbook import RecordBook
from takestats.pages.workbook_answers import (
    called_for,
    default_of,
    questions,
    read_answer,
    sides_of,
)
from takestats.records.columns import BY_NAME
from takestats.records.methods import read_method
from takestats.records.settings import read_trial
from takestats.records.workbook_layout import CaliperUnit, layout_of

FILE = "records.xlsx"
"""The name of a new record workbook."""

_COMPARED_AS = {"graft_date": "day_of_season", "scion_cut_date": "storage_days"}


def first_book(answers: Mapping[str, str], *, season_only: bool = False) -> RecordBook:
    """Plan the workbook that the answers call for.

    Parameters
    ----------
    answers : mapping of str to str
        Answers as typed, by the name of the question; one left out has its default.
    season_only : bool
        Ordinary grafting, without a trial question.

    Returns
    -------
    RecordBook

    Raises
    ------
    SettingsError
        When an answer cannot be used.
    """
    given = dict(answers)
    read: dict[str, tuple[str, ...]] = {}
    for key in questions(season_only=season_only):
        if key not in given:
            given[key] = default_of(key, given, season_only=season_only)
        read[key] = read_answer(key, given[key], given)
    columns = called_for(given, season_only=season_only)
    unit: CaliperUnit = "in" if read["caliper_unit"] == ("in",) else "mm"
    settings = _settings(read, columns, season_only=season_only)
    read_trial({key: value for key, value in settings if value})  # what is written can be read
    scions, understocks = sides_of(read["plants"])
    words = {"method": read["methods"], "scion": scions, "understock": understocks}
    words["caliper_class"] = tuple(part.split(" = ")[0] for part in read["classes"])
    size = read["tray_size"]
    return RecordBook(
        file=FILE,
        layout=layout_of(columns, caliper_unit=unit),
        settings=settings,
        words={name: kept for name, kept in words.items() if kept},
        tray_size=int(size[0]) if size else None,
    )


def _settings(
    read: Mapping[str, tuple[str, ...]], columns: tuple[str, ...], *, season_only: bool
) -> tuple[tuple[str, str], ...]:
    """The trial sheet: what was answered, and blanks for what may be settled later."""
    rows = [("title", _only(read["title"]))]
    if not season_only:
        standard = _only(read["standard"])
        others = [m for m in read["methods"] if m != standard and "method" in columns]
        factors, curves = _compared(read["compare"])
        rows += [
            ("trial.question", _only(read["question"])),
            ("trial.standard", standard),
            ("trial.new", others[0] if len(others) == 1 and standard in read["methods"] else ""),
            ("trial.margin_points", ""),
            ("trial.floor", ""),
            ("trial.randomised", _only(read["randomised"])),
            ("compare.factors", ", ".join(factors)),
            ("compare.curves", ", ".join(curves)),
        ]
    measured = any(BY_NAME[name].kind == "length" for name in columns)
    rows += [
        ("records.caliper_unit", _only(read["caliper_unit"]) if measured else ""),
        ("records.count_after_weeks", ""),
        ("bench.tray_size", _only(read["tray_size"])),
    ]
    own = [m for m in read["methods"] if read_method(m, {}).fault == "own_method"]
    rows += [(f"methods.{word}", word) for word in own if "method" in columns]
    for section in ("names", "classes"):
        pairs = [part.split(" = ", 1) for part in read[section]]
        rows += [(f"{section}.{short}", full) for short, full in pairs]
    wanted = [part.rsplit(" = ", 1) for part in read["plants"] if " = " in part]
    rows += [(f"targets.{pair}", number) for pair, number in wanted]
    return tuple(rows)


def _compared(names: tuple[str, ...]) -> tuple[list[str], list[str]]:
    """Factors and curves: lengths and dates are numbers, all else has levels."""
    factors, curves = [], []
    for name in names:
        kind = BY_NAME[name].kind if name in BY_NAME else ""
        if kind in ("length", "date"):
            curves.append(_COMPARED_AS.get(name, name))
        else:
            factors.append(name)
    return factors, curves


def _only(parts: tuple[str, ...]) -> str:
    return parts[0] if parts else ""
