"""Which tray gets which treatment, and where does it stand? Drawn by lot, and balanced."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pandas import DataFrame

from takestats.bench.balance import checked_tray_size, pairs_of, trays_per_block
from takestats.bench.blocks import COLUMN_OF, Block, read_blocks
from takestats.bench.lot import MOST_SEED, Lot, made_seed
from takestats.bench.tray_codes import tray_codes
from takestats.bench.treatments import Treatment, read_treatments
from takestats.errors import DesignError
from takestats.models.result import TableResult
from takestats.records.layout_match import layout_fingerprint
from takestats.wording import bench_layout as told
from takestats.wording import bench_refusals as words


@dataclass(frozen=True, eq=False, kw_only=True)
class BenchLayout(TableResult):
    """A bench, tray by tray.

    Parameters
    ----------
    treatment_columns : tuple of str
        The columns that tell a treatment.
    factors : tuple of str
        Those in which the treatments differ: these were given by lot.
    place_columns : tuple of str
        Columns that say what a block is: bench, grafter, heat_zone.
    trays, trays_each, blocks : int
        How many there are, of each treatment, and parts of the bench.
    tray_size : int or None
        Cells in a tray; None when not settled.
    split_trays : bool
        Whether each tray holds two treatments, half and half.
    seed : int
        Draws the same layout again.
    seed_was_made : bool
        Whether it was made because none was given.
    fingerprint : str
        Differs when a treatment, a tray or a block differs.
    """

    treatment_columns: tuple[str, ...]
    factors: tuple[str, ...]
    place_columns: tuple[str, ...]
    trays: int
    trays_each: int
    blocks: int
    tray_size: int | None
    split_trays: bool
    seed: int
    seed_was_made: bool
    fingerprint: str


def bench_layout(
    treatments: Mapping[str, Sequence[Any]] | Sequence[Mapping[str, Any]],
    trays_each: int,
    *,
    blocks: int | Sequence[str] | Mapping[str, Any] | None = None,
    tray_size: int | None = None,
    split_trays: bool = False,
    seed: int | None = None,
    methods: Mapping[str, str] | None = None,
) -> BenchLayout:
    """Which tray gets which treatment, and where does it stand?

    Parameters
    ----------
    treatments : mapping or list of mapping
        Factor to levels (every level with every other), or one mapping for each treatment
        that was chosen. Factors are columns of the records: method, scion_wood,
        caliper_class, scion, understock ...
    trays_each : int
        Trays of each treatment; in split trays, trays that hold half of it.
    blocks : int, list of str, or mapping, optional
        Parts of the bench or of the work. A mapping names what they are: day, bench,
        grafter, heat_zone or block, with their names, or names and the trays that fit.
    tray_size : int, optional
        Cells in a tray.
    split_trays : bool
        Two treatments in each tray, the halves drawn by lot: alike but for one column, which
        is the method where that can be.
    seed : int, optional
        Draws the same layout again; made and written down when not given.
    methods : mapping of str to str, optional
        The nursery's own words for grafts, each with the word it means, as under [methods] of
        the settings. The layout keeps the nursery's word.

    Returns
    -------
    BenchLayout
        ``table``: block; bench, grafter or heat_zone where blocks are such; position (from 1
        in each block); tray (its code); half (left or right, in split trays); the treatment
        columns; grafts (cells of the tray or half; NaN when no tray size is given).

    Raises
    ------
    DesignError
        When it cannot be balanced; the nearest layout that can is named.

    Notes
    -----
    Each treatment stands equally often in each block. In a block every order of its trays is
    as likely as any other; a block is drawn by itself, in the order given. The lot is SHA-256
    of the seed and a counter, so that it does not hang on a library's version.

    References
    ----------
    Randomised complete blocks: R A Fisher 1935, The Design of Experiments (from memory).

    Examples
    --------
    >>> layout = bench_layout({"method": ["cleft", "side veneer"]}, 4, blocks=2, seed=11)
    >>> layout.table.groupby(["block", "method"]).size().tolist()
    [2, 2, 2, 2]
    >>> print(layout.sentences[0])
    8 trays in 2 blocks: 2 treatments, 4 trays of each, 2 in each block.
    """
    columns, read = read_treatments(treatments, methods)
    parts = read_blocks(blocks)
    size = checked_tray_size(tray_size, split=split_trays)
    units: list[tuple[Treatment, ...]] = [(one,) for one in read]
    if split_trays:
        units = [tuple(pair) for pair in pairs_of(read)]
    fixed = blocks is not None and not isinstance(blocks, int)
    each = trays_per_block(len(units), trays_each, parts, fixed=fixed)
    used = _seed(seed)
    places = tuple(COLUMN_OF[kind] for kind in parts[0].parts if kind in COLUMN_OF)
    taken = [name for name in places if name in columns]
    if taken:
        raise DesignError(**words.parted(words.block_is_treatment(taken[0])))
    grafts = float("nan") if size is None else size / len(units[0])
    rows = _drawn(parts, units, each, Lot(used), grafts)
    order = ["block", *places, "position", "tray", *(["half"] if split_trays else [])]
    table = DataFrame(rows)[[*order, *columns, "grafts"]]
    trays = len(parts) * each * len(units)
    factors = tuple(name for name in columns if len({one[name] for one in read}) > 1)
    fingerprint = layout_fingerprint(_as_typed(table), factors)
    facts = told.LayoutFacts(
        trays=trays,
        treatments=len(read),
        trays_each=trays_each,
        blocks=len(parts),
        per_block=each,
        split=split_trays,
        tray_size=size,
        factors=factors,
        in_halves=_differing(units),
        seed=used,
        seed_was_made=seed is None,
        fingerprint=fingerprint,
    )
    return BenchLayout(
        _table=table,
        notes=told.layout_notes(facts),
        sentences=told.layout_lines(facts),
        treatment_columns=columns,
        factors=factors,
        place_columns=places,
        trays=trays,
        trays_each=trays_each,
        blocks=len(parts),
        tray_size=size,
        split_trays=split_trays,
        seed=used,
        seed_was_made=seed is None,
        fingerprint=fingerprint,
    )


def _as_typed(table: DataFrame) -> list[dict[str, str]]:
    rows = table.to_dict("records")
    return [{str(name): str(cell) for name, cell in row.items()} for row in rows]


def _seed(given: int | None) -> int:
    if given is None:
        return made_seed()
    if isinstance(given, bool) or not isinstance(given, int) or not 0 <= given <= MOST_SEED:
        raise DesignError(**words.parted(words.not_a_seed(given, MOST_SEED)))
    return given


def _differing(units: Sequence[tuple[Treatment, ...]]) -> tuple[str, ...]:
    """Columns that differ between the halves of a tray."""
    return tuple(
        name for name in units[0][0] if any(unit[0][name] != unit[-1][name] for unit in units)
    )


def _drawn(
    blocks: Sequence[Block],
    units: Sequence[tuple[Treatment, ...]],
    each: int,
    lot: Lot,
    grafts: float,
) -> list[dict[str, Any]]:
    """Draw block after block; codes follow the places, so that they tell of no treatment."""
    codes = iter(tray_codes(len(blocks) * len(units) * each))
    rows: list[dict[str, Any]] = []
    for block in blocks:
        named = {COLUMN_OF[kind]: name for kind, name in block.parts.items() if kind in COLUMN_OF}
        order = lot.shuffled([unit for unit in units for _ in range(each)])
        for position, unit in enumerate(order, start=1):
            tray = {"block": block.name, **named, "position": position, "tray": next(codes)}
            if len(unit) == 1:
                rows.append({**tray, **unit[0], "grafts": grafts})
                continue
            for half, one in zip(("left", "right"), lot.shuffled(unit), strict=True):
                rows.append({**tray, "half": half, **one, "grafts": grafts})
    return rows
