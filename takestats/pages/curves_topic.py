"""What does the page say of calipers and dates: curves, and which species forgive?"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from takestats.charts.curve import CurveLine, curve_chart
from takestats.pages.along import WITHIN, Along, along, wanted_curves
from takestats.pages.bench_part import count_dates
from takestats.pages.forgiving_part import season_forgiving
from takestats.pages.parts import Block, Cells, Picture, Points, Section, Words
from takestats.pages.rows import number, rows_of, slug
from takestats.pages.topic import Topic
from takestats.wording.along import Place, Window
from takestats.wording.along_told import (
    CURVE_HEADER,
    NO_CURVE_HEADING,
    SEEN_ALONG,
    along_heading,
    behind_words,
    bench_window_words,
    five_caption,
    window_detail,
    window_words,
)
from takestats.wording.charts import both_counts, difference_value, take_value
from takestats.wording.forgiving import FORGIVING_HEADING, drops_caption, drops_header, rule_words
from takestats.wording.layered import unit_words
from takestats.wording.numbers import level_text
from takestats.wording.said import dates_words
from takestats.wording.sections import counted_line

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.forgiving import Forgiving
    from takestats.pages.gathered import Gathered

LEVEL = 0.95
MOST_SHAPES = 4
Say = Callable[[str], None]


def curves_topic(found: Gathered, marker: str, say: Say) -> Topic | None:
    """Take along calipers and dates, and which species forgive a thin scion.

    Parameters
    ----------
    found : Gathered
    marker : str
        For the charts: INVENTED DATA, a citation, or blank.
    say : callable
        Told what is being done.

    Returns
    -------
    Topic or None
        None where neither a caliper, nor a match, nor a full date is recorded.
    """
    wanted = wanted_curves(found)
    sections: list[Section] = []
    tables: list[tuple[str, str, DataFrame]] = []
    notes: list[str] = []
    bench: list[str] = []
    lacking = list(wanted.said)
    known = set(found.model.notes)
    for over in wanted.drawn:
        say(f"along {over}".replace("_", " "))
        one = along(found, over)
        if isinstance(one, str):
            lacking.append(one)
            continue
        sections.append(_curve_section(found, one, marker))
        name = slug(over).replace("-", "_")
        what = f"take along {over}, 25 places, band place by place"
        tables.append((f"take_along_{name}", what, one.curve.table))
        within = f"where the take along {over} is within 5 points of its best"
        tables.append((f"window_along_{name}", within, one.window.table))
        told = (note for note in one.window.notes if note not in known)
        notes += [f"Take along {one.scale.name}: {note}" for note in told]
        bench += _bench(one)
    if lacking and wanted.recorded:
        sections.append(
            _section("without-a-curve", NO_CURVE_HEADING, [Points(items=tuple(lacking))])
        )
    say("which species forgive a thin scion")
    answer, said = season_forgiving(found)
    if answer is not None or said:
        counted = counted_line(found.model.count or "", count_dates(found))
        sections.append(_forgiving_section(answer, said, counted))
    if answer is not None:
        what = f"drop of take from matched to {answer.other}, species by species"
        tables.append(("drop_by_caliper_match_within_species", what, answer.table))
        told = (note for note in answer.notes if note not in known)
        notes += [f"Caliper match inside species: {note}" for note in told]
    if not sections:
        return None
    return Topic(
        sections=tuple(sections), tables=tuple(tables), notes=tuple(notes), bench=tuple(bench)
    )


def _places(one: Along) -> tuple[Place, ...]:
    columns = [one.curve.over, "take_rate", "low", "high"]
    return tuple(Place(*row) for row in one.curve.table[columns].to_numpy(dtype=float).tolist())


def _window(one: Along) -> Window:
    row = rows_of(one.window.table)[0]
    return Window(*(number(row[name]) for name in Window._fields))


def _bench(one: Along) -> list[str]:
    """One sentence for the bench, where take is lost anywhere."""
    places, window = _places(one), _window(one)
    said = bench_window_words(one.scale, window, (places[0].at, places[-1].at), WITHIN)
    return [said] if said else []


def _curve_section(found: Gathered, one: Along, marker: str) -> Section:
    """The window, what is behind it, the chart, and the curve at five places."""
    places, window = _places(one), _window(one)
    ends = (places[0].at, places[-1].at)
    best = max(places, key=lambda place: place.take)
    values = one.curve.trays[one.curve.over]
    model = one.model
    nowhere = float("nan")
    behind = behind_words(
        one.scale,
        trays=nowhere if found.records.no_trays else float(model.trays),
        grafts=float(model.grafts),
        blank=one.blank,
        values=int(values.nunique()),
        ends=(float(values.min()), float(values.max())),
        beside=model.factors,
        layer=unit_words(model.grouping) if model.grouping else "",
    )
    line = CurveLine(name="", places=places, window=window, dots=_dots(found, one))
    chart = partial(
        curve_chart,
        [line],
        one.scale,
        name=f"along-{slug(one.curve.over)}",
        within=WITHIN,
        level=LEVEL,
        marker=marker,
    )
    five = [places[i] for i in range(0, len(places), (len(places) - 1) // 4)]
    shown = Cells(
        caption=five_caption(one.scale),
        header=(one.scale.axis, *CURVE_HEADER),
        rows=tuple(
            (one.scale.place(place.at), take_value(place.take, place.low, place.high))
            for place in five
        ),
        numbers=(False, True),
    )
    said = window_words(one.scale, window, ends, WITHIN)
    blocks: list[Block] = [
        Words(text=f"{said} {window_detail(one.scale, window, best, ends, WITHIN, LEVEL)}"),
        Picture(draw=chart),
        shown,
        Words(text=behind),
        Words(text=counted_line(model.count or "", dates_words(model.count_dates))),
        Words(text=SEEN_ALONG),
    ]
    key = f"along-{slug(one.curve.over)}"
    return _section(key, along_heading(one.scale), blocks)


def _dots(found: Gathered, one: Along) -> dict[str, list[tuple[float, float]]]:
    """Raw takes of the trays, by level of the main factor where its levels are few."""
    trays = one.curve.trays
    lines = one.model.lines
    main = found.main if found.main in one.model.factors else ""
    if not main or lines[main].nunique() > MOST_SHAPES:
        names = [""] * len(trays)
    else:
        names = [level_text(value) for value in lines[main]]
    dots: dict[str, list[tuple[float, float]]] = {}
    pairs = trays[[one.curve.over, "raw_rate"]].to_numpy(dtype=float).tolist()
    for name, (value, rate) in zip(names, pairs, strict=True):
        dots.setdefault(name, []).append((value, rate))
    return dict(sorted(dots.items()))


def _forgiving_section(answer: Forgiving | None, said: tuple[str, ...], counted: str) -> Section:
    """The verdicts with their rule, species by species."""
    if answer is None:
        return _section("forgiving", FORGIVING_HEADING, [Points(items=said)])
    shown = Cells(
        caption=drops_caption(answer.other),
        header=drops_header(answer.other),
        rows=tuple(
            (
                level_text(row[answer.species]),
                difference_value(row["drop"], row["low"], row["high"]),
                str(row["verdict"]),
                both_counts(number(row["trays_matched"]), number(row["trays_other"])),
                both_counts(number(row["grafts_matched"]), number(row["grafts_other"])),
            )
            for row in rows_of(answer.table)
        ),
        numbers=(False, True, False, True, True),
    )
    blocks: list[Block] = [
        Words(text=answer.sentences[0]),
        shown,
        Words(text=rule_words(answer.other, answer.allowed, answer.level)),
    ]
    if answer.held is not None:
        blocks.append(Points(items=answer.held.sentences))
    if said:
        blocks.append(Points(items=said))
    blocks += [Words(text=counted), Words(text=SEEN_ALONG)]
    return _section("forgiving", FORGIVING_HEADING, blocks)


def _section(key: str, heading: str, blocks: list[Block]) -> Section:
    return Section(key=key, heading=heading, part="season", blocks=tuple(blocks))
