"""How is a sound file broken without knowing what its bytes mean, or knowing only their grammar?"""

from __future__ import annotations

import datetime as dt
import decimal
import io
import re
import zipfile
from functools import cache
from random import Random
from typing import Any

import pyarrow as pa

from tests.fuzz.seeds import (
    csv_file,
    grid,
    long_rows,
    parquet_file,
    settings_text,
    wide_rows,
    written,
    xlsx_file,
)

NASTY = (
    *("", "0", "-1", "1", "2147483647", "99999999999999999999", "1e309", "NaN", "inf", "-0"),
    *("true", "=1+1", "@x", "<b>", "&amp;", "../../x", "CON", "\u202e", "\ud7ff", "é", "\u0000"),
    *(
        "W" * 5000,
        "(" * 3000,
        "1/" * 2000,
        "{{7*7}}",
        "%s%n",
        "'",
        '"',
        "\\",
        "\r\n",
        ",,,,,",
        "# ",
    ),
    *("_xD800_", "_x0000_", "1970-01-01", "4-Jan", "9" * 5000, "\ufeff", "\x85", "\u2028", "×"),
)


def shaken(random: Random, data: bytes) -> bytes:
    """One to eight changes: bytes turned, cut, doubled, put in, the end lost."""
    out = bytearray(data)
    for _ in range(random.randint(1, 8)):
        at = random.randrange(len(out) + 1)
        upto = min(len(out), at + random.choice([1, 1, 2, 4, 16, 64, 400]))
        how = random.randrange(8)
        if how == 0:
            out[at:upto] = random.randbytes(upto - at)
        elif how == 1:
            del out[at:upto]
        elif how == 2:
            out[at:at] = out[at:upto] * random.choice([1, 2, 30])
        elif how == 3:
            out[at:at] = random.choice(NASTY).encode("utf-8", "surrogatepass")
        elif how == 4 and at < len(out):
            out[at] ^= 1 << random.randrange(8)
        elif how == 5 and at < len(out):
            out[at] = random.choice(b"\x00\xff\x80\"',;\t\n\r =")
        elif how == 6:
            other = random.randrange(len(out) + 1)
            out[at:upto], out[other:other] = b"", out[at:upto]
        elif random.random() < 0.2:
            del out[at:]
    return bytes(out)


@cache
def _sound() -> dict[str, list[bytes]]:
    wide, long = grid(wide_rows()), grid(long_rows())
    settings = {"title": "Broken", "invented": "true", "names.virginiana": "Hamamelis virginiana"}
    return {
        "csv": [
            csv_file(wide),
            csv_file(long, ";"),
            csv_file(wide, "\t", "utf-16"),
            csv_file(long, ",", "utf-8-sig"),
            csv_file(wide, ";", "cp1252"),
        ],
        "xlsx": [xlsx_file(wide), xlsx_file(long, settings), xlsx_file(wide, settings)],
        "parquet": [
            parquet_file(grid(wide_rows(), mark=False)),
            parquet_file(grid(long_rows(), mark=False), "gzip"),
            parquet_file(grid(wide_rows(), mark=False), "none"),
        ],
    }


def broken_csv(random: Random) -> bytes:
    """A text table, shaken or with nasty texts in its cells."""
    data = random.choice(_sound()["csv"])
    if random.random() < 0.6:
        return shaken(random, data)
    rows = random.choice([wide_rows, long_rows])()
    cells = grid(rows)
    for _ in range(random.randint(1, 12)):
        row = random.choice(cells)
        row[random.randrange(len(row))] = random.choice(NASTY).replace("\x00", "")
    return csv_file(cells, random.choice(",;\t"))


def broken_xlsx(random: Random) -> bytes:
    """A workbook, shaken as a whole or in one of the parts inside."""
    data = random.choice(_sound()["xlsx"])
    if random.random() < 0.2:
        return shaken(random, data)
    with zipfile.ZipFile(io.BytesIO(data)) as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    for _ in range(random.randint(1, 3)):
        name = random.choice([n for n in parts if n.endswith(("xml", "rels"))] or list(parts))
        how = random.randrange(10)
        if how == 0:
            del parts[name]
        elif how == 1:
            parts[name] = shaken(random, parts[name])
        elif how == 2:
            parts[random.choice(list(parts))] = parts[name]
        else:
            parts[name] = _other_xml(random, parts[name])
        if not parts:
            break
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, content in parts.items():
            packed.writestr(name, content)
    return out.getvalue()


_ATTRIBUTE = re.compile(rb'([A-Za-z:]+)="([^"]*)"')
_ELEMENT = re.compile(rb"<([A-Za-z]+)[^<>]*/>|<([A-Za-z]+)[^<>]*>[^<]*</\2>")
_INSIDE = re.compile(rb">([^<>]+)<")


