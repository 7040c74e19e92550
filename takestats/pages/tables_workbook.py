"""How do all tables of a page stand in one workbook, the same bytes each time?"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING

from pandas import DataFrame

from takestats.pages.sheet_xml import Link, Texts, clean_text, sheet_xml, texts_xml
from takestats.pages.workbook_bytes import DAY, zipped
from takestats.wording.tables_workbook import CONTENTS, CONTENTS_HEADER, CONTENTS_NOTE

if TYPE_CHECKING:
    from takestats.pages.parts import SeasonReport

_MOST_LETTERS = 31
_HOSTILE = re.compile(r"[\[\]:*?/\\\x00-\x1f]")
_KEPT_FOR_THE_PROGRAM = "history"  # some spreadsheets keep this name of a sheet for themselves

_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_KIND = "application/vnd.openxmlformats-officedocument.spreadsheetml"

_STYLES = f"""<styleSheet xmlns="{_MAIN}"><numFmts count="2">\
<numFmt numFmtId="164" formatCode="yyyy\\-mm\\-dd"/>\
<numFmt numFmtId="165" formatCode="yyyy\\-mm\\-dd\\ hh:mm"/></numFmts><fonts count="3">\
<font><sz val="10"/><name val="Arial"/></font>\
<font><b/><sz val="10"/><name val="Arial"/></font>\
<font><u/><sz val="10"/><name val="Arial"/></font></fonts>\
<fills count="2"><fill><patternFill patternType="none"/></fill>\
<fill><patternFill patternType="gray125"/></fill></fills>\
<borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders>\
<cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs>\
<cellXfs count="6"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/>\
<xf numFmtId="0" fontId="1" fillId="0" borderId="0" xfId="0" applyFont="1"/>\
<xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>\
<xf numFmtId="49" fontId="0" fillId="0" borderId="0" xfId="0" quotePrefix="1" \
applyNumberFormat="1"/>\
<xf numFmtId="165" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/>\
<xf numFmtId="0" fontId="2" fillId="0" borderId="0" xfId="0" applyFont="1"/></cellXfs>\
<cellStyles count="1"><cellStyle name="Normal" xfId="0" builtinId="0"/></cellStyles>\
</styleSheet>"""


def tables_workbook(report: SeasonReport) -> bytes:
    """Put every table of a page into one .xlsx file, a sheet each, contents first.

    Parameters
    ----------
    report : SeasonReport

    Returns
    -------
    bytes
        Numbers as numbers at full precision, days as days, texts as text and never as a
        formula. Each sheet begins with the INVENTED DATA or citation line, if there is one,
        and the note of its table. The times inside are those of the newest count.
    """
    names = list(report.tables)
    sheets = sheet_names(names)
    texts = Texts()
    whole = [(CONTENTS, _contents(report, sheets, texts))]
    for name in names:
        lines = (report.banner, _without(report.table_notes[name], report.banner))
        whole.append((sheets[name], sheet_xml(report.tables[name], name, lines, texts)))
    day = newest_count(report)
    parts = {
        "[Content_Types].xml": _content_types(len(whole)),
        "_rels/.rels": _relations(
            [
                (f"{_OFFICE}/officeDocument", "xl/workbook.xml"),
                (f"{_PACKAGE}/relationships/metadata/core-properties", "docProps/core.xml"),
            ]
        ),
        "docProps/core.xml": _properties(report, day),
        "xl/workbook.xml": _workbook([name for name, _ in whole]),
        "xl/_rels/workbook.xml.rels": _relations(
            [
                *((f"{_OFFICE}/worksheet", f"worksheets/sheet{n + 1}.xml") for n in _few(whole)),
                (f"{_OFFICE}/styles", "styles.xml"),
                (f"{_OFFICE}/sharedStrings", "sharedStrings.xml"),
            ]
        ),
        "xl/styles.xml": _STYLES,
        **{f"xl/worksheets/sheet{n + 1}.xml": whole[n][1] for n in _few(whole)},
        "xl/sharedStrings.xml": texts_xml(texts),
    }
    written = {name: (_HEAD + text).encode("utf-8") for name, text in parts.items()}
    return zipped(written, day, level=2)


def sheet_names(names: Sequence[str]) -> dict[str, str]:
    """Name a sheet for each table: at most 31 letters, each name once, contents left free.

    Examples
    --------
    >>> sheet_names(["take_by_method", "difference_of_differences_by_method_within_season"])
    ... # doctest: +NORMALIZE_WHITESPACE
    {'take_by_method': 'take by method',
     'difference_of_differences_by_method_within_season': 'difference of differences by me'}
    """
    taken = {CONTENTS, _KEPT_FOR_THE_PROGRAM}
    found = {}
    for name in names:
        plain = clean_text(_HOSTILE.sub(" ", name.replace("_", " "))).strip(" '") or "table"
        short, number = plain[:_MOST_LETTERS].rstrip(" '"), 2
        while short.lower() in taken:
            ending = f" {number}"
            short = plain[: _MOST_LETTERS - len(ending)].rstrip(" '") + ending
            number += 1
        taken.add(short.lower())
        found[name] = short
    return found


def newest_count(report: SeasonReport) -> dt.date:
    """The newest day on which trays of the page were counted; 1 January 2000 without one."""
    days = set()
    for table in report.tables.values():
        if "count_date" in table.columns:
            days |= {str(value)[:10] for value in table["count_date"].dropna().unique()}
    kept = sorted(day for day in days if re.fullmatch(r"(19[89]|20)\d{1,2}-\d{2}-\d{2}", day))
    for day in reversed(kept):
        try:
            return dt.date.fromisoformat(day)
        except ValueError:
            continue
    return DAY


def _contents(report: SeasonReport, sheets: dict[str, str], texts: Texts) -> str:
    rows = [
        (
            sheets[name],
            _without(report.table_notes[name], report.banner),
            len(table),
            f"tables/{name}.csv",
        )
        for name, table in report.tables.items()
    ]
    table = DataFrame(rows, columns=list(CONTENTS_HEADER))
    links = [Link(row=index, sheet=sheets[name]) for index, name in enumerate(report.tables)]
    lines = (report.banner or report.title, report.title if report.banner else "", CONTENTS_NOTE)
    return sheet_xml(table, CONTENTS, lines, texts, links=links)


def _without(note: str, banner: str) -> str:
    """The note of a table without the line that already stands above it."""
    return note.removeprefix(banner).strip() if banner else note


def _few(whole: Sequence[object]) -> range:
    return range(len(whole))


def _content_types(sheets: int) -> str:
    parts = [("/xl/workbook.xml", f"{_KIND}.sheet.main+xml")]
    parts += [
        (f"/xl/worksheets/sheet{n}.xml", f"{_KIND}.worksheet+xml") for n in range(1, sheets + 1)
    ]
    parts += [
        ("/xl/styles.xml", f"{_KIND}.styles+xml"),
        ("/xl/sharedStrings.xml", f"{_KIND}.sharedStrings+xml"),
        (
            "/docProps/core.xml",
            "application/vnd.openxmlformats-package.core-properties+xml",
        ),
    ]
    told = "".join(f'<Override PartName="{name}" ContentType="{kind}"/>' for name, kind in parts)
    return (
        f'<Types xmlns="{_PACKAGE}/content-types"><Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Default Extension="xml" ContentType="application/xml"/>{told}</Types>'
    )


def _relations(pairs: Sequence[tuple[str, str]]) -> str:
    told = "".join(
        f'<Relationship Id="rId{n}" Type="{kind}" Target="{target}"/>'
        for n, (kind, target) in enumerate(pairs, start=1)
    )
    return f'<Relationships xmlns="{_PACKAGE}/relationships">{told}</Relationships>'


def _workbook(names: Sequence[str]) -> str:
    told = "".join(
        f'<sheet name="{escape(name)}" sheetId="{n}" r:id="rId{n}"/>'
        for n, name in enumerate(names, start=1)
    )
    return (
        f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><bookViews><workbookView/></bookViews>'
        f"<sheets>{told}</sheets></workbook>"
    )


def _properties(report: SeasonReport, day: dt.date) -> str:
    stamp = f"{day.isoformat()}T00:00:00Z"
    title = escape(clean_text(report.title))
    return (
        f'<cp:coreProperties xmlns:cp="{_PACKAGE}/metadata/core-properties" '
        'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:dcterms="http://purl.org/dc/terms/" '
        'xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">'
        f"<dc:title>{title}</dc:title><dc:description>{escape(clean_text(report.banner))}"
        "</dc:description><dc:creator>takestats</dc:creator>"
        f'<dcterms:created xsi:type="dcterms:W3CDTF">{stamp}</dcterms:created>'
        f'<dcterms:modified xsi:type="dcterms:W3CDTF">{stamp}</dcterms:modified>'
        "</cp:coreProperties>"
    )
