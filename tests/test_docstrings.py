"""Does every public name tell its question, units, errors, limits and source, with an example?"""

from __future__ import annotations

import doctest
import inspect
import re

import pytest

import takestats
from takestats.errors import TakeError

FUNCTIONS = [name for name in takestats.__all__ if not inspect.isclass(getattr(takestats, name))]
CLASSES = [name for name in takestats.__all__ if name not in FUNCTIONS]
SECTIONS = ["Parameters", "Returns", "Raises", "Notes", "References", "Examples"]
# Said of a source: a year, a standard or a page of this project, or that there is none.
SOURCE = re.compile(r"\b(19|20)\d\d\b|from memory|no source|own|IC?NCP|reports/|As for|Each table")


def told(name: str) -> str:
    return inspect.getdoc(getattr(takestats, name)) or ""


def section(text: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^\S[^\n]*\n---|\Z)", text, re.DOTALL | re.MULTILINE)
    return found.group(1).strip() if found else ""


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_tells_all_of_it(name: str) -> None:
    text = told(name)
    assert text.splitlines()[0].endswith("?"), "the first line is the question"
    assert not [title for title in SECTIONS if not section(text, title)]
    assert SOURCE.search(section(text, "References"))
    assert doctest.DocTestParser().get_examples(section(text, "Examples"))
    assert "+SKIP" not in text


@pytest.mark.parametrize("name", FUNCTIONS)
def test_every_parameter_is_told_and_no_other(name: str) -> None:
    signature = inspect.signature(getattr(takestats, name))
    lines = section(told(name), "Parameters").splitlines()
    heads = [line.split(" : ")[0] for line in lines if line and not line.startswith(" ")]
    named = [part for head in heads for part in head.replace(",", " ").split()]
    assert sorted(named) == sorted(signature.parameters)


@pytest.mark.parametrize("name", CLASSES)
def test_a_class_tells_what_it_is_and_what_it_holds(name: str) -> None:
    text, kind = told(name), getattr(takestats, name)
    assert re.match(r"[A-Z].*\.$", text.splitlines()[0])
    if issubclass(kind, TakeError):
        assert "__init__" not in vars(kind) or section(text, "Parameters")
    else:
        assert section(text, "Parameters")
    if kind.__base__ is not TakeError:  # those below it are used as it is
        assert doctest.DocTestParser().get_examples(section(text, "Examples"))


def test_the_reader_of_sections_can_fail() -> None:
    text = "Who?\n\nParameters\n----------\nx : int\n\nReturns\n-------\nint\n"
    assert section(text, "Parameters") == "x : int"
    assert section(text, "Notes") == ""
