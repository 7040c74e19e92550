"""Is the next command the one to type?"""

from __future__ import annotations

from pathlib import Path

import pandas as pd

from takestats.cli.next_step import command_line, first_question


def test_everything_given_is_given_again() -> None:
    typed = command_line("compare", ["a.csv"], Path("my trial.toml"), set_aside=True, by="method")
    assert typed == "`takestats compare a.csv --by method --trial 'my trial.toml' --set-aside`"


def test_the_first_column_that_differs_among_counted_trays_is_offered() -> None:
    trays = pd.DataFrame(
        {
            "method": ["cleft", "cleft", "side veneer"],
            "scion_wood": ["terminal", "sub_terminal", "terminal"],
            "counted": [True, True, False],
        }
    )
    assert first_question(trays) == "scion_wood"
    assert first_question(trays.iloc[:1]) is None


def test_the_settings_come_before_the_usual_columns() -> None:
    trays = pd.DataFrame(
        {"method": ["cleft", "saddle"], "root": ["bean", "cucumber"], "counted": [True, True]}
    )
    assert first_question(trays) == "method"
    assert first_question(trays, ["not there", "root"]) == "root"
