"""What does each step of a graft cost, in minutes and in money?

A step is written as text, in a file of settings or in the sheet ``trial``::

    0.5 min, 1.20, per taken, only cleft, assumed

Minutes, money, what the step is done for, which method or scion wood it is limited to,
and whether it was assumed: in any order, parted by a comma and a space (or a semicolon),
each left out where it does not apply.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from takestats.records.methods import read_method
from takestats.records.words import SCION_WOOD

PER = ("graft", "taken", "saleable")
OWN_KEYS = ("currency", "hour", "price", "assumed")
USUAL_STEPS = (
    "understock",
    "scion piece",
    "prepare and graft",
    "tie and seal",
    "label and place",
    "aftercare",
    "grow on",
)
"""Steps that a graft usually has (common practice, no source); others may be named."""

_PARTS = re.compile(r";\s*|,\s+")
_NUMBER = r"\d+(?:[.,]\d+)?"
_TIME = re.compile(rf"({_NUMBER})\s*(h|hours?|min|mins|minutes?|s|sec|seconds?)")
_MINUTES = {"h": 60.0, "m": 1.0, "s": 1.0 / 60.0}
_EITHER = re.compile(r"[1-9]\d{0,2},\d{3}")
_FIELDS = ("minutes", "money", "per", "only", "assumed")
_RULE = (
    "A step costs minutes, money or both, as 0.5 min, 1.20; it may be per graft, per taken or per "
    "saleable, only for one method or scion wood, and assumed."
)
_NEXT = 'Write it like "0.5 min, 1.20, per taken, only cleft, assumed".'


class CostFault(Exception):
    """A step that cannot be used: which rule it breaks and what to do now."""

    def __init__(self, rule: str, next_step: str) -> None:
        self.rule, self.next_step = rule, next_step
        super().__init__(rule)


@dataclass(frozen=True, kw_only=True)
class CostStep:
    """One step.

    Parameters
    ----------
    name : str
        As "tie and seal".
    minutes : float
        Of work.
    money : float
        Beside the work, in the currency of the settings.
    per : str
        "graft" (every graft made), "taken" or "saleable".
    only : tuple of (column, level) or None
        The method or scion wood that it is limited to.
    assumed : bool
        Not taken from the nursery's books.
    """

    name: str
    minutes: float = 0.0
    money: float = 0.0
    per: str = "graft"
    only: tuple[str, str] | None = None
    assumed: bool = False


@dataclass(frozen=True, kw_only=True)
class CostPlan:
    """All costs of the settings.

    Parameters
    ----------
    currency : str
        As "EUR"; blank when not given.
    hour, price : float or None
        Money for an hour of work; what a saleable plant sells for.
    steps : tuple of CostStep
    """

    currency: str
    hour: float | None
    price: float | None
    steps: tuple[CostStep, ...]

    @property
    def assumed(self) -> str:
        """Whether the steps were assumed: "all", "some" or blank."""
        told = [step.assumed for step in self.steps]
        return ("all" if all(told) else "some") if any(told) else ""

    @property
    def without_hour(self) -> tuple[str, ...]:
        """Steps whose minutes cannot be counted, because an hour has no price."""
        if self.hour is not None:
            return ()
        return tuple(step.name for step in self.steps if step.minutes > 0.0)

    @property
    def left_out(self) -> tuple[str, ...]:
        """Usual steps that the settings give no cost for."""
        named = {step.name.lower() for step in self.steps}
        return tuple(name for name in USUAL_STEPS if name not in named)

    def money_of(self, step: CostStep) -> float:
        """What a step costs once, minutes turned into money where an hour has a price."""
        return step.money + step.minutes / 60.0 * (self.hour or 0.0)


def cost_step(
    name: str, value: Any, *, currency: str = "", methods: Mapping[str, str] | None = None
) -> CostStep:
    """Read one step as it was written.

    Parameters
    ----------
    name : str
    value : str, number or mapping
        Text as above; a number is money per graft; a mapping has any of minutes, money,
        per, only, assumed.
    currency : str
        May stand beside the money.
    methods : mapping of str to str, optional
        The nursery's own words for methods.

    Returns
    -------
    CostStep

    Raises
    ------
    CostFault

    Examples
    --------
    >>> step = cost_step("aftercare", "0.5 min, 1.20, per taken")
    >>> step.minutes, step.money, step.per
    (0.5, 1.2, 'taken')
    """
    if isinstance(value, Mapping):
        given = _of_table(value)
    elif isinstance(value, str):
        given = _of_text(value, currency)
    else:
        given = {"money": _amount(value)}
    if "minutes" not in given and "money" not in given:
        raise CostFault(_RULE, _NEXT)
    if "only" in given:
        given["only"] = _limited_to(str(given["only"]), methods or {})
    return replace(CostStep(name=name), **given)


def cost_plan(costs: Mapping[str, Any], methods: Mapping[str, str]) -> CostPlan | None:
    """All costs of checked settings; None where no step is given.

    Parameters
    ----------
    costs, methods : mapping
        Sections of the settings, as :class:`takestats.records.settings.TrialSettings` has them.

    Raises
    ------
    CostFault
        Never, when the settings were read by this package.
    """
    currency = str(costs.get("currency", ""))
    every = bool(costs.get("assumed", False))
    steps = [
        cost_step(name, value, currency=currency, methods=methods)
        for name, value in costs.items()
        if name not in OWN_KEYS
    ]
    if not steps:
        return None
    return CostPlan(
        currency=currency,
        hour=costs.get("hour"),
        price=costs.get("price"),
        steps=tuple(replace(step, assumed=step.assumed or every) for step in steps),
    )


def cost_faults(costs: Mapping[str, Any], methods: Mapping[str, str]) -> list[tuple[str, str, str]]:
    """Every step that cannot be used: the key with its value, the rule, the next step."""
    faults = []
    seen: dict[str, str] = {}
    for name, value in costs.items():
        if name in OWN_KEYS:
            continue
        try:
            _check_name(name, seen)
            cost_step(name, value, currency=str(costs.get("currency", "")), methods=methods)
        except CostFault as fault:
            faults.append((f"costs.{name} = {value!r}", fault.rule, fault.next_step))
    return faults


def _check_name(name: str, seen: dict[str, str]) -> None:
    key = " ".join(name.lower().split())
    near = get_close_matches(key, OWN_KEYS, n=1, cutoff=0.75)
    if near:
        rule = "What is not currency, hour, price or assumed is the name of a step."
        raise CostFault(rule, f'Is it "{near[0]}"? Else give the step another name.')
    if key in seen:
        raise CostFault("A step stands once.", f'Put it together with "{seen[key]}".')
    seen[key] = name


def _of_text(text: str, currency: str) -> dict[str, Any]:
    given: dict[str, Any] = {}
    for part in (part.strip() for part in _PARTS.split(text) if part.strip()):
        name, value = _part(part, currency)
        if name in given:
            raise CostFault(_RULE, f'"{part}" says {name} a second time: write it once.')
        given[name] = value
    return given


def _part(part: str, currency: str) -> tuple[str, Any]:
    word = " ".join(part.lower().split())
    time = _TIME.fullmatch(word)
    if time:
        return "minutes", _decimal(time[1]) * _MINUTES[time[2][0]]
    if word == "assumed":
        return "assumed", True
    if word.startswith("per "):
        return "per", _per(word.removeprefix("per "))
    if word.startswith("only "):
        return "only", part.strip()[5:].strip()
    sign = re.escape(currency.strip().lower())
    bare = re.sub(rf"^{sign}\s*|\s*{sign}$", "", word) if sign else word
    if re.fullmatch(_NUMBER, bare):
        return "money", _decimal(bare)
    raise CostFault(_RULE, f'"{part}" is none of these. {_NEXT}')


def _decimal(text: str) -> float:
    if _EITHER.fullmatch(text):
        raise CostFault(
            "A comma inside a number is a decimal comma.",
            f'Is "{text}" {text.replace(",", "")} or {text.replace(",", ".")}? Write it so.',
        )
    return float(text.replace(",", "."))


def _per(word: str) -> str:
    found = word.removesuffix(" plant").strip()
    if found not in PER:
        raise CostFault(_RULE, f'Write per graft, per taken or per saleable for "per {word}".')
    return found


def _of_table(table: Mapping[str, Any]) -> dict[str, Any]:
    given: dict[str, Any] = {}
    for key, value in table.items():
        name = str(key).strip().lower()
        if name not in _FIELDS:
            near = get_close_matches(name, _FIELDS, n=1, cutoff=0.6)
            hint = f'Is it "{near[0]}"?' if near else _NEXT
            raise CostFault(f"A step has {', '.join(_FIELDS)}.", f'"{key}" is none. {hint}')
        if name in ("minutes", "money"):
            given[name] = _amount(value)
        elif name == "per":
            given[name] = _per(str(value).strip().lower())
        elif name == "assumed":
            if not isinstance(value, bool):
                raise CostFault('"assumed" is true or false.', "Write assumed = true.")
            given[name] = value
        else:
            given[name] = str(value).strip()
    return given


def _amount(value: Any) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < 1e9:
        raise CostFault(_RULE, _NEXT)
    return float(value)


def _limited_to(word: str, methods: Mapping[str, str]) -> tuple[str, str]:
    plain = " ".join(re.sub(r"[\s_-]+", " ", word.lower()).split())
    for wood, others in SCION_WOOD.items():
        if plain in (wood.replace("_", " "), *others):
            return "scion_wood", wood
    read = read_method(word, methods)
    if read.fault is not None and read.fault != "own_method":
        choices = " or ".join(read.choices)
        raise CostFault(
            "A step is limited to one method or one scion wood.", f'Is "{word}" {choices}?'
        )
    return "method", str(read.text)
