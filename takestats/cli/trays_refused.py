"""A question cannot be asked: which option is meant, and what can be asked instead?"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

from takestats.errors import CountsError, DesignError

_COMMANDS = {
    "trays_to_estimate": "`takestats trays estimate`",
    "trays_to_tell_apart": "`takestats trays tell-apart`",
    "trays_to_exceed_floor": "`takestats trays above-floor`",
    "trays_to_show_no_worse": "`takestats trays no-worse`",
    "two_stage": "`takestats trays two-stage`",
    "plan_new_combination": "`takestats trays new`",
}
#: Arguments of the planning functions whose option has another name.
_NAMES = {
    "take_a": "--takes",
    "take_b": "--takes",
    "within_trays": "--both-in-each-tray",
    "objective": "--least-total",
}
_ONLY_IN_PYTHON = {
    "plan whole trays (within_trays=False)": "plan whole trays (leave out --both-in-each-tray)",
    "leave past out": "leave --past out",
    "past records as past=": "past records with --past FILE",
    ", or for a lower level": "",
    ", basis tray_model": "",
    ", tray model": "",
    " arms,": " methods,",
    "(take_rates)": "(`takestats report`)",
}
_ARGUMENTS = (
    "tray_size|at_most_grafts|most_trays|within_trays|margin|floor|promising|power|alpha|arms|icc"
    "|take|past|scion|understock|take_a|take_b|objective|new|standard"
)


@contextmanager
def as_options(**other_names: str) -> Iterator[None]:
    """Tell a refusal in the words of the command line: options instead of arguments.

    Parameters
    ----------
    **other_names : str
        Arguments that this command gives another name, as ``standard="--standard-take"``.
    """
    try:
        yield
    except (CountsError, DesignError) as error:
        raise type(error)(
            where=_where(error.where, other_names),
            what=_told(error.what) if error.where == "within_trays" else error.what,
            rule=_text(error.rule, other_names),
            next_step=_text(error.next_step, other_names),
        ) from error


def _option(name: str, other_names: dict[str, str]) -> str:
    return other_names.get(name) or _NAMES.get(name) or f"--{name.replace('_', '-')}"


def _where(where: str, other_names: dict[str, str]) -> str:
    parts = [part.strip() for part in where.split(",")]
    known = {*_ARGUMENTS.split("|"), *other_names}
    named = [_option(part, other_names) if part in known else part for part in parts]
    return ", ".join(dict.fromkeys(named))


def _told(text: str) -> str:
    for inside, told in _ONLY_IN_PYTHON.items():
        text = text.replace(inside, told)
    return text


def _text(text: str, other_names: dict[str, str]) -> str:
    text = _told(text)
    for name, command in _COMMANDS.items():
        text = re.sub(rf"\b{name}\b", command, text)
    text = re.sub(
        rf"\b({_ARGUMENTS})=([\d.]+\d|\d)",
        lambda m: f"{_option(m.group(1), other_names)} {m.group(2)}",
        text,
    )
    return re.sub(
        r"\b(tray_size|at_most_grafts|most_trays)\b",
        lambda m: _option(m.group(1), other_names),
        text,
    )
