"""How does an order become a form to hand on, a page that explains it, tables and a record?"""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pandas import DataFrame

from takestats._version import __version__
from takestats.pages.csv_tables import csv_bytes
from takestats.pages.figures import files_of
from takestats.pages.files import write_whole
from takestats.pages.json_text import json_text
from takestats.pages.order_form import form_sections
from takestats.pages.order_why import statistician_sections, why_sections
from takestats.pages.parts import SeasonReport
from takestats.pages.render import page_bytes
from takestats.pages.studio import Studio
from takestats.pages.tables_workbook import tables_workbook
from takestats.wording import order_page as words
from takestats.wording.order_tables import TABLES

if TYPE_CHECKING:
    from takestats.order.changed import OrderChange
    from takestats.order.order_result import UnderstockOrder

PAGE = "order_page"
RECORD = "order.json"
WORKBOOK = "order_tables.xlsx"


def order_report(
    order: UnderstockOrder,
    *,
    earlier: UnderstockOrder | Mapping[str, Any] | None = None,
    command: str = "",
) -> SeasonReport:
    """What does the page of an order hold, before it is written?

    Parameters
    ----------
    order : UnderstockOrder
    earlier : UnderstockOrder or mapping, optional
        An order placed before the count, or what was kept of it.
    command : str
        What was typed; blank when it was made from Python.
    """
    change = None if earlier is None else order.changed_since(earlier)
    asked = (("command", command),) if command else ()
    tables = order_tables(order, change)
    return SeasonReport(
        page_name=PAGE,
        title=words.title(order.origin.title),
        banner=order.banner,
        sentences=order.sentences,
        sections=(
            *form_sections(order, change),
            *why_sections(order, change),
            *statistician_sections(order, asked),
        ),
        tables=tables,
        table_notes={name: words.table_note(TABLES[name], order.banner) for name in tables},
        notes=order.notes,
        parts=words.PARTS,
    )


def order_tables(order: UnderstockOrder, change: OrderChange | None = None) -> dict[str, DataFrame]:
    """Every table of an order, at full precision; those that are empty are left out."""
    fitted = order.fitted
    found = {
        "order": order.table,
        "understocks": order.understocks,
        "seedlings": order.seedlings,
        "scion_wood": order.wood,
        "bench_days": order.days,
        "weeks": order.weeks,
        "within_limits": DataFrame() if fitted is None else fitted.combinations,
        "limits": DataFrame() if fitted is None else fitted.limits,
        "limits_to_grow": DataFrame() if fitted is None else fitted.lifted,
        "surplus": order.surplus,
        "costs": order.costs,
        "date_window": order.window,
        "change": DataFrame() if change is None else change.table,
        "set_aside": order.origin.set_aside,
    }
    return {name: table for name, table in found.items() if not table.empty}


def order_parts(order: UnderstockOrder, change: OrderChange | None = None) -> dict[str, object]:
    """Everything of an order in plain parts, for another program and for a later order.

    Parameters
    ----------
    order : UnderstockOrder
    change : OrderChange, optional

    Returns
    -------
    dict
        ``shape``, ``assurance`` and ``table`` as :meth:`UnderstockOrder.as_record` has them;
        ``takestats`` (version), ``banner``, ``invented``, ``sources`` (file, sha256),
        ``settings`` (file, sha256 or null), ``count``, ``count_dates``, ``tray_size``,
        ``currency``, ``sentences``, ``notes``, ``met`` (within the limits; null: no limit was
        given), ``tables`` (as the CSV files, always under the same keys) and ``change``
        (sentences, or null).
    """
    origin = order.origin
    made = order_tables(order, change)
    return {
        **order.as_record(),
        "takestats": __version__,
        "banner": order.banner,
        "invented": origin.invented,
        "sources": [{"file": name, "sha256": digest} for name, digest in origin.sources],
        "settings": {"file": origin.settings_file, "sha256": origin.settings_sha256}
        if origin.settings_file
        else None,
        "count": origin.count,
        "count_dates": list(origin.count_dates),
        "tray_size": order.tray_size,
        "currency": order.currency,
        "sentences": list(order.sentences),
        "notes": list(order.notes),
        "met": None if order.fitted is None else order.fitted.met,
        "tables": {name: made.get(name, []) for name in TABLES},
        "change": None if change is None else list(change.sentences),
    }


def order_files(
    order: UnderstockOrder,
    *,
    earlier: UnderstockOrder | Mapping[str, Any] | None = None,
    command: str = "",
) -> dict[str, bytes]:
    """Every file of an order, its name and its bytes; the page first."""
    report = order_report(order, earlier=earlier, command=command)
    change = None if earlier is None else order.changed_since(earlier)
    drawn = Studio().drawings(report.pictures)
    files = {
        f"{PAGE}.html": page_bytes(report, drawn),
        WORKBOOK: tables_workbook(report),
        RECORD: (json_text(order_parts(order, change)) + "\n").encode("utf-8"),
    }
    for name, table in report.tables.items():
        files[f"tables/{name}.csv"] = csv_bytes(table, report.table_notes[name])
    return files | files_of(drawn)


def write_order(
    order: UnderstockOrder,
    folder: str | os.PathLike[str],
    *,
    earlier: UnderstockOrder | Mapping[str, Any] | None = None,
    command: str = "",
) -> list[Path]:
    """Which sheet do I hand to the seedling grower?

    The order is written as a form with its reasons.

    Parameters
    ----------
    order : UnderstockOrder
        From :func:`takestats.understock_order`.
    folder : path
        Where ``order_page.html``, ``order_tables.xlsx``, ``order.json``, ``tables/`` and
        ``figures/`` go; made when it is not there.
    earlier : UnderstockOrder or mapping, optional
        An order placed before the count, or the content of its ``order.json``: what changed
        stands on the page.
    command : str
        What was typed to make it, for the last part of the page.

    Returns
    -------
    list of pathlib.Path
        The page, the workbook, ``order.json``, the CSV tables, then the chart. All are written,
        or none.

    Raises
    ------
    CountsError
        When ``earlier`` is no order.
    FileError
        When the folder cannot be written.

    Notes
    -----
    The page says what :func:`takestats.understock_order` found and works out nothing itself;
    where that fails stands there. ``earlier`` compares what was ordered, not why: a change
    of the settings between two orders is told only where a number moved.

    References
    ----------
    The form is this project's own; common practice, no source.

    Examples
    --------
    >>> import tempfile
    >>> import takestats as ts
    >>> pair = "Acer rubrum 'Ember' on Acer rubrum"
    >>> order = ts.understock_order({pair: (0.60, 0.70, 0.79)}, {pair: 500}, cull=0.1)
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     [path.name for path in ts.write_order(order, folder)][:3]
    ['order_page.html', 'order_tables.xlsx', 'order.json']
    """
    return write_whole(folder, order_files(order, earlier=earlier, command=command))
