"""How does a bench layout become a workbook, bench sheets, labels and a map?"""

from __future__ import annotations

import math
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup

from takestats.bench.layout import BenchLayout
from takestats.errors import DesignError, FileError
from takestats.pages.bench_workbook import FILE, layout_book
from takestats.pages.files import write_whole
from takestats.pages.render import environment, template_text
from takestats.pages.workbook import record_workbook
from takestats.records.settings import TrialSettings, read_trial
from takestats.wording import bench_papers as words
from takestats.wording.cautions import CAUTIONS
from takestats.wording.numbers import level_text

PAPERS = ("bench_sheets.html", "tray_labels.html", "bench_map.html")
LABEL_MM = (60.0, 28.0)
"""Width and height of a label where the settings name none (common practice, no source)."""

MOST_BOXES = 60
"""More grafts than this are counted on paper in figures, not in boxes."""

_TEXT_SIZES = tuple(tenths / 10 for tenths in range(32, 20, -1))
"""From 3.2 mm, easily read, to 2.1 mm, the least (common practice, no source)."""

_WIDE, _WIDER = re.compile(r"[A-Z@%mw]"), 0.7
"""Letters wider than the others, and by how much of one."""

_LETTER_WIDTH, _LINE_HEIGHT = 0.56, 1.15
"""Of a letter, as shares of its size (measured on the fonts of the style sheet)."""


def write_bench(
    layout: BenchLayout,
    folder: str | os.PathLike[str],
    *,
    trial: str | os.PathLike[str] | Mapping[str, Any] | TrialSettings | None = None,
    rows: str | None = None,
) -> list[Path]:
    """Where do the workbook, the bench sheets, the labels and the map of my layout stand?

    Parameters
    ----------
    layout : BenchLayout
        From :func:`takestats.bench_layout`.
    folder : path
        Made when it is not there.
    trial : path, mapping or TrialSettings, optional
        Title, short names and other settings for the trial sheet; label_width_mm and
        label_height_mm under [bench] for the labels, counts for the counts with a sheet of
        their own, rows for what has a row.
    rows : str, optional
        "tray" (half a tray where trays are split) or "graft": what has a row of its own in the
        workbook and on the bench sheets; else as the settings say.

    Returns
    -------
    list of pathlib.Path
        ``records.xlsx``, ``bench_sheets.html``, ``tray_labels.html``, ``bench_map.html``: all
        of them, or none.

    Raises
    ------
    FileError
        When a workbook is there already, or the folder cannot be written.
    DesignError
        When a label is too small for what stands on it, or rows of single grafts cannot be made.
    SettingsError
        When rows or counts are not known.

    Notes
    -----
    As long as the rows match the layout a report says that treatments were given by lot. It
    cannot see whether the trays on the bench match the sheet: a tray set down in another
    place, or grafted with the other method and written as planned, is not found out.

    References
    ----------
    What stands on a label and a bench sheet is common practice, no source.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> import takestats as ts
    >>> layout = ts.bench_layout({"method": ["cleft", "side veneer"]}, 2, tray_size=20, seed=3)
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> [path.name for path in write_bench(layout, folder)]
    ['records.xlsx', 'bench_sheets.html', 'tray_labels.html', 'bench_map.html']
    """
    refuse_to_write_over(Path(folder) / FILE)
    settings = _settings(trial)
    if rows is not None:
        settings = with_rows(settings, rows)
    book = record_workbook(layout_book(layout, settings))
    return write_whole(folder, {FILE: book, **bench_papers(layout, settings)})


def with_rows(settings: TrialSettings, rows: str) -> TrialSettings:
    """The settings with another word for what has a row of its own."""
    read = read_trial({"bench": {"rows": rows}}).bench["rows"]
    return replace(settings, bench={**settings.bench, "rows": read})


def refuse_to_write_over(path: Path) -> None:
    """Stop before a workbook that may hold a season's counts is lost."""
    if path.exists() or path.is_symlink():
        raise FileError(
            where=str(path),
            what="there is already a file of this name",
            rule="A record workbook is never written over.",
            next_step="Name another folder, or give that file another name first.",
        )


