"""What stands in the columns of a parquet file, once they are known to be a table?"""

from __future__ import annotations

import io
import re
from typing import Any

import pandas as pd

from takestats.errors import FileError
from takestats.records.limits import refuse_many_cells, refuse_unpacked, refuse_wide
from takestats.records.typed_sheet import not_a_table

_ROW_NAMES = re.compile(r"__index_level_\d+__\Z")
"""Columns in which some programs keep the numbers of the rows."""


def parquet_frame(data: bytes, label: str) -> pd.DataFrame:
    """The columns of a parquet file; refused when it is no flat table, or too large."""
    try:
        return _frame(data, label)
    except (FileError, MemoryError):
        raise
    except Exception as fault:  # whatever the library meets in a damaged file
        raise not_a_table(label, "the file is not a parquet table") from fault


def _frame(data: bytes, label: str) -> pd.DataFrame:
    import pyarrow as pa
    import pyarrow.compute as pc
    import pyarrow.parquet as pq

    about = pq.ParquetFile(io.BytesIO(data)).metadata
    schema = about.schema.to_arrow_schema()
    refuse_wide(len(schema), label)
    refuse_many_cells(about.num_rows * about.num_columns, label)
    refuse_unpacked(
        sum(about.row_group(i).total_byte_size for i in range(about.num_row_groups)), label
    )
    nested = next((field for field in schema if pa.types.is_nested(field.type)), None)
    if nested is not None:
        raise not_a_table(
            label,
            f'the column "{nested.name}" holds lists, not single values',
            "Give every value a column or a row of its own.",
        )
    texts = [field.name for field in schema if _is_text(field.type)]
    # A text that stands in many rows is kept once: a small file cannot become a large table.
    table = pq.read_table(io.BytesIO(data), read_dictionary=texts)
    columns: dict[int, Any] = {}
    names: list[str] = []
    for name, column in zip(table.column_names, table.columns, strict=True):
        if _ROW_NAMES.match(name):
            continue
        kind = column.type.value_type if pa.types.is_dictionary(column.type) else column.type
        if pa.types.is_binary(kind) or pa.types.is_fixed_size_binary(kind):
            column = pc.cast(pc.cast(column, pa.binary()), pa.string())
        values = column.to_pandas(integer_object_nulls=True, ignore_metadata=True)
        columns[len(names)] = values.astype(object)
        names.append(name)
    frame = pd.DataFrame(columns)
    frame.columns = pd.Index(names, dtype=object)
    return frame


def _is_text(kind: object) -> bool:
    import pyarrow as pa

    return any(is_(kind) for is_ in (pa.types.is_string, pa.types.is_large_string))
