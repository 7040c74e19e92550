"""Which true takes, differences and tray correlations follow from the recipe?"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, fields, replace

import numpy as np
from recipe import (
    ALIVE_NEXT_SPRING,
    BASE,
    BENCH,
    CALIPER_CLASS,
    COMBINATION,
    FACTORS,
    GRAFTER,
    LATER_CORRELATION,
    MARK,
    METHOD,
    NAMES,
    NEWEST,
    NEXT_SPRING,
    ROOTED_SHARE,
    ROOTING_CORRELATION,
    SALEABLE_SHARE,
    SCION_THINNER,
    SCION_WOOD,
    SEASON,
    SEASONS,
    TRAY_CORRELATION,
    UNION,
    WEEK_BEND,
    CuttingTray,
    Tray,
    expected_take,
)


@dataclass(frozen=True, kw_only=True)
class Truth:
    """One true number of one season."""

    season: str
    factor: str
    level: str
    against: str = ""
    what: str
    truth: float
    truth_own_trays: float
    trays: int | str = ""
    grafts: int | str = ""


TRUTH_HEADER = [part.name for part in fields(Truth)]


def truths_of(trays: list[Tray]) -> list[Truth]:
    """Work out the true takes, differences and tray correlations of each season."""
    found: list[Truth] = []
    for season in SEASONS:
        counted = [tray for tray in trays if tray.season == season and tray.settled_yet]
        found.append(take_of(counted, counted, "all", "all"))
        for factor in FACTORS:
            takes = [
                take_of(counted, [t for t in counted if getattr(t, factor) == level], factor, level)
                for level in sorted({getattr(tray, factor) for tray in counted})
            ]
            found += takes
            found += [difference_of(a, b) for a, b in itertools.combinations(takes, 2)]
        for method in METHOD:
            found.append(correlation_of([tray for tray in counted if tray.method == method]))
    return found


def take_of(counted: list[Tray], own: list[Tray], factor: str, level: str) -> Truth:
    """Average the true take of a level over all counted trays, and over its own trays."""
    change = {} if factor == "all" else {factor: level}
    made = [tray.made for tray in counted]
    own_made = [tray.made for tray in own]
    return Truth(
        season=own[0].season,
        factor=factor,
        level=level,
        what="take",
        truth=float(np.average([expected_take(t, **change) for t in counted], weights=made)),
        truth_own_trays=float(np.average([expected_take(t) for t in own], weights=own_made)),
        trays=len(own),
        grafts=sum(own_made),
    )


def difference_of(a: Truth, b: Truth) -> Truth:
    """Take one level's true take from another's: the level minus ``against``."""
    return replace(
        a,
        against=b.level,
        what="difference",
        truth=a.truth - b.truth,
        truth_own_trays=a.truth_own_trays - b.truth_own_trays,
        trays="",
        grafts="",
    )


def correlation_of(own: list[Tray]) -> Truth:
    """Give a method's tray correlation, with the other factors known and with them unknown."""
    within = TRAY_CORRELATION[own[0].method]
    takes = np.array([expected_take(tray) for tray in own])
    between = np.mean(within * takes * (1 - takes)) + np.var(takes)
    return Truth(
        season=own[0].season,
        factor="method",
        level=own[0].method,
        what="tray_correlation",
        truth=within,
        truth_own_trays=float(between / (takes.mean() * (1 - takes.mean()))),
        trays=len(own),
    )


def later_truths_of(trays: list[Tray], cuttings: list[CuttingTray]) -> list[Truth]:
    """Give what is true after the take: alive next spring, saleable, rooted cuttings."""
    found: list[Truth] = []
    for season in SEASONS:
        own = [tray for tray in trays if tray.season == season and tray.settled_yet]
        found.append(after_take(own, "all", "all", "saleable_of_taken", SALEABLE_SHARE))
        if season not in NEXT_SPRING:
            continue
        found.append(alive_later(own, "all", "all"))
        for name in ("method", "combination"):
            for level in sorted({getattr(tray, name) for tray in own}):
                mine = [tray for tray in own if getattr(tray, name) == level]
                found.append(alive_later(mine, name, level))
    for scion, share in ROOTED_SHARE.items():
        trays_of = [tray for tray in cuttings if tray.scion == scion]
        found.append(
            Truth(
                season=NEWEST,
                factor="scion",
                level=NAMES[scion],
                what="rooted",
                truth=share,
                truth_own_trays=share,
                trays=len(trays_of),
                grafts=sum(tray.struck for tray in trays_of),
            )
        )
    return found


