"""Do the papers carry every tray of the layout, in its place, with its treatment?"""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

import pytest

import takestats as ts
from takestats.bench.layout import BenchLayout
from takestats.bench.tray_codes import is_tray_code
from takestats.errors import DesignError
from takestats.pages.bench_asked import layout_of_settings
from takestats.pages.bench_papers import PAPERS, bench_papers
from takestats.pages.bench_workbook import layout_book
from takestats.records.settings import read_trial
from takestats.wording.bench_papers import column_head
from takestats.wording.cautions import CAUTIONS
from tests.pages.filled_layout import SETTINGS
from tests.pages.page_words import page_words

SPLIT = {**SETTINGS, "bench": {**SETTINGS["bench"], "split_trays": True}}


def papers(given: dict[str, Any]) -> tuple[BenchLayout, dict[str, str]]:
    trial = read_trial(given)
    layout = layout_of_settings(trial)
    return layout, {n: p.decode("utf-8") for n, p in bench_papers(layout, trial).items()}


def items(html: str, start: str, end: str) -> list[str]:
    return [" ".join(unescape(re.sub(r"<[^>]+>", " ", found)).split())
            for found in re.findall(rf"{start}(.*?){end}", html, flags=re.DOTALL)]  # fmt: skip


@pytest.mark.parametrize("given", [SETTINGS, SPLIT], ids=["whole", "split"])
def test_every_tray_stands_on_every_paper_with_its_treatment(given: dict[str, Any]) -> None:
    layout, made = papers(given)
    rows = layout.table.to_dict("records")
    codes = list(dict.fromkeys(row["tray"] for row in rows))
    labels = items(made[PAPERS[1]], '<li class="label">', "</li>")
    boxes = items(made[PAPERS[2]], r"<li>(?=<span class=\"at\">)", "</li>")
    sheet = items(made[PAPERS[0]], '<tr>\n<th scope="row"', "</tr>")
    assert [said.split()[0] for said in labels] == codes
    assert [said.split()[1] for said in boxes] == codes
    assert all(map(is_tray_code, codes))
    assert len(sheet) == len(rows)
    for at, row in enumerate(rows):
        tray = codes.index(row["tray"])
        wood, method = row["scion_wood"], row["method"]
        for said in (labels[tray], boxes[tray]):
            if "half" in row:
                assert f"{row['half']}: {method}" in said
                assert said.count(wood) == 1
            else:
                assert f"{method}, {wood}" in said
        assert f"{row['block']}, place {row['position']}" in labels[tray]
        assert boxes[tray].startswith(f"{row['position']} {row['tray']}")
        assert f"{row['tray']} " in sheet[at].removeprefix('class="tray">')
        assert f"{row['position']} {method} {wood}" in sheet[at]


def test_the_columns_of_the_sheet_stand_in_the_order_of_the_workbook() -> None:
    layout, made = papers(SETTINGS)
    columns = layout_book(layout, read_trial(SETTINGS)).layout.columns
    heads = items(made[PAPERS[0]], '<th scope="col"[^>]*>', "</th>")
    of_block = heads[: len(heads) // 4]
    wanted = [c for c in columns if c not in ("block", "scion", "understock")]
    assert of_block == [column_head(name) for name in wanted]


def test_there_is_a_box_for_every_graft_and_none_where_the_size_is_not_known() -> None:
    _, made = papers(SETTINGS)
    assert made[PAPERS[0]].count("<i></i>") == 32 * 30
    _, made = papers(SPLIT)
    assert made[PAPERS[0]].count("<i></i>") == 32 * 15
    bench = {k: v for k, v in SETTINGS["bench"].items() if k != "tray_size"}
    _, made = papers({**SETTINGS, "bench": bench})
    assert made[PAPERS[0]].count("<i></i>") == 0


def test_cautions_stand_at_the_foot_and_invented_data_says_so() -> None:
    layout, made = papers(SETTINGS)
    words = page_words(made[PAPERS[0]])
    for caution in CAUTIONS:
        assert words.count(caution) == 4  # once for each day
    assert words.count("Blank is not 0") == 4
    for name in PAPERS:
        assert "INVENTED DATA, seed 20260114" in page_words(made[name])
        assert f"seed {layout.seed}" in page_words(made[name])
    assert made[PAPERS[1]].count('class="invented"') == 32
    own = {k: v for k, v in SETTINGS.items() if k not in ("invented", "seed", "truth")}
    _, plain = papers(own)
    assert "INVENTED" not in "".join(plain.values())


def test_a_page_fetches_nothing_and_a_name_is_never_markup() -> None:
    bench = {
        **SETTINGS["bench"],
        "treatments": {"donor": ["<b>bed</b> 1", "bed & 2"], "method": ["cleft"]},
    }
    _, made = papers({**SETTINGS, "title": "<script> \u202eleft", "bench": bench})
    for html in made.values():
        assert "://" not in html
        assert "<script" not in html
        assert "<b>bed" not in html
        assert "\u202e" not in html


def test_a_label_takes_its_size_from_the_settings() -> None:
    bench = {**SETTINGS["bench"], "label_width_mm": 70, "label_height_mm": 30.5}
    _, made = papers({**SETTINGS, "bench": bench})
    assert "width: 70.0mm; height: 30.5mm" in made[PAPERS[1]]


def test_a_label_that_cannot_hold_its_words_is_refused() -> None:
    bench = {**SETTINGS["bench"], "label_width_mm": 30, "label_height_mm": 12}
    with pytest.raises(DesignError) as told:
        papers({**SETTINGS, "bench": bench})
    assert told.value.told() == (
        "labels: a label of 30 by 12 mm for tray A3AA and its treatment\n"
        "  Rule: A label shows the code large enough to be read at arm's length, and the whole "
        "treatment.\n"
        "  Next: Nearest: make it larger, like label_width_mm = 70 and label_height_mm = 32, or "
        "use short names for the plants."
    )


def test_four_files_are_written(tmp_path: Path) -> None:
    layout = ts.bench_layout({"method": ["cleft", "splice"]}, 2, tray_size=20, seed=3)
    paths = ts.write_bench(layout, tmp_path / "new" / "folder")
    assert [path.name for path in paths] == ["records.xlsx", *PAPERS]
    assert all(path.stat().st_size > 1000 for path in paths)
    assert "Block 1" not in paths[1].read_text("utf-8")
