"""Which settings does a planned trial begin with, and may they be written here?"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from takestats.errors import FileError
from takestats.pages.toml_text import toml_text
from takestats.planning.plan_settings import Settings
from takestats.records.settings import TrialSettings
from takestats.wording import plan_page as words

FILE = "trial.toml"
#: What a nursery has settled once goes with every trial; what belongs to one trial does not.
_CARRIED = ("records", "names", "methods", "classes", "compare", "costs", "work")
_OUR_HEAD = words.header_lines("", "", "")[0]


def trial_settings(
    planned: Settings, nursery: TrialSettings, *, new: str, standard: str
) -> Settings:
    """The settings of the planned trial: the plan's, and what the nursery settled before.

    Parameters
    ----------
    planned : dict
        From :func:`takestats.planning.plan_settings.plan_settings`.
    nursery : TrialSettings
        Names, words and habits are taken over; title, question, targets and source are not.
    new, standard : str
        Names given with the plan; blank where there are none.
    """
    trial = dict(planned["trial"])
    first = {"question": trial["question"], "new": new, "standard": standard}
    names = {key: name for key, name in first.items() if name}
    trial = {**names, **{key: value for key, value in trial.items() if key not in names}}
    out: dict[str, dict[str, Any]] = {"trial": trial}
    if "bench" in planned:
        out["bench"] = dict(planned["bench"])
    for section in _CARRIED:
        given = getattr(nursery, section)
        if given:
            out[section] = dict(given)
    return out


def trial_text(settings: Settings, *, banner: str, size: str, range_line: str, pair: bool) -> str:
    """Write the settings, with what a reader must know above them.

    Parameters
    ----------
    settings : dict
    banner : str
        Of the past: invented or quoted; blank for own records.
    size : str
        The plan in a few words.
    range_line : str
        What the settings rest on where the plan is a range; blank else.
    pair : bool
        Whether the question is about a new one and a standard.
    """
    lacking = [
        key for key in (("new", "standard") if pair else ("new",)) if not settings["trial"].get(key)
    ]
    comments = list(words.header_lines(banner, size, range_line))
    if lacking:
        comments.append(words.names_wanted(lacking))
    return toml_text(settings, comments)


def refuse_other_settings(folder: Path, text: str | None = None) -> None:
    """Refuse a folder that holds the settings of another trial.

    Parameters
    ----------
    folder : Path
    text : str, optional
        What is to be written; not given where the plan is not made yet, and then only a file
        that no plan wrote is refused.

    Raises
    ------
    FileError
    """
    path = folder / FILE
    if not path.exists() and not path.is_symlink():
        return
    try:
        there = path.read_bytes()
    except OSError:
        there = b""
    first_lines = b"\n".join(there.splitlines()[:2])  # a banner of any length may stand first
    ours = _OUR_HEAD.encode("utf-8") in first_lines
    if there == (text or "").encode("utf-8") or (text is None and ours):
        return
    what, rule, step = words.foreign_settings(str(path), ours=ours)
    raise FileError(where=str(path), what=what, rule=rule, next_step=step)


def named(settings: Mapping[str, Mapping[str, Any]], *, pair: bool) -> bool:
    """Whether the report will know which levels are meant."""
    trial = settings["trial"]
    return bool(trial.get("new")) and (not pair or bool(trial.get("standard")))
