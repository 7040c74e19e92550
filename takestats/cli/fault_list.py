"""How does a grower read the faults of the records? By file, in row order."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING

from takestats.wording.numbers import count_of

if TYPE_CHECKING:
    from pandas import DataFrame

_HEADINGS = {
    "error": "Must be put right (the row cannot be used):",
    "query": "Please look at (kept as typed):",
}


MOST_ALIKE = 3
"""More faults of one rule in one column are told once, with the rows that have it."""
_WIDTH = 100
_HOLD = "\u00a0"  # keeps a row and its value on one line


def fault_lines(problems: DataFrame) -> list[str]:
    """List faults by file; in each file the errors first, then the queries.

    Parameters
    ----------
    problems : pandas.DataFrame
        One row per fault: kind, file, sheet, row, column, value, rule, next_step.

    Returns
    -------
    list of str
        Lines to print; none when there are no faults. No fault is left out: one that
        stands in many rows of a column is told once, and every row is named.
    """
    lines: list[str] = []
    for file, of_file in problems.groupby("file", sort=False, dropna=False):
        lines.append(_shown(file) or "the records")
        for kind, heading in _HEADINGS.items():
            rows = of_file[of_file["kind"] == kind].to_dict("records")
            if rows:
                lines.append(f"  {heading}")
            alike = _alike([{str(name): value for name, value in row.items()} for row in rows])
            for faults in alike:
                lines.extend(_one(faults[0]))
                lines.extend(_other_rows(faults[1:]))
    return lines


def _alike(faults: list[dict[str, object]]) -> list[list[dict[str, object]]]:
    """Put many faults of one rule in one column together, at the place of the first."""
    groups: dict[tuple[str, ...], list[dict[str, object]]] = {}
    for fault in faults:
        groups.setdefault(_rule_of(fault), []).append(fault)
    out: list[list[dict[str, object]]] = []
    for fault in faults:
        group = groups[_rule_of(fault)]
        if len(group) <= MOST_ALIKE:
            out.append([fault])
        elif group[0] is fault:
            out.append(group)
    return out


def _rule_of(fault: dict[str, object]) -> tuple[str, ...]:
    return tuple(_shown(fault.get(name)) for name in ("sheet", "column", "rule", "next_step"))


def _other_rows(faults: list[dict[str, object]]) -> list[str]:
    if not faults:
        return []
    told = [
        f'{_shown(f.get("row"))} "{_shown(f.get("value"))}"'.replace(" ", _HOLD) for f in faults
    ]
    text = f"The same in {count_of(len(faults), 'other row')}: {', '.join(told)}"
    lines = wrap(
        text,
        _WIDTH,
        initial_indent=" " * 6,
        subsequent_indent=" " * 8,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace(_HOLD, " ") for line in lines]


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
