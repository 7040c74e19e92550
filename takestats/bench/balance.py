"""Can every treatment stand equally often in each block, and what is the nearest that can?"""

from __future__ import annotations

from collections.abc import Sequence

from takestats.bench.blocks import Block
from takestats.bench.treatments import Treatment
from takestats.errors import DesignError
from takestats.wording import bench_refusals as words

MOST_TRAYS = 10_000
MOST_CELLS = 10_000


def pairs_of(treatments: Sequence[Treatment]) -> list[tuple[Treatment, Treatment]]:
    """Pair the treatments that share a split tray: alike but for one column.

    Two treatments share every tray, whatever they differ in. Of several columns with two
    levels the method is split, else the first of the sheet.

    Raises
    ------
    DesignError
        When they cannot be paired.
    """
    if len(treatments) == 2:
        return [(treatments[0], treatments[1])]
    columns = list(treatments[0])
    for column in sorted(columns, key=lambda name: name != "method"):
        rest: dict[tuple[str, ...], list[Treatment]] = {}
        for one in treatments:
            others = tuple(value for name, value in one.items() if name != column)
            rest.setdefault(others, []).append(one)
        if all(len(two) == 2 for two in rest.values()):
            return [(two[0], two[1]) for two in rest.values()]
    raise DesignError(**words.parted(words.no_pairs(len(treatments))))


def checked_tray_size(given: object, *, split: bool) -> int | None:
    """The cells of a tray, even where a tray is split."""
    if given is None:
        return None
    if isinstance(given, bool) or not isinstance(given, int) or not 1 <= given <= MOST_CELLS:
        raise DesignError(**words.parted(words.not_a_tray_size(given, MOST_CELLS)))
    if split and given % 2:
        raise DesignError(**words.parted(words.odd_tray(given)))
    return given


def trays_per_block(
    kinds_of_tray: int, trays_each: object, blocks: Sequence[Block], *, fixed: bool
) -> int:
    """How many trays of each kind stand in a block, once it is known that they can.

    Parameters
    ----------
    kinds_of_tray : int
        Treatments, or pairs of them where trays are split.
    trays_each : object
        As given.
    blocks : sequence of Block
    fixed : bool
        Blocks have names, so that their number cannot well be changed.

    Raises
    ------
    DesignError
        With the nearest layout that can be balanced.
    """
    if isinstance(trays_each, bool) or not isinstance(trays_each, int) or trays_each < 1:
        raise DesignError(**words.parted(words.not_trays_each(trays_each)))
    number = len(blocks)
    short = [block for block in blocks if block.places is not None]
    least = min(short, key=lambda block: block.places or 0) if short else None
    if least is not None and least.places is not None and least.places < kinds_of_tray:
        said = words.block_too_small(least.name, least.places, kinds_of_tray)
        raise DesignError(**words.parted(said))
    if trays_each % number:
        lower, upper = trays_each // number * number, -(-trays_each // number) * number
        fewer = max(n for n in range(1, number + 1) if trays_each % n == 0)
        said = words.not_a_multiple(trays_each, number, lower, upper, 0 if fixed else fewer)
        raise DesignError(**words.parted(said))
    each = trays_each // number
    if least is not None and least.places is not None and least.places < each * kinds_of_tray:
        fit = least.places // kinds_of_tray
        said = words.too_few_places(
            least.name, least.places, each * kinds_of_tray, fit * number, fit
        )
        raise DesignError(**words.parted(said))
    if trays_each * kinds_of_tray > MOST_TRAYS:
        most = MOST_TRAYS // kinds_of_tray // number * number
        said = words.too_many_trays(trays_each * kinds_of_tray, MOST_TRAYS, most)
        raise DesignError(**words.parted(said))
    return each
