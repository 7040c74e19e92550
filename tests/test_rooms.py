"""Do the rooms keep to their own work? Read from the sources, not from what is imported.

import-linter keeps the order of the rooms; these are the habits that it cannot see.
"""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "takestats"
TESTS = Path(__file__).parent
SOURCES = sorted(p for p in PACKAGE.rglob("*.py") if "_demo" not in p.parts)
MOST_LINES = 330

# A width or an alignment inside a format specification is layout; a count of
# digits after a point, or a percent sign, is rounding.
ROUNDING_SPEC = re.compile(r"\.\d+|[eEfFgG%]$")


@cache
def text_of(path: Path) -> str:
    return path.read_text("utf-8")


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(text_of(path))


def room(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@cache
def imported(path: Path) -> tuple[str, ...]:
    return tuple(_imported(path))


def _imported(path: Path) -> Iterator[str]:
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module or ""
            if node.module == "takestats":
                yield from (f"takestats.{alias.name}" for alias in node.names)


def keeps_every_digit_shown(call: ast.Call) -> bool:
    """Tell arithmetic from rounding for show.

    To a whole number (a count of steps, a test for whole counts), or to so many digits
    that only the noise of floating point is cut (keys that group equal lines).
    """
    if isinstance(call.func, ast.Attribute) and getattr(call.func.value, "id", "") != "np":
        return False
    digits = [*call.args[1:], *(word.value for word in call.keywords)]
    if not digits:
        return True
    return isinstance(digits[0], ast.Constant) and int(str(digits[0].value)) >= 8


def roundings(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Find where a number is cut to some digits: calls, format specs, % formats."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func
            name = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
            numeric = isinstance(called, ast.Attribute) and getattr(called.value, "id", "") == "np"
            if numeric:
                continue  # arrays rounded to be compared or grouped, never to be shown
            if name in {"round", "around"} and not keeps_every_digit_shown(node):
                yield node.lineno, name
            if name in {"format_float_positional", "to_string"}:
                yield node.lineno, name
            if name == "format" and isinstance(called, ast.Attribute):
                text = called.value
                if isinstance(text, ast.Constant) and re.search(r"\.\d+[efg%]", str(text.value)):
                    yield node.lineno, "format"
        elif isinstance(node, ast.FormattedValue) and node.format_spec is not None:
            spec = "".join(
                str(part.value)
                for part in ast.walk(node.format_spec)
                if isinstance(part, ast.Constant)
            )
            if ROUNDING_SPEC.search(spec):
                yield node.lineno, f":{spec}"
        elif (
            isinstance(node, ast.BinOp)
            and isinstance(node.op, ast.Mod)
            and isinstance(node.left, ast.Constant)
            and isinstance(node.left.value, str)
            and re.search(r"%\.?\d*[efg]", node.left.value)
        ):
            yield node.lineno, node.left.value


def test_there_is_something_to_read() -> None:
    assert len(SOURCES) > 10


ROOMS = sorted({room(path) for path in SOURCES})


@pytest.mark.parametrize("name", ROOMS)
class TestEveryRoom:
    """Each habit, source by source: every source that breaks it is named."""

    @pytest.fixture
    def sources(self, name: str) -> list[Path]:
        found = [path for path in SOURCES if room(path) == name]
        assert found
        return found

    def test_nobody_inside_imports_the_root(self, sources: list[Path]) -> None:
        named = {
            path.name: [
                alias.name
                for node in ast.walk(tree_of(path))
                if isinstance(node, ast.ImportFrom) and node.module == "takestats"
                for alias in node.names
            ]
            + [module for module in imported(path) if module == "takestats"]
            for path in sources
        }
        found = {source: names for source, names in named.items() if names}
        assert not found, f"import from the room itself, not from the root: {found}"

    def test_only_wording_rounds(self, name: str, sources: list[Path]) -> None:
        if name == "wording":
            return
        found = {path.name: list(roundings(tree_of(path))) for path in sources}
        found = {source: lines for source, lines in found.items() if lines}
        assert not found, f"rounding outside takestats/wording: {found}"

    def test_only_charts_draw(self, name: str, sources: list[Path]) -> None:
        drawers = {"matplotlib", "seaborn", "PIL"}
        drawing = {
            path.name: {m for m in imported(path) if m.split(".")[0] in drawers} for path in sources
        }
        found = {source: modules for source, modules in drawing.items() if modules}
        assert name == "charts" or not found, f"drawing outside charts: {found}"

    def test_only_pages_write_pages_and_workbooks(self, name: str, sources: list[Path]) -> None:
        if name == "pages":
            return
        for path in sources:
            assert not {m for m in imported(path) if m.split(".")[0] == "jinja2"}, path.name
            calls = {
                node.func.attr
                for node in ast.walk(tree_of(path))
                if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
            }
            assert not calls & {"to_excel", "to_html", "create_sheet"}, path.name

    def test_a_file_answers_one_question(self, sources: list[Path]) -> None:
        lines = {path.name: len(text_of(path).splitlines()) for path in sources}
        found = {source: number for source, number in lines.items() if number > MOST_LINES}
        assert not found, f"lines: {found}: split them"

    def test_it_opens_with_a_docstring(self, sources: list[Path]) -> None:
        assert not [path.name for path in sources if not ast.get_docstring(tree_of(path))]


#: Libraries that are installed by another name than they are imported by.
_CALLED = {"PIL": "pillow"}


def test_what_is_imported_is_declared_and_what_is_declared_is_imported() -> None:
    project = tomllib.loads((PACKAGE.parent / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {re.split(r"[<>=\[ ]", line)[0].lower() for line in project["dependencies"]}
    used = {name.split(".")[0] for path in SOURCES for name in imported(path)}
    used -= set(sys.stdlib_module_names) | {"takestats"}
    assert {_CALLED.get(name, name) for name in used} == declared


def test_no_drawer_for_odds_and_ends() -> None:
    for place in (PACKAGE, TESTS):
        named = [
            str(p.relative_to(place))
            for p in place.rglob("*")
            if "node_modules" not in p.parts
            and re.search(r"(^|_)(utils?|helpers?|misc|common)(_|$)", p.stem)
        ]
        assert not named


def test_every_room_has_its_tests() -> None:
    rooms = {p.name for p in PACKAGE.iterdir() if p.is_dir() and list(p.glob("*.py"))}
    for name in sorted(rooms - {"_demo", "__pycache__"}):
        assert list((TESTS / name).glob("test_*.py")), f"tests/{name} is missing or empty"


def test_a_mirrored_test_file_names_a_source_that_exists() -> None:
    for name in sorted(p.name for p in PACKAGE.iterdir() if p.is_dir()):
        sources = {p.stem for p in (PACKAGE / name).glob("*.py")}
        for test in (TESTS / name).glob("test_*.py"):
            subject = test.stem.removeprefix("test_")
            assert any(subject.startswith(stem) for stem in sources | {name}), (
                f"{test.name} tests no file of takestats/{name}"
            )


def test_the_rounding_reader_can_fail() -> None:
    for text in ("round(x, 2)", "f'{x:.1f}'", "f'{x:.{n}f}'", "'%.2f' % x", "f'{x:.0%}'"):
        assert list(roundings(ast.parse(text))), text
    assert list(roundings(ast.parse("table.round(2)")))
    for text in (
        "round(x / step)",
        "x == np.round(x)",
        "np.round(x, 11)",
        "f'{x:,}'",
        "f'{x:>12}'",
        "'%s' % x",
        "x % 2",
    ):
        assert not list(roundings(ast.parse(text))), text
