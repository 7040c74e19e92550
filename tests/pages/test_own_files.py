"""Which files are ours, and what may their names be? The rest is held in test_files.py."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from takestats.pages.own_files import MANIFEST, OwnFiles, is_plain
from takestats.pages.rows import slug


def test_the_list_names_each_file_with_its_fingerprint(tmp_path):
    own = OwnFiles({}).with_set({"a.html": b"x", "tables/b.csv": b"y"})
    (tmp_path / MANIFEST).write_text(own.text(), "utf-8")
    again = OwnFiles.of(tmp_path)
    assert again.sets == own.sets
    assert again.names_of("a.html") == ["a.html", "tables/b.csv"]
    told = json.loads(own.text())
    # The SHA-256 of "x", from the command sha256sum of GNU coreutils 9.1.
    assert told["files"]["a.html"]["a.html"] == (
        "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881"
    )
    (tmp_path / "a.html").write_bytes(b"x")
    assert again.holds(tmp_path, "a.html")
    (tmp_path / "a.html").write_bytes(b"z")
    assert not again.holds(tmp_path, "a.html")
    assert not again.holds(tmp_path, "tables/b.csv")


NAMES = st.one_of(
    st.text(min_size=1),
    st.sampled_from(
        ["../../x", "CON", "nul.txt", "x" * 5000, "сорт", "a/b\\c", "\u202e", "..", "."]
    ),
)


@given(names=st.lists(NAMES, min_size=2, max_size=2, unique=True))
def test_a_slug_is_always_the_name_of_a_file_and_two_stay_two(names):
    for name in names:
        for stem in ("take_by_", "take-", "along-", "difference_of_differences_by_x_within_"):
            assert is_plain(f"tables/{stem}{slug(name)}.csv")
    plain = [" ".join(name.lower().replace("_", " ").replace("-", " ").split()) for name in names]
    if plain[0] != plain[1]:
        assert slug(names[0]) != slug(names[1])
