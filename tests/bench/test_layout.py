"""Does a layout hold what it says: balanced, by lot, drawn again, refused where it cannot be?"""

from __future__ import annotations

import itertools
import os
import time
from collections import Counter
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chi2

import takestats as ts
from takestats.bench.layout import BenchLayout
from takestats.records.layout_match import layout_fingerprint
from tests.bench.refusals import BOTH, FOUR, told

MESSAGES = Path(__file__).parent / "messages.txt"


def test_every_refusal_is_told_in_four_parts() -> None:
    said = told()
    if os.environ.get("TAKESTATS_PIN"):
        MESSAGES.write_text(said, encoding="utf-8")
    assert said == MESSAGES.read_text("utf-8")
    assert "NOT REFUSED" not in said


@st.composite
def layouts(draw: st.DrawFn) -> tuple[dict[str, object], BenchLayout]:
    methods = draw(st.integers(2, 4))
    woods = draw(st.integers(1, 3))
    split = draw(st.booleans()) and methods == 2
    blocks = draw(st.integers(1, 5))
    asked: dict[str, object] = {
        "treatments": {
            "method": ["cleft", "side veneer", "splice", "saddle"][:methods],
            "scion_wood": ["terminal", "sub_terminal", "basal"][:woods],
        },
        "trays_each": blocks * draw(st.integers(1, 3)),
        "blocks": draw(st.sampled_from([blocks, [f"bay {n}" for n in range(blocks)]])),
        "tray_size": draw(st.sampled_from([None, 20, 36])),
        "split_trays": split,
        "seed": draw(st.integers(0, 2**31 - 1)),
    }
    return asked, ts.bench_layout(**asked)  # type: ignore[arg-type]


