"""LibreOffice without a window, or a reason why not."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

Convert = Callable[[list[Path], str], list[Path]]


def stop_or_skip(reason: str) -> None:
    if os.environ.get("TAKESTATS_REQUIRE_OFFICE"):
        pytest.fail(f"{reason}; TAKESTATS_REQUIRE_OFFICE is set")
    pytest.skip(reason)


@pytest.fixture(scope="session")
def convert(tmp_path_factory: pytest.TempPathFactory) -> Convert:
    """Open files in LibreOffice, recalculate them, and save them in another form."""
    office = shutil.which("soffice")
    if office is None:
        stop_or_skip("no LibreOffice (Debian: apt-get install libreoffice-calc-nogui)")
    profile = tmp_path_factory.mktemp("office_profile")

    def to(paths: list[Path], form: str) -> list[Path]:
        folder = paths[0].parent / f"as_{form}"
        words = ["--headless", f"-env:UserInstallation={profile.as_uri()}", "--convert-to", form]
        done = subprocess.run(
            [str(office), *words, "--outdir", str(folder), *map(str, paths)],
            capture_output=True,
            text=True,
            timeout=240,
            stdin=subprocess.DEVNULL,
        )
        made = [folder / f"{path.stem}.{form}" for path in paths]
        assert all(path.is_file() for path in made), done.stdout + done.stderr
        return made

    return to
