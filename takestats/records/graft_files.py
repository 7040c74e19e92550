"""How is a large file of single grafts cut into blocks that fit into little memory?"""

from __future__ import annotations

import csv
import hashlib
import io
import os
from collections import deque
from collections.abc import Callable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import pyarrow as pa
import pyarrow.csv
import pyarrow.parquet

from takestats.records.columns import BY_NAME
from takestats.records.files import may_be_large
from takestats.records.graft_blocks import Block, DoubtError, Roles, block_of
from takestats.records.headers import ROWS_SEARCHED, find_header
from takestats.records.text_table import separator_of, top_of

LARGE_ROWS = 50_000
"""Rows of a parquet file from which they are."""
_PIECE = 8_000_000
_WIDER = 3
"""Rows in no order are cut into pieces this much larger: more of a tray is gathered at once."""
_TOP = 65_536
_TOP_ROWS = ROWS_SEARCHED + 10
_NEEDED = ("tray", "graft", "taken")
_NOT_ALONE = ("alive_later", "later_count_date", "saleable", "saleable_date", "defects_later")
"""Counts that are told beside the first one: left to the ordinary way."""

Item = TypeVar("Item")


@dataclass(frozen=True, eq=False, kw_only=True)
class GraftFile:
    """A large file of single grafts, block by block.

    Parameters
    ----------
    header : list of str
        As typed.
    columns : tuple of str
        The column that each header means.
    blocks : list of Block
    sha256 : str
    """

    header: list[str]
    columns: tuple[str, ...]
    blocks: list[Block]
    sha256: str


def read_grafts(path: Path) -> GraftFile | None:
    """Read such a file; None where it is small or of another shape.

    Raises
    ------
    DoubtError
        Where the ordinary way has to look at every cell.
    """
    kind = path.suffix.lower()
    try:
        if may_be_large(path):
            return _parquet(path) if kind == ".parquet" else _text(path)
    except (OSError, pa.ArrowException, csv.Error, UnicodeDecodeError) as fault:
        raise DoubtError(str(fault)) from fault
    return None


def _names(header: list[str]) -> tuple[str, ...] | None:
    """The columns meant by the headers; None where the rows do not tell of single grafts."""
    found = find_header([header])
    if found is None:
        return None
    headers = found[1]
    names = tuple(one.name for one in headers)
    if not set(_NEEDED) <= {one.name for one in headers if one.known}:
        return None
    odd = any(one.percent or not one.typed for one in headers)
    if odd or len(set(names)) < len(names) or set(names) & set(_NOT_ALONE):
        return None
    return names


def _roles(names: tuple[str, ...]) -> Roles:
    free = [n for n in names if n == "position" or (n in BY_NAME and BY_NAME[n].role == "note")]
    apart = {*_NEEDED, "grafted", *free}
    return Roles(keys=("tray", *(n for n in names if n not in apart)), free=tuple(free))


# --- text --------------------------------------------------------------------------


def _text(path: Path) -> GraftFile | None:
    with path.open("rb", buffering=0) as file:
        top = file.read(_TOP)
        end = top.rfind(b"\n")
        few = top.count(b"\n") < _TOP_ROWS and len(top) == _TOP
        if end < 0 or few or top.startswith(b"\xef\xbb\xbf") or b"\x00" in top:
            return None
        lines = top_of(top[: end + 1].decode("utf-8"))
        separator = separator_of(lines, loose=False)
        header = next(csv.reader(io.StringIO(lines), delimiter=separator))
        found = find_header(list(csv.reader(io.StringIO(lines), delimiter=separator)))
        names = _names(header)
        if found is None or found[0] != 0 or names is None:
            return None
        roles = _roles(names)
        digest = hashlib.sha256()
        blocks: list[Block] = []
        pieces = _pieces(file, top, digest, blocks)
        _side_by_side(pieces, lambda piece: _text_block(piece, names, separator, roles), blocks)
    return GraftFile(header=header, columns=names, blocks=blocks, sha256=digest.hexdigest())