def _other_xml(random: Random, text: bytes) -> bytes:
    """Attributes, texts and whole elements that are something else; the XML stays an XML."""
    for _ in range(random.randint(1, 4)):
        pattern = random.choice([_ATTRIBUTE, _ATTRIBUTE, _ELEMENT, _INSIDE])
        found = list(pattern.finditer(text))
        if not found:
            continue
        spot = random.choice(found)
        nasty = random.choice(NASTY).replace("\x00", "").encode("utf-8", "replace")
        nasty = nasty.replace(b"&", b"&amp;").replace(b"<", b"&lt;").replace(b'"', b"&quot;")
        if pattern is _ATTRIBUTE:
            other = random.choice([nasty, random.choice(found)[2], b"A1048576", b"XFD1", b"ZZZZ9"])
            new = random.choice([b"", spot[1] + b'="' + other + b'"'])
        elif pattern is _INSIDE:
            new = b">" + nasty + b"<"
        else:
            new = random.choice(
                [b"", spot[0] * 2, random.choice(found)[0], b"<f>A1</f>", spot[0] * 50]
            )
        text = text[: spot.start()] + new + text[spot.end() :]
    return text


def broken_parquet(random: Random) -> bytes:
    """A parquet file, shaken, or sound with columns of kinds that no record has."""
    if random.random() < 0.6:
        data = random.choice(_sound()["parquet"])
        if random.random() < 0.5:  # the footer, where the kinds and places of columns stand
            at = len(data) - min(len(data), 4000)
            return data[:at] + shaken(random, data[at:])
        return shaken(random, data)
    rows = wide_rows()
    columns: dict[str, Any] = {}
    for name in rows[0]:
        texts = pa.array([str(row[name]) or None for row in rows], pa.string())
        columns[name] = _odd_column(random, len(rows)) if random.random() < 0.15 else texts
    table = pa.table(columns)
    if random.random() < 0.2:
        odd = {b"pandas": random.choice([b"{}", b"[]", b"null", b"{", b'{"columns": 3}', b"\xff"])}
        table = table.replace_schema_metadata(odd)
    if random.random() < 0.1:
        table = table.rename_columns([random.choice(NASTY[:8]) for _ in table.column_names])
    return written(table, random.choice(["snappy", "gzip", "zstd", "none"]))


def _odd_column(random: Random, size: int) -> pa.Array:
    day = dt.datetime(2026, 3, 8, 12, 30)
    odd: list[tuple[Any, Any]] = [
        ([1, 2], pa.list_(pa.int64())),
        ({"a": 1}, pa.struct([("a", pa.int64())])),
        ([("a", 1)], pa.map_(pa.string(), pa.int64())),
        (b"\xff\xfe", pa.binary()),
        (b"abcd", pa.binary(4)),
        (decimal.Decimal("25.00"), pa.decimal128(9, 2)),
        (25.5, pa.float32()),
        (float("inf"), pa.float64()),
        (float("nan"), pa.float64()),
        (2**63 - 1, pa.int64()),
        (2**64 - 1, pa.uint64()),
        (True, pa.bool_()),
        (None, pa.null()),
        (day, pa.timestamp("ns")),
        (day, pa.timestamp("us", tz="Europe/Paris")),
        (2**45, pa.timestamp("s")),
        (-(2**62), pa.timestamp("us")),
        (2**31 - 1, pa.date32()),
        (day.date(), pa.date64()),
        (dt.time(12, 30), pa.time64("us")),
        (dt.timedelta(days=3), pa.duration("s")),
        (2**62, pa.duration("us")),
        ("25", pa.large_string()),
        ("25", pa.dictionary(pa.int32(), pa.string())),
        (25, pa.int8()),
    ]
    value, kind = random.choice(odd)
    values = [value if random.random() < 0.8 else None for _ in range(size)]
    return pa.array(values, kind)


def broken_settings(random: Random) -> bytes:
    """The settings, shaken, or with values that are something else."""
    text = settings_text()
    if random.random() < 0.3:
        return shaken(random, text.encode("utf-8"))
    lines = text.splitlines()
    for _ in range(random.randint(1, 5)):
        at = random.randrange(len(lines))
        key, equals, _ = lines[at].partition(" = ")
        how = random.randrange(5)
        if how == 0:
            lines[at] = random.choice(lines)
        elif how == 1:
            lines.insert(random.randrange(len(lines)), lines[at])
        elif how == 2:
            del lines[at]
            lines = lines or ["title = 1"]
        elif equals:
            lines[at] = f"{key} = {_odd_value(random)}"
    return "\n".join(lines).encode("utf-8", "surrogatepass")


def _odd_value(random: Random) -> str:
    plain = random.choice(
        ["1", "-1", "0", "1e400", "inf", "-inf", "nan", "true", "2026-01-02", "12:30:00", '""',
         "2026-01-02T10:00:00Z", "99999999999999999999999", "9" * 5000, "0x1F", "[]", "{}", "0.5",
         "'90%'", "'5 points'", "'min'", "'0 min, 0'", "'1e400 min'", "'-3 min'", "'mm'", "'yes'",
         "[1, 'a', [2]]", "{a = {b = 1}}", "[" * 300 + "]" * 300, "['method', 'method']",
         "['no_such_column']", "'method'", "'early January to mid March'", "1.5", "'6 to 4 mm'"]
    )  # fmt: skip
    if random.random() < 0.2:
        text = random.choice(NASTY).replace("\\", "\\\\").replace('"', '\\"').replace("\x00", "")
        return f'"{text}"'
    return plain
