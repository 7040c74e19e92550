"""Which options do the commands share?"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Files = Annotated[
    list[str],
    typer.Argument(
        metavar="FILE",
        help="Grafting records: .csv, .tsv, .xlsx or .parquet; several files at once.",
        show_default=False,
    ),
]
Trial = Annotated[
    Path | None,
    typer.Option(
        "--trial",
        metavar="SETTINGS.toml",
        help="Settings of the trial: short names, date order, what to compare.",
    ),
]
Out = Annotated[
    Path | None,
    typer.Option("--out", metavar="FOLDER", help="Folder to write into."),
]
AsJson = Annotated[
    bool,
    typer.Option("--json", help="Print one JSON object: proportions, nothing rounded."),
]
SetAside = Annotated[
    bool,
    typer.Option(
        "--set-aside",
        help="Set faulty rows aside and go on; every output names them.",
    ),
]
