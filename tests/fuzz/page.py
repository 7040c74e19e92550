"""How is a run over broken files told in one small table?"""

from __future__ import annotations

from collections.abc import Mapping

from tests.fuzz.run import Tally

KINDS = {
    "planted": "one to four known faults planted in a sound sheet (.csv, .xlsx, .parquet)",
    "csv": ".csv: bytes turned, cut, doubled; nasty texts in cells",
    "xlsx": ".xlsx: the archive, or the XML of one part",
    "parquet": ".parquet: bytes, the footer, columns of kinds that no record has",
    "settings": "settings (.toml): bytes, or values that are something else",
}
HEADINGS = (
    *("kind", "files", "read", "refused in four parts", "planted cells", "told at their cell"),
    *("tracebacks", "over {seconds} s", "slowest, s"),
)


def page(tallies: Mapping[str, Tally], files: int, seed: int, seconds: float) -> str:
    """The table in Markdown."""
    lines = [
        "# Files broken on purpose",
        "",
        f"`python -m tests.fuzz --files {files} --seed {seed} --page reports/fuzz.md` cuts sound "
        "files from the invented seasons of Quern Hollow (INVENTED DATA), breaks them, and reads "
        "each; one in ten goes through the command `check` as well. A planted fault counts as told "
        "when its file, sheet, row and column stand in the problems or in the changes.",
        "",
        "| " + " | ".join(HEADINGS).format(seconds=f"{seconds:.0f}") + " |",
        "|" + "---|" * len(HEADINGS),
    ]
    for kind, tally in tallies.items():
        cells = (
            KINDS[kind],
            *(f"{number:,}" for number in (tally.files, tally.read, tally.refused)),
            f"{tally.planted:,}" if tally.planted else "",
            f"{tally.told:,}" if tally.planted else "",
            f"{len(tally.stumbles):,}",
            f"{len(tally.hangs):,}",
            f"{tally.slowest:.1f}",
        )
        lines.append("| " + " | ".join(cells) + " |")
    return "\n".join(lines) + "\n"
