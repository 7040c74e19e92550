"""What is needed to make a page again, byte for byte?"""

from __future__ import annotations

import platform
import shlex
from collections.abc import Sequence
from importlib.metadata import version
from typing import TYPE_CHECKING

from takestats._version import __version__
from takestats.pages.parts import Cells, Section
from takestats.pages.rows import cell_text
from takestats.wording.numbers import NOT_RECORDED, column_words
from takestats.wording.statistician import AGAIN, AGAIN_HEADING, FROM_PYTHON

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered

# Those that read, compute, draw and write.
_LIBRARIES = (
    "numpy",
    "pandas",
    "scipy",
    "statsmodels",
    "pandera",
    "openpyxl",
    "pyarrow",
    "matplotlib",
    "jinja2",
)


def again_section(found: Gathered, command: Sequence[str]) -> Section:
    """Command, inputs with their digests, settings, seed and versions.

    Parameters
    ----------
    found : Gathered
    command : sequence of str
        What was asked for, without files and settings.
    """
    records = found.records
    settings = records.trial
    rows: list[tuple[str, str]] = [
        ("command", command_words(found, command)),
        *((f"input {name}", f"sha256 {digest}") for name, digest in records.sources),
    ]
    if settings.sha256:
        rows.append((f"settings {settings.file}", f"sha256 {settings.sha256}"))
    rows += [
        ("season analysed", found.season or NOT_RECORDED),
        ("count chosen", found.model.count or NOT_RECORDED),
        ("take is a share of", found.asked.out_of.replace("_", " ")),
        ("factors", ", ".join(column_words(name) for name in found.chosen.factors) or "none"),
        ("engine", found.model.engine.replace("_", " ")),
        ("seed", str(found.model.seed)),
        *found.settings,
        *versions(_LIBRARIES),
    ]
    table = Cells(
        caption=AGAIN,
        header=("what", "value"),
        rows=tuple((name, cell_text(value)) for name, value in rows),
        numbers=(False, False),
    )
    return Section(key="again", heading=AGAIN_HEADING, part="statistician", blocks=(table,))


def command_words(found: Gathered, command: Sequence[str]) -> str:
    """The command as it is typed where the files lie; records from elsewhere are said so."""
    records = found.records
    if not records.sources or not command:
        return FROM_PYTHON
    words = ["takestats", command[0], *(name for name, _ in records.sources), *command[1:]]
    if records.trial.sha256:
        words += ["--trial", records.trial.file]
    if len(records.set_aside):
        words.append("--set-aside")
    return shlex.join(words)


def versions(libraries: Sequence[str]) -> list[tuple[str, str]]:
    """The versions that a page was made with: this package, Python, and these libraries."""
    return [
        ("takestats", __version__),
        ("Python", platform.python_version()),
        *((name, version(name)) for name in libraries),
    ]
