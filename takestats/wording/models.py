"""How a model says what it used, what it left out and how it was worked out."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from takestats.wording.numbers import (
    column_words,
    count_of,
    level_text,
    level_words,
    listing,
    percent,
    small,
)

_FAMILIES = ("beta-binomial", "logit-normal")


def seasons_note(chosen: str, others: Sequence[str]) -> str:
    """Say which season was used."""
    plural = "seasons" if len(others) > 1 else "season"
    return (
        f"Season {chosen} only; {plural} {listing(list(others))} left out, "
        "because seasons are never pooled without being asked for."
    )


SEASON_FACTOR_NOTE = (
    "Several seasons: season is one of the factors, and every season weighs the same."
)


def few_values_note(column: str) -> str:
    """Say that a curve became a factor."""
    return f"{column_words(column)} has fewer than four distinct values: taken as a factor."


def curve_note(column: str, knots: int) -> str:
    """Say what shape a curve has."""
    shape = (
        f"a smooth curve with {knots} knots, straight at its ends" if knots else "a straight line"
    )
    return f"Along {column_words(column)}: {shape}, on the log odds scale."


MOST_PAIRS_NAMED = 6


def empty_pairs_notes(pairs: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    """Say which pairs of levels no tray shows, and what the averages then rest on."""
    if not pairs:
        return ()
    named = "; ".join(f"{a} with {b}" for a, b in pairs[:MOST_PAIRS_NAMED])
    more = len(pairs) - MOST_PAIRS_NAMED
    rest = f"; and {more} more pairs" if more > 1 else "; and 1 more pair" if more == 1 else ""
    return (
        f"No tray shows {named}{rest}: averages over them rest on each factor shifting the log "
        "odds by itself.",
    )


def left_out_note(reasons: Sequence[Mapping[Any, Any]], used: int) -> str:
    """Say which lines were left out, and why."""
    if not reasons:
        return ""
    parts = []
    total = 0
    for reason in reasons:
        number = int(reason["lines"])
        total += number
        column = column_words(str(reason["column"]))
        parts.append(f"{count_of(number, 'line')} ({column}: {reason['reason']})")
    share = percent(total / (total + used))
    return f"Left out: {listing(parts)}; {share} of the lines."


def grid_notes(shares: Sequence[Sequence[float]], trays_recorded: bool) -> tuple[str, ...]:
    """Say how the exact grid was worked out."""
    if not trays_recorded:
        return (
            "No trays recorded: grafts counted as if independent; the limits are too narrow "
            "if they are not.",
            "Binomial model on an exact grid; prior Beta(1/2, 1/2) on each take.",
        )
    total = sum(sum(row) for row in shares)
    common = sum(row[0] for row in shares) / total
    weights = ", ".join(
        f"{name} {percent(sum(row) / total)}" for name, row in zip(_FAMILIES, shares, strict=False)
    )
    own = f"; one spread for all trays {percent(common)}" if common < 1.0 else ""
    return (
        "Tray model on an exact grid, averaged over tray models with weak priors "
        f"(weights: {weights}{own}).",
        "Population: a new tray like those observed, averaged over tray-to-tray spread.",
    )


def sampled_notes(
    parts: Sequence[tuple[str, bool, float]], trays_recorded: bool
) -> tuple[str, ...]:
    """Say how the draws of a model of several factors and curves were made."""
    if not trays_recorded:
        return (
            "No trays recorded: grafts counted as if independent; the limits are too narrow "
            "if they are not.",
            "Binomial model by importance sampling with a fixed seed; weak prior on the takes.",
        )
    families: dict[str, float] = {}
    for family, _, probability in parts:
        families[family] = families.get(family, 0.0) + probability
    weights = ", ".join(f"{name} {percent(share)}" for name, share in families.items())
    common = sum(share for _, own, share in parts if not own)
    own = f"; one spread for all trays {percent(common)}" if any(p[1] for p in parts) else ""
    return (
        "Tray model by importance sampling with a fixed seed, averaged over tray models with "
        f"weak priors (weights: {weights}{own}).",
        "Population: a new tray like those observed, averaged over tray-to-tray spread.",
    )


def quick_notes(dispersion: float, df: float, *, no_trays: bool) -> tuple[str, ...]:
    """Say how the quick form was worked out."""
    if no_trays:
        return (
            "No trays recorded: grafts counted as if independent; the limits are too narrow "
            "if they are not.",
            "Quick closed form: Wilson limits on the grafts themselves.",
        )
    return (
        f"Quick closed form: Wilson limits on the effective number of grafts "
        f"(grafts / {small(dispersion)}), t with {df:g} degrees of freedom.",
        "A second look, never the headline: its limits hold less often than they promise "
        "near 100 %.",
    )


def count_note(count: str, dates: Sequence[str], out_of: str) -> str:
    """Say which count it was and what take is a share of."""
    when = listing(list(dates)) if dates else "count date not recorded"
    share = (
        "grafts made less those missing"
        if out_of == "made"
        else "grafts made less those missing and those on dead understock"
    )
    return f"Take at the {count} count ({when}), out of {share}."


def behind_note(trays: int, grafts: float, trays_recorded: bool) -> str:
    """Say how many trays and grafts stand behind it."""
    if not trays_recorded:
        return f"{count_of(grafts, 'graft')} behind it; trays not recorded."
    return f"{count_of(trays, 'tray')}, {count_of(grafts, 'graft')} behind it."


def reference_note(reference: Mapping[str, str]) -> str:
    """Say what levels are compared against."""
    parts = [f"{column_words(name)}: {level_text(level)}" for name, level in reference.items()]
    return f"Reference levels (most trays unless chosen): {listing(parts)}."


def uneven_note(a: str, b: str, icc_a: tuple[float, float], icc_b: tuple[float, float]) -> str:
    """Say that trays of one level are more uneven than those of another."""
    return (
        f"{a} trays are more uneven than {b} trays: intra-tray correlation "
        f"{small(icc_a[0])} to {small(icc_a[1])} against {small(icc_b[0])} to {small(icc_b[1])}."
    )


def few_trays_note(trays: int) -> str:
    """Say that the spread rests on what was assumed."""
    return (
        f"With {count_of(trays, 'tray')} the tray-to-tray spread rests largely on the "
        "assumed range."
    )


def one_tray_note(levels: Sequence[str]) -> str:
    """Say that one tray cannot show tray-to-tray variation."""
    return (
        f"One tray of {listing(list(levels))}: one tray cannot show tray-to-tray variation; "
        "the limits rest on an assumed range."
    )


def coefficient_note(curves: Sequence[str]) -> str:
    """Say what scale coefficients are on."""
    note = (
        "Log odds of takes averaged over trays, the other factors at their reference levels; "
        "95 % limits."
    )
    if curves:
        names = listing([column_words(name) for name in curves])
        note += f" {names[:1].upper()}{names[1:]} at the middle; a curve is read with take_curve."
    return note


def log_odds_words(log_odds: float, low: float, high: float) -> str:
    """Say log odds with their limits.

    Examples
    --------
    >>> log_odds_words(0.4, -0.31, float("inf"))
    '0.40 (-0.31 to no upper bound)'
    """
    return f"{_log_odds(log_odds)} ({_log_odds(low)} to {_log_odds(high)})"


def _log_odds(value: float) -> str:
    if math.isinf(value):
        return "no upper bound" if value > 0.0 else "no lower bound"
    return f"{value:.2f}"


def coefficient_sentence(
    factor: str, level: str, against: str, log_odds: tuple[float, float, float], *, joint: bool
) -> str:
    """Read a coefficient aloud, with its 95 % limits.

    Examples
    --------
    >>> coefficient_sentence("method", "cleft", "splice", (0.4, -0.31, 1.1), joint=False)
    'method: cleft against splice, log odds 0.40 (95 % confidence interval -0.31 to 1.10).'
    """
    middle, low, high = (_log_odds(value) for value in log_odds)
    limits = f"{middle} ({level_words()} {low} to {high})"
    if joint:
        return (
            f"{factor}: {level_text(level)} lies {limits} log odds from what its parts add up to."
        )
    return f"{factor}: {level_text(level)} against {level_text(against)}, log odds {limits}."


def spread_sentence(level: str, low: float, high: float, trays: int) -> str:
    """Say a spread."""
    return (
        f"{level}: intra-tray correlation between {small(low)} and {small(high)} "
        f"({count_of(trays, 'tray')})."
    )


def interaction_words(names: Sequence[str]) -> str:
    """Name an interaction.

    Examples
    --------
    >>> interaction_words(["method", "scion_wood"])
    'method by scion wood'
    """
    return " by ".join(column_words(name) for name in names)
