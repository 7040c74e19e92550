"""What do the answers to the opening questions mean?

Every answer comes as typed and is read here, so that a question, an option and a
test meet the same rules.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from takestats.errors import SettingsError
from takestats.records.classes import class_bounds
from takestats.records.columns import BY_NAME, COLUMNS
from takestats.records.headers import read_header
from takestats.records.methods import read_method
from takestats.records.pairs import split_pair
from takestats.records.plant_cells import known_genera, name_key, read_plant
from takestats.wording.numbers import listing

DEFAULTS: dict[str, str] = {
    "title": "Graft trial",
    "question": "",
    "compare": "method",
    "methods": "cleft, side veneer",
    "standard": "",
    "randomised": "no",
    "record": "",
    "plants": "",
    "names": "",
    "tray_size": "",
    "caliper_unit": "mm",
    "classes": "",
    "later": "no",
}
"""Each question with the answer that Enter gives, in the order they are asked."""

SEASON_DEFAULTS: dict[str, str] = {
    **{key: DEFAULTS[key] for key in ("methods", "plants", "names", "tray_size")},
    "title": "Grafting season",
    "record": "method, scion wood",
    "caliper_unit": "mm",
    "classes": "",
    "later": "no",
}
"""The same for ordinary grafting, where nothing is compared on purpose."""

NOTHING = "-"
"""Typed for a blank answer where Enter gives another."""

_ORDER = tuple(DEFAULTS)
_LATER = ("alive_later", "later_count_date", "saleable", "saleable_date")
_OFFERED = tuple(
    c.name for c in COLUMNS if c.role in ("place", "treatment") or c.name in ("licence", "trial")
)
_YES, _NO = ("yes", "y", "true"), ("no", "n", "false", "")


def questions(*, season_only: bool) -> dict[str, str]:
    """The questions in order, each with its default."""
    given = SEASON_DEFAULTS if season_only else DEFAULTS
    return {key: given[key] for key in _ORDER if key in given}


def is_asked(key: str, answers: Mapping[str, str], *, season_only: bool) -> bool:
    """Whether a question still matters after the answers so far."""
    columns = called_for(answers, season_only=season_only)
    if key == "methods":
        return "method" in columns
    if key == "caliper_unit":
        return any(BY_NAME[name].kind == "length" for name in columns)
    if key == "classes":
        return "caliper_class" in columns
    if key == "names":
        return bool(_short_names(answers))
    return True


def default_of(key: str, answers: Mapping[str, str], *, season_only: bool) -> str:
    """The answer that Enter gives; the standard is the first graft named."""
    if key == "standard" and "method" in called_for(answers, season_only=season_only):
        methods = read_answer("methods", answers.get("methods", DEFAULTS["methods"]), answers)
        return methods[0] if methods else ""
    return questions(season_only=season_only)[key]


def read_answer(key: str, typed: str, answers: Mapping[str, str]) -> tuple[str, ...]:
    """Read one answer as typed; ``answers`` are those given before.

    Parameters
    ----------
    key : str
        The question.
    typed : str
    answers : mapping of str to str
        Earlier answers as typed.

    Returns
    -------
    tuple of str
        What it means, part by part.

    Raises
    ------
    SettingsError
        When it cannot be used, in four parts.
    """
    text = " ".join(typed.split())
    text = "" if text == NOTHING else text
    if not text.isprintable():
        rule = "A sign that is not printed cannot be typed into a sheet."
        raise _wrong(key, ascii(text), rule, "Type it with letters, figures and signs.")
    if key in ("compare", "record"):
        return tuple(dict.fromkeys(_column(key, part) for part in _parts(text, ",")))
    if key == "methods":
        return tuple(dict.fromkeys(_method(part) for part in _parts(text, ",")))
    if key in ("plants", "names", "classes"):
        return _pairs(key, text, answers)
    if key == "standard":
        return (_standard(text, answers),) if text else ()
    if key == "randomised":
        return (_one_of(key, text, ("tray", "half", "graft", "no")),)
    if key == "caliper_unit":
        return (_one_of(key, text, ("mm", "in")),)
    if key == "later":
        return (_yes_no(key, text),)
    if key == "tray_size" and text and not (text.isdecimal() and 1 <= int(text) <= 10_000):
        raise _wrong(key, text, "A tray holds a whole number of grafts.", "Type it like 30.")
    return (text,) if text else ()


def called_for(answers: Mapping[str, str], *, season_only: bool) -> tuple[str, ...]:
    """The columns that the answers so far call for, beside those always there."""
    wanted: list[str] = []
    for key in ("record",) if season_only else ("compare", "record"):
        asked = answers.get(key, questions(season_only=season_only)[key])
        wanted += [name for name in read_answer(key, asked, answers) if name in BY_NAME]
    if read_answer("later", answers.get("later", "no"), answers) == ("yes",):
        wanted += _LATER
    return tuple(dict.fromkeys(wanted))


def sides_of(parts: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The scions and the understocks of the plants that were named."""
    scions: dict[str, None] = {}
    understocks: dict[str, None] = {}
    for part in parts:
        text = part.rsplit(" = ", 1)[0]
        pair = split_pair(text)
        scions.setdefault(pair[0] if pair else text)
        if pair:
            understocks.setdefault(pair[1])
    return tuple(scions), tuple(understocks)


