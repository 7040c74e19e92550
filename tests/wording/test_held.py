"""The one sentence that says whether a difference holds across strata."""

from __future__ import annotations

import pytest

from takestats.wording.held import Inside, empty_cells_line, held_sentence, verdict_of


def _row(first: str, second: str, more: float, low: float, high: float) -> dict[str, object]:
    clear = low > 0.0 or high < 0.0
    return {
        "first": first,
        "second": second,
        "more": more,
        "wide_low": low,
        "wide_high": high,
        "p_value": 0.01 if clear else 0.4,
        "p_adjusted": 0.01 if clear else 0.4,
    }


def _said(inside: list[Inside], contrasts: list[dict[str, object]], within: str) -> str:
    adjusted = [float(str(row["p_adjusted"])) for row in contrasts]
    verdict = verdict_of(inside, adjusted, 0.05)
    return held_sentence(verdict, ("cleft", "side veneer"), within, inside, contrasts, 0.95)


@pytest.mark.parametrize(
    ("inside", "contrasts", "within", "said"),
    [
        (
            [Inside("2024", -0.14, -0.22, -0.06), Inside("2025", -0.08, -0.16, -0.02)],
            [_row("2024", "2025", -0.06, -0.16, 0.05)],
            "season",
            "Side veneer took better than cleft in both seasons, by 8 to 14 points, each clear of "
            "zero; and how much more does not clearly differ (6 points more in 2024 than in 2025, "
            "95 % confidence interval 5 points less to 16 points more).",
        ),
        (
            [Inside("x", 0.20, 0.12, 0.3), Inside("y", 0.05, 0.01, 0.1),
             Inside("z", 0.1, 0.02, 0.2)],
            [_row("x", "y", 0.15, 0.04, 0.26), _row("x", "z", 0.1, -0.1, 0.3),
             _row("y", "z", -0.05, -0.2, 0.1)],
            "scion_species",
            "Cleft took better than side veneer in all 3 species, by 5 to 20 points, each clear of "
            "zero; but not by the same: 15 points more in x than in y, 95 % confidence interval "
            "4 to 26 points more, allowing for 3 pairs.",
        ),
        (
            [Inside("x", 0.20, 0.12, 0.3), Inside("y", -0.02, -0.1, 0.1)],
            [_row("x", "y", 0.22, 0.05, 0.4)],
            "caliper_class",
            "Cleft against side veneer differs across 2 levels of caliper class: 22 points more in "
            "x than in y, 95 % confidence interval 5 to 40 points more.",
        ),
        (
            [Inside("x", 0.12, 0.02, 0.3), Inside("y", -0.02, -0.1, 0.1)],
            [_row("x", "y", 0.14, -0.05, 0.4)],
            "scion_species",
            "Cleft against side veneer: these trays cannot tell whether the difference holds "
            "across 2 species (cleft was ahead in 1 of 2, clear of zero in 1; 14 points more in "
            "x than in y, 95 % confidence interval 5 points less to 40 points more).",
        ),
        (
            [Inside("x", 0.12, 0.02, 0.3)],
            [],
            "scion_species",
            "Only x has trays of both cleft and side veneer: whether the difference holds "
            "elsewhere, these trays cannot tell.",
        ),
    ],
)  # fmt: skip
def test_the_sentence(inside, contrasts, within, said) -> None:
    assert _said(inside, contrasts, within) == said
    assert "significan" not in said


def test_many_empty_cells_are_counted() -> None:
    cells = [("cleft", f"s{i}") for i in range(9)]
    assert "and 3 more" in str(empty_cells_line(cells, "method", "donor"))
    assert empty_cells_line([], "method", "donor") is None
