"""What differed, as the bench sheet says it?"""

from __future__ import annotations

from typing import TYPE_CHECKING

from takestats.pages.bench_limits import more_grafts_are_no_help
from takestats.pages.rows import differences_of
from takestats.wording.compared import (
    MORE_GRAFTS,
    Difference,
    averaged_words,
    cannot_tell_apart,
    difference_line,
    like_with_like_line,
    missing_matters_line,
    more_pairs_line,
    own_words,
    unclear_lines,
)

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered

LEVEL = 0.95
MOST_PAIRS = 3


def difference_lines(found: Gathered) -> list[str]:
    """Differences clear of zero, the largest first; the unclear ones in one sentence; the rest."""
    clear: list[tuple[float, str]] = []
    unclear: list[Difference] = []
    wide: list[str] = []
    after: list[str] = []
    together = [factor for factor in found.chosen.factors if factor in found.gaps]
    for factor, result in found.gaps.items():
        if factor == "combination" and found.main != "combination":
            continue
        model = found.models[factor]
        others = [name for name in model.factors if name != factor]
        alone = len(together) == 1 and len(result.table) == 1
        over = averaged_words(others) if alone else ""
        if factor in found.chosen.apart:
            over = own_words(factor)
        gaps = differences_of(result, factor)
        for gap in gaps[:MOST_PAIRS]:
            if cannot_tell_apart(gap):
                said = difference_line(gap, over, LEVEL)
                if not wide and more_grafts_are_no_help(model):
                    said = f"{said} {MORE_GRAFTS}"
                wide.append(said)
            elif gap.low <= 0.0 <= gap.high and not over:
                unclear.append(gap)
            else:
                clear.append((abs(gap.difference), difference_line(gap, over, LEVEL)))
        if len(gaps) > MOST_PAIRS:
            after.append(more_pairs_line(factor, len(gaps) - MOST_PAIRS))
        if factor == (together or [""])[-1] and not alone and len(found.chosen.factors) > 1:
            after.append(like_with_like_line(others if len(together) == 1 else model.factors))
    lines = [said for _, said in sorted(clear, key=lambda one: -one[0])]
    return [*lines, *unclear_lines(unclear, LEVEL), *wide, *after]


def inside_lines(found: Gathered) -> list[str]:
    """Does the difference hold inside the strata that were asked for?"""
    if found.strata is None:
        return []
    held = [] if found.held is None else list(found.held.sentences[:MOST_PAIRS])
    nested = [found.strata.nested] if found.strata.nested and held else []
    return [*found.strata.said, *held, *nested]


def missing_matters(found: Gathered) -> list[str]:
    """What missing grafts could change, pair by pair."""
    bounds = found.missing
    if bounds is None:
        return []
    factor = next(iter(found.gaps))
    triples = zip(
        differences_of(bounds.left_out, factor),
        differences_of(bounds.failed, factor),
        differences_of(bounds.taken, factor),
        strict=True,
    )
    return [missing_matters_line(*triple) for triple in triples][:MOST_PAIRS]