def _short_names(answers: Mapping[str, str]) -> list[str]:
    """Plants of the answers that are not full names."""
    parts = read_answer("plants", answers.get("plants", ""), {})
    both = [name for side in sides_of(parts) for name in side]
    genera = known_genera([], {name: name for name in both})
    return [name for name in both if read_plant(name, {}, [], genera).query == "short_name"]


def _pairs(key: str, text: str, answers: Mapping[str, str]) -> tuple[str, ...]:
    out: list[str] = []
    for part in _parts(text, ";"):
        left, sign, right = (piece.strip() for piece in part.partition("="))
        if key == "plants":
            out.append(_plant(left, sign, right))
        elif not (left and right):
            how = {"names": "short = Genus species 'Cultivar'", "classes": "thin = 6 to 8 mm"}[key]
            raise _wrong(key, part, "A name and its meaning are parted by =.", f"Type {how}.")
        elif key == "classes" and not class_bounds({left: right}):
            rule = "A caliper class lies between two calipers."
            raise _wrong(key, part, rule, "Type it like thin = 6 to 8 mm.")
        else:
            out.append(f"{left} = {right}")
    if key == "names" and out:
        _all_known(dict(pair.split(" = ", 1) for pair in out), answers)
    return tuple(out)


def _plant(left: str, sign: str, right: str) -> str:
    number = right.removesuffix("plants").strip().replace(",", "")
    if sign and not (left and number.isdecimal()):
        raise _wrong(
            "plants",
            f"{left} = {right}",
            "Plants wanted are a whole number.",
            "Type it like copper moth on virginiana = 200.",
        )
    return f"{left} = {number}" if sign else left


def _all_known(names: Mapping[str, str], answers: Mapping[str, str]) -> None:
    """Once some short names are explained, all are, or check would refuse the others."""
    known = {name_key(short) for short in names}
    left = [name for name in _short_names(answers) if name_key(name) not in known]
    if left:
        raise _wrong(
            "names",
            listing(left),
            "Where short names are explained, every one is.",
            f"Add {left[0]} = Genus species 'Cultivar'.",
        )


def _column(key: str, text: str) -> str:
    """A column by its name or any of its headings; the pair of plants goes by combination."""
    plain_words = text.lower()
    if plain_words in ("combination", "plants", "plant"):
        return "combination"
    header = read_header(text)
    if header.known and header.name in _OFFERED:
        return header.name
    known = [name.removesuffix("_mm").replace("_", " ") for name in (*_OFFERED, "combination")]
    near = get_close_matches(plain_words.replace("_", " "), known, n=1, cutoff=0.6)
    hint = f'Is it "{near[0]}"?' if near else f"Known: {', '.join(known)}."
    raise _wrong(key, text, "It must be something that is written down for a tray.", hint)


def _method(text: str) -> str:
    read = read_method(text, {})
    if read.fault == "ambiguous_method":
        raise _wrong(
            "methods",
            text,
            "This word means different grafts in different nurseries.",
            f"Write one of: {listing(read.choices, 'or')}.",
        )
    if read.fault == "method_near":
        raise _wrong("methods", text, "This graft is not known.", f'Is it "{read.choices[0]}"?')
    return str(read.text)


def _standard(text: str, answers: Mapping[str, str]) -> str:
    compared = read_answer("compare", answers.get("compare", DEFAULTS["compare"]), {})
    if "method" not in compared:
        return text
    methods = read_answer("methods", answers.get("methods", DEFAULTS["methods"]), {})
    read = read_method(text, {}).text
    if read is None or (read not in methods and compared == ("method",)):
        rule = f"The standard is one of the grafts you make: {listing(methods)}."
        raise _wrong("standard", text, rule, "Write one of these.")
    return read if read in methods else text


def _one_of(key: str, text: str, words: tuple[str, ...]) -> str:
    word = {
        "inch": "in",
        "inches": "in",
        "trays": "tray",
        "halves": "half",
        "grafts": "graft",
        "none": "no",
    }.get(text.lower(), text.lower())
    if word not in words:
        raise _wrong(key, text, f"It is one of: {listing(words, 'or')}.", "Write one of these.")
    return word


def _yes_no(key: str, text: str) -> str:
    if text.lower() in _YES:
        return "yes"
    if text.lower() in _NO:
        return "no"
    raise _wrong(key, text, "It is yes or no.", "Write one of these.")


def _parts(text: str, sign: str) -> list[str]:
    return [part.strip() for part in text.split(sign) if part.strip()]


def _wrong(key: str, typed: str, rule: str, next_step: str) -> SettingsError:
    where = f"--{key.replace('_', '-')}"
    return SettingsError(where=where, what=f'"{typed}"', rule=rule, next_step=next_step)