def _pieces(file: Any, top: bytes, digest: Any, blocks: list[Block]) -> Iterator[bytes]:
    """The text below the header, cut between rows; every byte goes into the fingerprint."""
    digest.update(top)
    rest = top[top.index(b"\n") + 1 :]
    while read := file.read(_PIECE * (_WIDER if blocks and blocks[-1].scattered else 1)):
        end = read.rfind(b"\n") + 1
        if end == 0:
            raise DoubtError("a row that does not end")
        yield rest + read[:end]
        rest = read[end:]
        digest.update(read)
    if rest:
        yield rest


def _text_block(piece: bytes, names: tuple[str, ...], separator: str, roles: Roles) -> Block:
    if b"\r" in piece and piece.count(b"\r") != piece.count(b"\r\n"):
        raise DoubtError("a row that ends in another way")
    if b'"' in piece and b' "' in piece:
        raise DoubtError("a space before a quote")
    table = pyarrow.csv.read_csv(
        pa.BufferReader(piece),
        pyarrow.csv.ReadOptions(
            use_threads=False, column_names=list(names), block_size=len(piece) + 1
        ),
        pyarrow.csv.ParseOptions(delimiter=separator, ignore_empty_lines=False),
        pyarrow.csv.ConvertOptions(
            column_types=dict.fromkeys(names, pa.string()), strings_can_be_null=False
        ),
    )
    return block_of({name: _whole(table[name]) for name in names}, roles)


def _whole(column: Any) -> pa.Array:
    if column.num_chunks == 1:
        return column.chunk(0)
    joined = column.combine_chunks()
    return pa.concat_arrays(joined.chunks) if isinstance(joined, pa.ChunkedArray) else joined


# --- parquet ---------------------------------------------------------------------------


def _parquet(path: Path) -> GraftFile | None:
    file = pyarrow.parquet.ParquetFile(path)
    if file.metadata.num_rows < LARGE_ROWS:
        return None
    schema = file.schema_arrow
    header = [str(name) for name in schema.names]
    names = _names(header)
    index = (schema.pandas_metadata or {}).get("index_columns", [])
    if names is None or any(isinstance(name, str) for name in index):
        return None
    roles = _roles(names)
    kinds = {name: schema.field(i).type for i, name in enumerate(names)}
    if not all(_is_plain(kind) for kind in kinds.values()):
        return None
    coded = [
        typed
        for typed, name in zip(header, names, strict=True)
        if name in roles.keys and _is_text(kinds[name])
    ]
    file = pyarrow.parquet.ParquetFile(path, read_dictionary=coded)
    with ThreadPoolExecutor(1) as beside:
        digest = beside.submit(_fingerprint, path)
        batches = file.iter_batches(batch_size=1_000_000)
        blocks: list[Block] = []
        _side_by_side(
            batches,
            lambda batch: block_of(dict(zip(names, batch.columns, strict=True)), roles),
            blocks,
        )
        return GraftFile(header=header, columns=names, blocks=blocks, sha256=digest.result())


def _is_text(kind: Any) -> bool:
    return bool(pa.types.is_string(kind) or pa.types.is_large_string(kind))


def _is_plain(kind: Any) -> bool:
    """Text, whole numbers, numbers and days: kinds that read alike either way."""
    if pa.types.is_dictionary(kind):
        return _is_text(kind.value_type)
    of_numbers = pa.types.is_integer(kind) or pa.types.is_float32(kind) or pa.types.is_float64(kind)
    return bool(_is_text(kind) or of_numbers or pa.types.is_date32(kind))


def _fingerprint(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


# --- one after another, on all cores -----------------------------------------------------


def _side_by_side(
    items: Iterator[Item], work: Callable[[Item], Block], blocks: list[Block]
) -> None:
    """Work on a few blocks at a time; they are added in the order of the file."""
    cores = os.cpu_count() or 1
    waiting: deque[Future[Block]] = deque()

    def keep(future: Future[Block]) -> None:
        block = future.result()
        if block.size:
            blocks.append(block)

    with ThreadPoolExecutor(cores) as pool:
        try:
            for item in items:
                waiting.append(pool.submit(work, item))
                if len(waiting) > cores:
                    keep(waiting.popleft())
            while waiting:
                keep(waiting.popleft())
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise
