"""Does a species forgive a scion that is thinner than its understock? In words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from takestats.wording.numbers import (
    count_of,
    level_text,
    level_words,
    listing,
    points,
    points_number,
)

FORGIVES = "forgives"
DOES_NOT = "does not forgive"
CANNOT_SAY = "cannot be said"


class Drop(NamedTuple):
    """How much less the other match took than matched grafts of one species (proportions)."""

    species: str
    other: str
    drop: float
    low: float
    high: float
    trays_matched: float
    trays_other: float


def verdict_of(low: float, high: float, allowed: float) -> str:
    """Say in a word whether a species forgives.

    Examples
    --------
    >>> verdict_of(-0.01, 0.04, 0.05), verdict_of(0.02, 0.2, 0.05), verdict_of(-0.1, 0.2, 0.05)
    ('forgives', 'does not forgive', 'cannot be said')
    """
    if high <= allowed:
        return FORGIVES
    return DOES_NOT if low > 0.0 else CANNOT_SAY


def drop_limits(low: float, high: float) -> str:
    """Say the limits of a drop, each with its direction.

    Examples
    --------
    >>> drop_limits(-0.02, 0.11), drop_limits(0.03, 0.11), drop_limits(-0.08, -0.02)
    ('2 points more to 11 points less', '3 to 11 points less', '2 to 8 points more')
    """
    if low > 0.0:
        return f"{points_number(low)} to {points(high)} less"
    if high < 0.0:
        return f"{points_number(-high)} to {points(-low)} more"
    return f"{points(-low)} more to {points(high)} less"


def drop_words(found: Drop, verdict: str, level: float = 0.95) -> str:
    """Say one species.

    Examples
    --------
    >>> found = Drop("Acer griseum", "scion thinner", 0.13, -0.02, 0.33, 12, 4)
    >>> drop_words(found, "cannot be said")
    'Acer griseum: cannot be said; with the scion thinner, 13 points less took than matched (95 % \
confidence interval 2 points more to 33 points less; 4 trays against 12).'
    """
    side = "less" if found.drop >= 0.0 else "more"
    return (
        f"{level_text(found.species)}: {verdict}; with the {level_text(found.other)}, "
        f"{points(abs(found.drop))} {side} took than matched ({level_words(level)} "
        f"{drop_limits(found.low, found.high)}; {count_of(found.trays_other, 'tray')} against "
        f"{found.trays_matched:.0f})."
    )


def summary_words(verdicts: Sequence[tuple[str, str]], other: str, allowed: float) -> str:
    """Say which species forgive, in one sentence.

    Parameters
    ----------
    verdicts : sequence of (species, verdict)
    other : str
        The match held against matched grafts.
    allowed : float
        Proportion.

    Examples
    --------
    >>> told = [("Acer griseum", "forgives"), ("Carpinus betulus", "cannot be said")]
    >>> summary_words(told, "scion thinner", 0.05)
    'A scion thinner than its understock: Acer griseum forgives it (at most 5 points less take); \
of Carpinus betulus it cannot be said.'
    >>> summary_words(told[1:], "scion thinner", 0.05)
    'A scion thinner than its understock: of Carpinus betulus these trays cannot say whether it \
forgives it.'
    """
    by = {
        verdict: [level_text(name) for name, told in verdicts if told == verdict]
        for verdict in (FORGIVES, DOES_NOT, CANNOT_SAY)
    }
    opening = f"A {level_text(other)} than its understock: "
    if not by[FORGIVES] and not by[DOES_NOT]:
        it = "it forgives" if len(by[CANNOT_SAY]) == 1 else "they forgive"
        return f"{opening}of {listing(by[CANNOT_SAY])} these trays cannot say whether {it} it."
    parts = []
    if by[FORGIVES]:
        verb = "forgives" if len(by[FORGIVES]) == 1 else "forgive"
        parts.append(f"{listing(by[FORGIVES])} {verb} it (at most {points(allowed)} less take)")
    if by[DOES_NOT]:
        verb = "does" if len(by[DOES_NOT]) == 1 else "do"
        parts.append(f"{listing(by[DOES_NOT])} {verb} not")
    if by[CANNOT_SAY]:
        parts.append(f"of {listing(by[CANNOT_SAY])} it cannot be said")
    return f"{opening}{'; '.join(parts)}."


def rule_words(other: str, allowed: float, level: float = 0.95) -> str:
    """Say the rule of the verdicts.

    Examples
    --------
    >>> rule_words("scion thinner", 0.05)[:80]
    'The rule: a species forgives when the whole 95 % confidence interval of the drop'
    """
    return (
        f"The rule: a species forgives when the whole {level_words(level)} of the drop from "
        f"matched to {level_text(other)} lies at or under {points(allowed)}; it does not forgive "
        "when the interval lies wholly above zero and reaches past that; else it cannot be said. "
        "Each species is judged by itself; the intervals are not widened for their number."
    )


def forgiving_note(other: str, species: str) -> str:
    """Say what a table of drops holds."""
    return (
        f"Drop: take of matched grafts less take with the {level_text(other)}, inside each level "
        f"of {level_text(species).replace('_', ' ')}, from one model with their interaction."
    )


def not_forgiving_words(reason: str) -> str:
    """Say why there is no answer.

    Examples
    --------
    >>> not_forgiving_words("caliper match is not recorded")
    'Whether a species forgives a thin scion: caliper match is not recorded.'
    """
    return f"Whether a species forgives a thin scion: {reason.rstrip('.')}."


def no_match_words(levels: Sequence[str]) -> str:
    """Say that only one kind of match is recorded.

    Examples
    --------
    >>> no_match_words(["matched"])
    'the only caliper match recorded is matched'
    """
    verb = "is" if len(levels) == 1 else "are"
    only = "the only caliper match" if len(levels) == 1 else "the only caliper matches"
    return f"{only} recorded {verb} {listing([level_text(name) for name in levels])}"


def no_pair_words(other: str) -> str:
    """Say that no species has both.

    Examples
    --------
    >>> no_pair_words("scion thinner")
    'no species has counted trays both matched and with the scion thinner'
    """
    return f"no species has counted trays both matched and with the {level_text(other)}"


FORGIVING_HEADING = "Which species forgive a thin scion"


def drops_caption(other: str) -> str:
    """Head the table of drops.

    Examples
    --------
    >>> drops_caption("scion thinner")
    'Take of matched grafts less take with the scion thinner, inside each species'
    """
    return f"Take of matched grafts less take with the {level_text(other)}, inside each species"


def drops_header(other: str) -> tuple[str, ...]:
    """Head its columns.

    Examples
    --------
    >>> drops_header("scion thinner")[3]
    'trays matched and scion thinner'
    """
    name = level_text(other)
    return (
        "species",
        "drop (95 % interval)",
        "verdict",
        f"trays matched and {name}",
        f"grafts matched and {name}",
    )
