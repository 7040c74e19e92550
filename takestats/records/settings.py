"""What did the grower settle for this trial, and is every word of it understood?"""

from __future__ import annotations

import datetime as dt
import hashlib
import math
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from takestats.errors import FileError, SettingsError
from takestats.records.cost_steps import cost_faults
from takestats.records.each_of import EachFault, each_of
from takestats.records.file_bytes import bytes_of
from takestats.records.known_settings import ALSO, BY_PLACE, SECTIONS, SETTINGS, Setting
from takestats.records.limits import MOST_SETTINGS, too_large
from takestats.records.shares import typed_number
from takestats.wording.banner import banner_line


@dataclass(frozen=True, eq=False, kw_only=True)
class TrialSettings:
    """The settings of a trial, section by section.

    Parameters
    ----------
    title, source, reconstructed, truth : str
        Blank when not given. ``truth`` says where the known truth of invented
        records is; ``reconstructed`` what was worked back from printed figures.
    invented : bool
        The records are made up.
    seed : int or None
        The seed that invented records were made with.
    trial, records, names, methods, classes, compare, bench, targets, costs, work : dict
        One dict for each section, only with what was given.
    file : str
        The file or sheet the settings were read from; blank for a dict.
    sha256 : str
        Of the settings file; blank for a sheet or a dict.
    """

    title: str = ""
    invented: bool = False
    seed: int | None = None
    truth: str = ""
    source: str = ""
    reconstructed: str = ""
    trial: dict[str, Any] = field(default_factory=dict)
    records: dict[str, Any] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    methods: dict[str, str] = field(default_factory=dict)
    classes: dict[str, Any] = field(default_factory=dict)
    compare: dict[str, Any] = field(default_factory=dict)
    bench: dict[str, Any] = field(default_factory=dict)
    targets: dict[str, Any] = field(default_factory=dict)
    costs: dict[str, Any] = field(default_factory=dict)
    work: dict[str, Any] = field(default_factory=dict)
    file: str = ""
    sha256: str = ""

    @property
    def banner(self) -> str:
        """The line that stands first wherever invented or published records are shown."""
        return banner_line(
            invented=self.invented,
            seed=self.seed,
            truth=self.truth,
            source=self.source,
            reconstructed=self.reconstructed,
        )


def read_trial(path_or_dict: str | Path | Mapping[str, Any]) -> TrialSettings:
    """What is settled for this trial?

    Parameters
    ----------
    path_or_dict : str, Path or mapping
        A TOML file, or the same keys as a dict. A key of a section may also be
        given without its section, or as ``section.key``.

    Returns
    -------
    TrialSettings

    Raises
    ------
    FileError
        When the file is missing or is not TOML.
    SettingsError
        When a key is unknown (the nearest known one is named) or a value cannot
        be used. All faults are told at once.

    Examples
    --------
    >>> settings = read_trial({"title": "Cleft or veneer", "records": {"trays": "none"}})
    >>> settings.records["trays"]
    'none'
    """
    if isinstance(path_or_dict, Mapping):
        return _settled(path_or_dict, "settings", "")
    path = Path(path_or_dict)
    try:
        there = path.is_file()
    except (OSError, ValueError):  # a name that no file can have
        there = False
    if not there:
        raise FileError(
            where=str(path_or_dict),
            what="there is no such file of settings",
            rule="The settings must be in a file that exists.",
            next_step="Check the name and the folder.",
        )
    content = bytes_of(path, path.name)
    if len(content) > MOST_SETTINGS:
        raise too_large(
            path.name,
            f"{len(content):,} bytes of settings",
            f"A file of settings has at most {MOST_SETTINGS:,} bytes.",
            "Keep the settings of one trial; records stand in files of their own.",
        )
    try:
        given = tomllib.loads(content.decode("utf-8-sig"))
    except RecursionError as fault:
        raise FileError(
            where=path.name,
            what="the settings stand too many levels deep",
            rule="Settings have sections, and lists of words in them; nothing deeper.",
            next_step="Take the brackets out that are too many.",
        ) from fault
    except ValueError as fault:  # of the TOML, of its letters, or of a number with no end
        raise FileError(
            where=path.name,
            what=f"the settings cannot be read ({fault})",
            rule="Settings are a TOML file saved as UTF-8: key = value, text in double quotes.",
            next_step="Correct the line that is named.",
        ) from fault
    settled = _settled(given, path.name, path.name)
    return replace(settled, sha256=hashlib.sha256(content).hexdigest())


def trial_of_sheet(rows: list[list[Any]], label: str) -> TrialSettings:
    """The settings of a sheet with two columns: what, value."""
    given: dict[str, Any] = {}
    twice: list[str] = []
    for row in rows:
        cells = ["" if cell is None else cell for cell in row]
        what = str(cells[0]).strip() if cells else ""
        value = cells[1] if len(cells) > 1 else ""
        heading = what.lower() == "what" and str(value).strip().lower() == "value"
        if not what or value == "" or heading:
            continue
        if what in given and given[what] != value:
            twice.append(what)
        given[what] = value.date().isoformat() if isinstance(value, dt.datetime) else value
    if twice:
        raise SettingsError(
            where=label,
            what="; ".join(dict.fromkeys(twice)),
            rule="A setting stands once.",
            next_step="Keep the row that is right and take the other out.",
        )
    return _settled(given, label, label)


