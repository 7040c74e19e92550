"""Which treatments are laid out, and is every word of them understood?"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from difflib import get_close_matches

from takestats.errors import DesignError
from takestats.records.columns import BY_NAME, COLUMNS
from takestats.records.headers import read_header
from takestats.records.methods import method_key, read_method
from takestats.records.pairs import split_pair
from takestats.wording import bench_refusals as words

Treatment = dict[str, str]

_WHERE = "treatments"
_OFFERED = tuple(c.name for c in COLUMNS if c.role == "treatment" and c.kind != "date")


def read_treatments(
    given: object, methods: Mapping[str, str] | None = None
) -> tuple[tuple[str, ...], list[Treatment]]:
    """Read treatments: a list of combinations, or factors with all their levels.

    Parameters
    ----------
    given : mapping or sequence of mapping
        Factor to levels (every level with every other), or one mapping for each treatment.
    methods : mapping of str to str, optional
        The nursery's own words for grafts, each with the word it means.

    Returns
    -------
    (columns, treatments)
        The columns in the order of the record sheet; the treatments in the order given.

    Raises
    ------
    DesignError
        When they cannot be laid out.

    Examples
    --------
    >>> read_treatments({"method": ["cleft", "side veneer"], "wood": ["terminal"]})[1]
    [{'method': 'cleft', 'scion_wood': 'terminal'}, {'method': 'side veneer', 'scion_wood': ...
    """
    if isinstance(given, Mapping):
        names = [str(name) for name in given]
        levels = [_levels(str(name), some) for name, some in given.items()]
        listed: list[object] = [
            dict(zip(names, some, strict=True)) for some in itertools.product(*levels)
        ]
    elif isinstance(given, Sequence) and not isinstance(given, str):
        listed = list(given)
    else:
        raise _refused(words.not_treatments(given))
    own = methods or {}
    read = [_treatment(one, at, own) for at, one in enumerate(listed, start=1)]
    if len(read) < 2:
        raise _refused(words.too_few_treatments(len(read)))
    first = set(read[0])
    for at, one in enumerate(read, start=1):
        if set(one) != first:
            raise _refused(words.other_columns(at, sorted(first), sorted(one)))
    columns = tuple(name for name in BY_NAME if name in first)
    ordered = [{name: one[name] for name in columns} for one in read]
    plain = [_meant(one, own) for one in ordered]
    for at, one_plain in enumerate(plain):
        if one_plain in plain[:at]:
            earlier = plain.index(one_plain) + 1
            raise _refused(words.twice(list(ordered[at].values()), earlier, at + 1))
    return columns, ordered


def _meant(treatment: Treatment, own: Mapping[str, str]) -> tuple[str, ...]:
    """What a treatment is, whichever words it is told in; two alike are one."""
    return tuple(
        ((read_method(value, own).text or value) if name == "method" else value).casefold()
        for name, value in treatment.items()
    )


def _levels(name: str, given: object) -> list[object]:
    if isinstance(given, str | int | float):
        return [given]
    if isinstance(given, Sequence) and given:
        return list(given)
    raise _refused(words.no_levels(name))


def _treatment(given: object, at: int, own: Mapping[str, str]) -> Treatment:
    if not isinstance(given, Mapping) or not given:
        raise _refused(words.not_a_treatment(at, given))
    out: Treatment = {}
    for key, value in given.items():
        text = " ".join(str(value).split())
        pair = split_pair(text) if str(key).strip().lower() == "combination" else None
        if pair is not None:
            cells = {"scion": pair[0], "understock": pair[1]}
        else:
            cells = {_column(str(key), at): text}
        for name, typed in cells.items():
            if not typed or value is None or not typed.isprintable():
                raise _refused(words.blank_level(name, at))
            if name in out:
                raise _refused(words.column_twice(name, at))
            out[name] = _word(name, typed, own)
    return out


def _column(typed: str, at: int) -> str:
    found = read_header(typed)
    if found.known and found.name in _OFFERED:
        return found.name
    near = get_close_matches(typed.lower(), _OFFERED, n=1, cutoff=0.6)
    raise _refused(words.no_such_column(typed, at, near[0] if near else "", _OFFERED))


def _word(name: str, typed: str, own: Mapping[str, str]) -> str:
    """Read a method as its word for the graft, and a word of a short list as itself.

    A word of the nursery's own stays as it is said there: labels and sheets are read by those
    who say it.
    """
    column = BY_NAME[name]
    if column.kind == "method":
        read = read_method(typed, own)
        if read.fault == "ambiguous_method":
            raise _refused(words.ambiguous(typed, read.choices))
        if read.fault == "method_near":
            raise _refused(words.method_near(typed, read.choices[0]))
        if read.text is None or read.fault is not None or method_key(typed) in _keys(own):
            return typed
        return _readable(read.text, typed, own)
    if column.kind == "word":
        plain = typed.lower().replace("_", " ").replace("-", " ")
        for word, others in column.words.items():
            if plain in {word.replace("_", " "), *(other.replace("-", " ") for other in others)}:
                return word
        raise _refused(words.not_a_word(name, typed, tuple(column.words)))
    return typed


def _keys(own: Mapping[str, str]) -> set[str]:
    return {method_key(word) for word in own}


def _readable(word: str, typed: str, own: Mapping[str, str]) -> str:
    """Keep what was typed where the word alone would be asked about ("side")."""
    return word if read_method(word, own).text == word else typed


def _refused(said: tuple[str, str, str]) -> DesignError:
    what, rule, next_step = said
    return DesignError(where=_WHERE, what=what, rule=rule, next_step=next_step)