def alive_later(own: list[Tray], factor: str, level: str) -> Truth:
    """Average the share alive next spring over the grafts that took in these trays."""
    taken = [tray.counts["settled"]["taken"] for tray in own]
    shares = [ALIVE_NEXT_SPRING[tray.scion, tray.understock] for tray in own]
    return after_take(own, factor, level, "alive_later", float(np.average(shares, weights=taken)))


def after_take(own: list[Tray], factor: str, level: str, what: str, share: float) -> Truth:
    """One true share of the grafts that took."""
    return Truth(
        season=own[0].season,
        factor=factor,
        level=level,
        what=what,
        truth=share,
        truth_own_trays=share,
        trays=len(own),
        grafts=sum(tray.counts["settled"]["taken"] for tray in own),
    )


EXPLAINED = f"""# Known truth of the Quern Hollow seasons

**{MARK}**

`known_truth.csv` holds every figure to six decimals.

- A true take is an averaged take: the share of grafts that take over many trays made like these.
- `truth` sets every counted tray of the season to the level. A tray counts as often as it has
  grafts, missing ones left out. A model with all the factors looks for it.
- `truth_own_trays` averages over the level's own trays. A model with that factor alone looks
  for it.
- A difference is the level minus `against`.
- For `tray_correlation`, `truth` is what is left once all factors are known; in
  `truth_own_trays` the other factors count as tray-to-tray spread too.
- `alive_later` (next spring) and `saleable_of_taken` are shares of the grafts that took in the
  level's own trays, which stand under `grafts`; `rooted` is a share of the cuttings struck.
"""

SEASON_TABLE = """
| season | side veneer | cleft | cleft minus side veneer |
|---|---|---|---|
"""

EFFECTS = """
The tray correlation is {cleft} in cleft trays and {side_veneer} in side-veneer trays.
{lamp}, new in {newest}: true take {lamp_take:.1f} % over its own trays.
Every graft of it took in these counts; its true take is not 100 %.

Log odds of take added by each level:

| what | level | log odds |
|---|---|---|
"""


LATER = """
After the take: {saleable:g} % of the grafts that took are saleable, graft by graft. Alive next
spring: drawn tray by tray, tray correlation {correlation}. Cuttings: tray correlation {rooting}.

| what | level | true share |
|---|---|---|
"""


def truth_page(truths: list[Truth]) -> str:
    """Write the headline truths as a page a person can read."""
    page = EXPLAINED + SEASON_TABLE
    for season in SEASONS:
        own = {(t.level, t.what): 100 * t.truth for t in truths if t.season == season}
        page += (
            f"| {season} | {own['side veneer', 'take']:.1f} % | {own['cleft', 'take']:.1f} % "
            f"| {own['cleft', 'difference']:.1f} points |\n"
        )
    lamp = f"{NAMES['last lamp']} on {NAMES['virginiana']}"
    page += EFFECTS.format(
        cleft=TRAY_CORRELATION["cleft"],
        side_veneer=TRAY_CORRELATION["side veneer"],
        lamp=lamp,
        newest=NEWEST,
        lamp_take=100 * next(t.truth_own_trays for t in truths if t.level == lamp),
    )
    page += f"| base | side veneer, terminal, low, thin, matched, {SEASONS[0]} | {BASE:+.2f} |\n"
    on = {f"{NAMES[scion]} on {NAMES[stock]}": odds for (scion, stock), odds in COMBINATION.items()}
    thinner = {f"on {NAMES[stock]}": odds for stock, odds in SCION_THINNER.items()}
    for what, table in (
        ("method", METHOD),
        ("scion wood", SCION_WOOD),
        ("union", UNION),
        ("caliper class", CALIPER_CLASS),
        ("scion thinner than the understock", thinner),
        ("combination", on),
        ("season", SEASON),
        ("bench", BENCH),
        ("week, times (week - 5.5) squared", {"1 to 10": WEEK_BEND}),
        ("grafter, lowest and highest", {"three initials": min(GRAFTER.values())}),
        ("grafter, lowest and highest", {"three initials": max(GRAFTER.values())}),
    ):
        page += "".join(f"| {what} | {level} | {odds:+.3g} |\n" for level, odds in table.items())
    page += LATER.format(
        correlation=LATER_CORRELATION,
        saleable=100 * SALEABLE_SHARE,
        rooting=ROOTING_CORRELATION,
    )
    for (scion, stock), share in ALIVE_NEXT_SPRING.items():
        page += f"| alive next spring, of those that took | {NAMES[scion]} on {NAMES[stock]} "
        page += f"| {100 * share:g} % |\n"
    for scion, share in ROOTED_SHARE.items():
        page += f"| rooted, of cuttings struck | {NAMES[scion]} | {100 * share:g} % |\n"
    return page