def _settled(given: Mapping[str, Any], where: str, file: str) -> TrialSettings:
    faults: list[tuple[str, str, str]] = []
    kept: dict[str, Any] = {section: {} for section in SECTIONS}
    for key, value in _flat(given):
        section, name, setting = _place(key)
        if setting is None:
            near = _nearest(section, name)
            hint = f'Is it "{near}"?' if near else f"Known sections: {', '.join(SECTIONS)}."
            faults.append((".".join(key), "There is no such setting.", hint))
            continue
        try:
            read = _value(setting, value)
        except _Refused as refused:
            faults.append((f"{'.'.join(key)} = {value!r}", refused.rule, refused.next_step))
            continue
        if section:
            kept[section][name] = read
        else:
            kept[name] = read
    faults += cost_faults(kept["costs"], kept["methods"])
    if faults:
        raise SettingsError(
            where=where,
            what="; ".join(fault[0] for fault in faults),
            rule=" ".join(dict.fromkeys(fault[1] for fault in faults)),
            next_step=" ".join(dict.fromkeys(fault[2] for fault in faults)),
        )
    return TrialSettings(**kept, file=file)


def _flat(given: Mapping[str, Any]) -> list[tuple[tuple[str, ...], Any]]:
    out: list[tuple[tuple[str, ...], Any]] = []
    for key, value in given.items():
        name = str(key).strip()
        if isinstance(value, Mapping) and name.lower() in SECTIONS:
            out.extend(((name.lower(), str(k).strip()), v) for k, v in value.items())
        elif "." in name and name.split(".", 1)[0].strip().lower() in SECTIONS:
            section, rest = name.split(".", 1)
            out.append(((section.strip().lower(), rest.strip()), value))
        else:
            out.append(((name,), value))
    return out


def _place(key: tuple[str, ...]) -> tuple[str, str, Setting | None]:
    """Section, key and declaration; a bare key may belong to any one section."""
    if len(key) == 2:
        section, name = key
        plain = _plain(name)
        if (section, plain) in BY_PLACE:
            return section, plain, BY_PLACE[section, plain]
        if (section, "*") in BY_PLACE:
            return section, name, BY_PLACE[section, "*"]
        return section, name, None
    plain = _plain(key[0])
    if ("", plain) in BY_PLACE:
        return "", plain, BY_PLACE["", plain]
    for section in SECTIONS:
        if (section, plain) in BY_PLACE:
            return section, plain, BY_PLACE[section, plain]
    return "", key[0], None


def _plain(name: str) -> str:
    return re.sub(r"[\s-]+", "_", name.strip().lower())


def _nearest(section: str, name: str) -> str | None:
    known = [s.key for s in SETTINGS if s.key != "*" and section in ("", s.section)]
    near = get_close_matches(_plain(name), [*known, *SECTIONS], n=1, cutoff=0.6)
    return near[0] if near else None


class _Refused(Exception):
    def __init__(self, rule: str, next_step: str) -> None:
        self.rule, self.next_step = rule, next_step
        super().__init__(rule)


def _value(setting: Setting, value: Any) -> Any:
    name = setting.key
    if setting.kind in ("any", "cost"):  # costs are checked together, when all are known
        return value
    if setting.kind == "text":
        if name == "reconstructed" and isinstance(value, bool):
            return "yes" if value else ""
        if isinstance(value, Mapping | list | tuple):
            raise _Refused(f'"{name}" is a text.', "Write it in one line.")
        return str(value).strip()
    if setting.kind == "words":
        return _words(name, value)
    if setting.kind in ("shares", "wholes", "numbers", "unions"):
        try:
            return each_of(name, value, setting.kind)
        except EachFault as fault:
            raise _Refused(fault.rule, fault.next_step) from fault
    if setting.kind == "yes_no":
        return _yes_no(name, value)
    if setting.kind == "fill":
        if isinstance(value, list | tuple):
            return [str(v) for v in value]
        try:
            return _yes_no(name, value)
        except _Refused:
            return _words(name, value)
    if setting.kind == "one_of":
        return _one_of(setting, value)
    return _number(setting, value)


def _words(name: str, value: Any) -> list[str]:
    if isinstance(value, str):
        return [part.strip() for part in value.split(",") if part.strip()]
    if isinstance(value, list | tuple) and all(isinstance(v, str) for v in value):
        return [v.strip() for v in value]
    raise _Refused(f'"{name}" is a list of column names.', f'Write {name} = ["method", "block"].')


def _yes_no(name: str, value: Any) -> bool:
    if isinstance(value, bool):
        return value
    word = str(value).strip().lower()
    if word in {"yes", "true", "y", "1"}:
        return True
    if word in {"no", "false", "n", "0"}:
        return False
    raise _Refused(f'"{name}" is true or false.', f"Write {name} = true or {name} = false.")


def _one_of(setting: Setting, value: Any) -> str:
    word = " ".join(str(value).strip().lower().split())
    word = ALSO.get(setting.key, {}).get(word, word)
    if word in setting.one_of:
        return word
    choices = ", ".join(setting.one_of)
    raise _Refused(f'"{setting.key}" is one of: {choices}.', "Write one of these words.")


def _number(setting: Setting, value: Any) -> float | int:
    name = setting.key
    number, unit = typed_number(value)
    if math.isnan(number):
        raise _Refused(f'"{name}" is a number.', f"Write {name} = 5.")
    if setting.kind == "share":
        share = number / 100 if unit == "percent" else number
        if not 0 <= share <= 1:
            raise _Refused(
                f'"{name}" is a share: 0.9 or "90%".',
                f'Is it "{str(value).strip()}%"? Then write it with the sign.',
            )
        return share
    if number < 0:
        raise _Refused(f'"{name}" cannot be below zero.', "Check the number.")
    if setting.kind == "whole":
        if not number.is_integer():
            raise _Refused(f'"{name}" is a whole number.', f"Write {name} = 5.")
        return int(number)
    return number
