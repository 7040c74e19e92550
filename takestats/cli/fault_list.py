"""How does a grower read the faults of the records? By file, in row order."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pandas import DataFrame

_HEADINGS = {
    "error": "Must be put right (the row cannot be used):",
    "query": "Please look at (kept as typed):",
}


def fault_lines(problems: DataFrame) -> list[str]:
    """List faults by file; in each file the errors first, then the queries.

    Parameters
    ----------
    problems : pandas.DataFrame
        One row per fault: kind, file, sheet, row, column, value, rule, next_step.

    Returns
    -------
    list of str
        Lines to print; none when there are no faults.
    """
    lines: list[str] = []
    for file, of_file in problems.groupby("file", sort=False, dropna=False):
        lines.append(_shown(file) or "the records")
        for kind, heading in _HEADINGS.items():
            rows = of_file[of_file["kind"] == kind].to_dict("records")
            if rows:
                lines.append(f"  {heading}")
            for row in rows:
                lines.extend(_one({str(name): value for name, value in row.items()}))
    return lines


def _one(fault: dict[str, object]) -> list[str]:
    sheet, row = _shown(fault.get("sheet")), _shown(fault.get("row"))
    column, value = _shown(fault.get("column")), _shown(fault.get("value"))
    where = ", ".join(
        part
        for part in (
            f"sheet {sheet}" if sheet else "",
            f"row {row}" if row else "",
            f"column {column}" if column else "",
        )
        if part
    )
    found = f': "{value}"' if value else ""
    lines = [f"    {where or 'whole file'}{found}", f"      {_shown(fault.get('rule'))}"]
    step = _shown(fault.get("next_step"))
    if step:
        lines.append(f"      Next: {step}")
    return lines


def _shown(value: object) -> str:
    """Text of a cell; blank for a missing one, whole numbers without a point."""
    if value is None or value != value or str(value) in {"", "<NA>", "NaT"}:
        return ""
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)