def bench_papers(layout: BenchLayout, settings: TrialSettings) -> dict[str, bytes]:
    """The three pages to print, by their names."""
    sheet = layout_book(layout, settings).layout
    trays = _trays(layout, per_graft=sheet.row_per_graft)
    blocks: dict[str, list[dict[str, Any]]] = {}
    for tray in trays:
        blocks.setdefault(tray["block"], []).append(tray)
    width = float(settings.bench.get("label_width_mm") or LABEL_MM[0])
    height = float(settings.bench.get("label_height_mm") or LABEL_MM[1])
    size_mm = min(_text_size(tray, width, height, banner=settings.invented) for tray in trays)
    shared = {
        "title": settings.title,
        "banner": settings.banner,
        "invented": settings.invented,
        "blocks": [
            (words.block_title(name, len(some), layout.blocks > 1), some)
            for name, some in blocks.items()
        ],
        "trays": trays,
        "drawn": words.drawn_line(layout.seed, layout.seed_was_made, layout.fingerprint),
        "cautions": CAUTIONS,
        "words": words,
        "columns": [name for name in sheet.columns if _is_on_paper(name, layout)],
        "per_graft": sheet.row_per_graft,
        "size_mm": size_mm,
        "width": width,
        "height": height,
        "style": Markup(template_text("bench_papers.css")),
    }
    out = {}
    for name in PAPERS:
        text = _papers().get_template(f"{name}.j2").render(**shared)
        out[name] = (re.sub(r"\n\s*\n+", "\n", text).strip() + "\n").encode("utf-8")
    return out


def _is_on_paper(name: str, layout: BenchLayout) -> bool:
    """The block heads the sheet; what is blank for every tray of a layout stays in the workbook."""
    if name in ("block", *layout.place_columns):
        return False
    return name not in ("scion", "understock") or name in layout.treatment_columns


def _trays(layout: BenchLayout, *, per_graft: bool) -> list[dict[str, Any]]:
    """One mapping per tray, with a line for it, for each of its halves, or for each graft."""
    out: dict[str, dict[str, Any]] = {}
    for row in layout.table.to_dict("records"):
        code = str(row["tray"])
        tray = out.setdefault(
            code,
            {
                "tray": code,
                "block": str(row["block"]),
                "position": row["position"],
                "place": words.place_words(str(row["block"]), row["position"]),
                "lines": [],
            },
        )
        levels = {name: level_text(str(row[name])) for name in layout.treatment_columns}
        grafts = row["grafts"]
        boxes = int(grafts) if grafts == grafts and grafts <= MOST_BOXES else 0
        tray["lines"].append(
            {
                "half": str(row.get("half", "")),
                "cells": levels,
                "grafts": grafts,
                "groups": [min(5, boxes - at) for at in range(0, boxes, 5)],
            }
        )
    for tray in out.values():
        _say(tray)
        if per_graft:
            tray["lines"] = _grafts(tray["lines"])
    return list(out.values())


def _grafts(lines: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """A line with one box for each graft, numbered through the tray as in the workbook."""
    each = [{**line, "groups": [1]} for line in lines for _ in range(int(line["grafts"]))]
    return [{**line, "graft": number} for number, line in enumerate(each, start=1)]


def _say(tray: dict[str, Any]) -> None:
    """Say what the halves of a tray share once, and what each has alone; or the whole treatment."""
    cells = [line["cells"] for line in tray["lines"]]
    shared = [name for name in cells[0] if all(one[name] == cells[0][name] for one in cells)]
    tray["said"] = (
        [words.treatment_words({name: cells[0][name] for name in shared})] if shared else []
    )
    for line in tray["lines"] if len(cells) > 1 else ():
        own = {name: value for name, value in line["cells"].items() if name not in shared}
        tray["said"].append(words.half_words(line["half"], own))


def _text_size(tray: Mapping[str, Any], width: float, height: float, *, banner: bool) -> float:
    """The largest text with which all that stands on a label fits, in mm."""
    lines = [*tray["said"], tray["place"]]
    letters = [len(line) + _WIDER * len(_WIDE.findall(line)) for line in lines]
    code = _code_size(height)
    for size in _TEXT_SIZES:
        across = (width - 4.0) / (size * _LETTER_WIDTH)
        needed = sum(math.ceil(wide / max(1, int(across) - 4)) for wide in letters) + banner
        fits = code * 1.1 + needed * size * _LINE_HEIGHT + 3.0 <= height
        if fits and across >= 14 and code * len(tray["tray"]) * 0.75 <= width - 4.0:
            return size
    said = words.label_too_small(tray["tray"], width, height)
    raise DesignError(where="labels", what=said[0], rule=said[1], next_step=said[2])


def _code_size(height: float) -> float:
    return min(9.0, max(5.0, height * 0.3))


def _settings(trial: Any) -> TrialSettings:
    if trial is None:
        return TrialSettings()
    return trial if isinstance(trial, TrialSettings) else read_trial(trial)


@lru_cache(maxsize=1)
def _papers() -> Environment:
    made = environment(*(f"{name}.j2" for name in PAPERS))
    made.filters["code_size"] = _code_size
    return made