@settings(max_examples=1000)
@given(layouts())
def test_any_layout_is_balanced_and_drawn_again_by_its_seed(
    drawn: tuple[dict[str, object], BenchLayout],
) -> None:
    asked, layout = drawn
    rows = layout.table.to_dict("records")
    names = layout.treatment_columns
    cells = Counter((row["block"], *(row[name] for name in names)) for row in rows)
    treatments = set(itertools.product(*asked["treatments"].values()))  # type: ignore[attr-defined]
    assert {key[1:] for key in cells} == treatments
    assert len(cells) == layout.blocks * len(treatments)
    assert set(cells.values()) == {layout.trays_each // layout.blocks}
    places = Counter((row["block"], row["position"]) for row in rows)
    assert set(places.values()) == {2 if layout.split_trays else 1}
    assert len({row["tray"] for row in rows}) == layout.trays == len(places)
    for block in {row["block"] for row in rows}:
        at = sorted({row["position"] for row in rows if row["block"] == block})
        assert at == list(range(1, layout.trays // layout.blocks + 1))
    if layout.split_trays:
        for first, second in zip(rows[::2], rows[1::2], strict=True):
            assert first["tray"] == second["tray"]
            assert (first["half"], second["half"]) == ("left", "right")
            assert first["method"] != second["method"]
            assert [first[n] for n in names[1:]] == [second[n] for n in names[1:]]
    again = ts.bench_layout(**asked)  # type: ignore[arg-type]
    assert again.table.equals(layout.table)
    assert again.fingerprint == layout.fingerprint


def test_every_place_of_a_block_is_as_likely_for_every_treatment() -> None:
    """Chi-square over 6,000 blocks; the seeds are fixed, so that it passes or fails for good."""
    seeds, blocks = 60, 100
    drawn = seeds * blocks
    counts: Counter[tuple[int, str]] = Counter()
    orders: Counter[tuple[str, ...]] = Counter()
    three = {"method": ["cleft", "splice", "saddle"]}
    for seed in range(seeds):
        layout = ts.bench_layout(three, blocks, blocks=blocks, seed=seed)
        methods = layout.table["method"].tolist()
        for at in range(0, len(methods), 3):
            order = tuple(methods[at : at + 3])
            orders[order] += 1
            counts.update(enumerate(order))
    expected = drawn / 3
    assert len(counts) == 9
    statistic = sum((n - expected) ** 2 / expected for n in counts.values())
    assert chi2.sf(statistic, 4) > 0.01  # 3 x 3 with both margins fixed: (3 - 1) x (3 - 1)
    expected = drawn / 6
    assert len(orders) == 6
    statistic = sum((n - expected) ** 2 / expected for n in orders.values())
    assert chi2.sf(statistic, 5) > 0.01


def test_either_half_is_as_likely_for_either_method() -> None:
    """Of 4,000 halves the count of one method on the left lies within four standard errors."""
    left = sum(
        int((layout.table.query("half == 'left'")["method"] == "cleft").sum())
        for layout in (ts.bench_layout(BOTH, 200, split_trays=True, seed=n) for n in range(20))
    )
    assert abs(left - 2000) < 4 * (4000 * 0.25) ** 0.5


def test_another_seed_another_layout() -> None:
    marks = {ts.bench_layout(BOTH, 8, seed=seed).fingerprint for seed in range(50)}
    assert len(marks) >= 49  # 12,870 orders; two of 50 alike would be one chance in ten


def test_a_missing_seed_is_made_and_written_down() -> None:
    first, second = ts.bench_layout(FOUR, 4), ts.bench_layout(FOUR, 4)
    assert first.seed_was_made
    assert first.seed != second.seed  # one chance in two thousand million of failing
    assert f"Seed {first.seed} was made" in first.in_words()
    again = ts.bench_layout(FOUR, 4, seed=first.seed)
    assert again.table.equals(first.table)
    assert f"Seed {first.seed} was given" in again.in_words()


def test_a_seed_draws_the_same_layout_in_years_to_come() -> None:
    """Pinned: a change here means that no old layout can be drawn again."""
    layout = ts.bench_layout(FOUR, 2, blocks=2, tray_size=30, seed=2026)
    rows = layout.table.to_dict("records")
    drawn = [f"{row['tray']} {row['method']} {row['scion_wood']}" for row in rows]
    assert drawn == PINNED
    assert layout.fingerprint == PINNED_MARK


PINNED = [
    "A3AA cleft terminal",
    "A3CH cleft basal",
    "A3EP side veneer basal",
    "A3HX side veneer terminal",
    "A3KC side veneer basal",
    "A3MK cleft basal",
    "A3PT cleft terminal",
    "A3TY side veneer terminal",
]
PINNED_MARK = "268fd4309742adb9"


def test_the_fingerprint_is_that_of_trays_blocks_and_treatments() -> None:
    layout = ts.bench_layout(FOUR, 2, blocks=2, seed=1)
    rows = layout.table.astype(str).to_dict("records")
    assert layout_fingerprint(rows, layout.factors) == layout.fingerprint
    rows[0]["method"], rows[1]["method"] = "splice", rows[1]["method"]
    assert layout_fingerprint(rows, layout.factors) != layout.fingerprint


def test_chosen_treatments_and_what_is_alike_in_all() -> None:
    layout = ts.bench_layout(
        [
            {"combination": "copper moth on virginiana", "method": "W&T"},
            {"combination": "copper moth on virginiana", "method": "sv"},
            {"combination": "grey sentry / virginiana", "method": "sv"},
        ],
        3,
        blocks={"heat zone": ["warm", "cool", "cold"], "grafter": "AB"},
        seed=5,
    )
    table = layout.table
    assert layout.treatment_columns == ("scion", "understock", "method")
    assert layout.factors == ("scion", "method")
    assert set(table["method"]) == {"whip-and-tongue", "side veneer"}
    assert layout.place_columns == ("heat_zone", "grafter")
    assert set(table["block"]) == {f"heat zone {z}, grafter AB" for z in ("warm", "cool", "cold")}
    assert table["grafts"].isna().all()
    assert "not recorded" in layout.in_words()


def test_the_words() -> None:
    words = ts.bench_layout(FOUR, 6, blocks=3, tray_size=30, split_trays=True, seed=7).in_words()
    assert words == (
        "12 trays in 3 blocks: 4 treatments, each in half of 6 trays, 2 in each block. Balanced: "
        "every treatment stands equally often in each block, and each tray holds two treatments, "
        "half and half; which half gets which was drawn by lot. 15 grafts in half a tray, 360 "
        "grafts in all. Seed 7 was given; it draws the same layout again."
    )
    one = ts.bench_layout(BOTH, 2, seed=7).in_words()
    assert "One block: nothing evens out a warm end" in one
    assert "2 trays of each is few" in one


def test_the_table_is_a_copy() -> None:
    layout = ts.bench_layout(BOTH, 2, seed=1)
    table = layout.table
    table.loc[0, "method"] = "splice"
    assert "splice" not in set(layout.table["method"])


def test_500_trays_are_drawn_within_two_seconds() -> None:
    begun = time.process_time()
    layout = ts.bench_layout(FOUR, 125, blocks=5, tray_size=30, seed=1)
    assert layout.trays == 500
    assert time.process_time() - begun < 2
