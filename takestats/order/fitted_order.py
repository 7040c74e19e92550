"""Does the order fit the wood, understock and days there are, and what is grafted which week?"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from takestats.errors import SettingsError
from takestats.order.asked import given_each, value_for
from takestats.order.ordered_rows import Ordered
from takestats.order.week_capacity import GraftingWeeks, weeks_of
from takestats.order.within_limits import Fitted, Limits, Source, fit_within
from takestats.records.seasons import FIRST_MONTH_OF_NEW_SEASON, season_year
from takestats.records.settings import TrialSettings
from takestats.wording import order_fit as words

if TYPE_CHECKING:
    from takestats.order.scion_wood import ScionWood

TERMINAL, SUB_TERMINAL, UNKNOWN = "terminal", "sub_terminal", "not recorded"
_ENOUGH = 1_000_000
_ANY_YEAR = 2000


class OrderFit(NamedTuple):
    """The plan within the limits (None: no limit was given), what it rests on, and sentences."""

    fitted: Fitted | None
    notes: tuple[str, ...]
    sentences: tuple[str, ...]


def fit_order(
    ordered: Sequence[Ordered],
    wood: ScionWood,
    stocks: Mapping[str, float],
    settings: TrialSettings,
    *,
    newest: str,
    tray_size: float,
    scions: Collection[str],
    second: Mapping[str, float],
) -> OrderFit:
    """Hold the order against what there is, and give its grafts to weeks.

    Parameters
    ----------
    ordered : sequence of Ordered
    wood : ScionWood
    stocks : mapping of str to float
        Understocks to be had; nan: not recorded.
    settings : TrialSettings
        ``[work]`` grafts_a_day, days_a_week, window, window_year, terminal_pieces,
        sub_terminal_pieces, pieces_a_graft.
    newest : str
        The newest season on record; blank without one.
    tray_size : float
    scions : collection of str
        That the settings of the wood may name.
    second : mapping of str to float
        Share of sub-terminal wood behind the take of each combination, of the grafts whose wood
        is recorded; not named: none is.

    Returns
    -------
    OrderFit

    Raises
    ------
    SettingsError
        For a window that cannot be read, holds no grafting day, or has no year and none can be
        told.

    Notes
    -----
    Plants to count on from one graft are the plants wanted divided by the grafts ordered, so that
    the order, where it fits, meets every target with the assurance. They stand at the mix of wood
    on record. Only a combination that would need a larger share of sub-terminal wood than that
    gets fewer plants from it, by the difference on record, if there it took less.
    """
    weeks, year_note = _weeks(settings, newest)
    if weeks is not None and not any(weeks.grafts_a_week):
        raise SettingsError(**words.no_grafting_day(settings.work["window"]))
    pieces = _pieces(ordered, settings, scions)
    had = {name: int(most) for name, most in stocks.items() if not math.isnan(most)}
    if weeks is None and not pieces and not had:
        return OrderFit(None, year_note, (words.NO_LIMITS,))
    labels = (words.ANY_WEEK,) if weeks is None else weeks.weeks
    last = len(labels) - 1
    lower = _lower(ordered, wood, second)
    sources = [
        Source(
            combination=row.combination,
            wood=kind,
            understock=row.understock,
            saleable_per_graft=_plants(row)
            * (lower[row.combination] if kind == SUB_TERMINAL else 1.0),
            first_week=0,
            last_week=last,
        )
        for row in ordered
        for kind in _woods(row.scion, pieces)
    ]
    fitted = fit_within(
        sources,
        {row.combination: row.wanted for row in ordered},
        Limits(
            weeks=labels,
            grafts_a_week=(_ENOUGH,) if weeks is None else weeks.grafts_a_week,
            pieces=pieces,
            understocks={name: had.get(name) for name in stocks},
            tray_size=None if math.isnan(tray_size) else int(tray_size),
        ),
    )
    notes = [*year_note, *(weeks.notes if weeks is not None else (words.no_weeks(settings.work),))]
    notes += words.fit_notes(
        mixed=any(source.wood == SUB_TERMINAL for source in sources),
        lower=[name for name, factor in lower.items() if factor < 1.0],
        several=_several(ordered, settings, scions),
    )
    return OrderFit(fitted, (*notes, *fitted.notes), fitted.sentences)


def _plants(row: Ordered) -> float:
    return min(1.0, row.wanted / row.grafts)


def _lower(
    ordered: Sequence[Ordered], wood: ScionWood, second: Mapping[str, float]
) -> dict[str, float]:
    """What sub-terminal wood gives of what the order counts on, combination by combination.

    The order stands at a share s of sub-terminal wood, which takes d more (a negative number):
    sub-terminal wood alone takes (1 - s) d more than the mix.
    """
    gap = 0.0 if wood.difference is None else min(0.0, wood.difference.difference)
    needed = {
        str(row["combination"]): float(row["sub_terminal"]) / float(row["pieces"])
        for row in wood.table.to_dict("records")
    }
    found = {}
    for row in ordered:
        share = second.get(row.combination, 0.0)
        more = needed[row.combination] > share and row.expected_take > 0.0
        change = gap * (1.0 - share) / row.expected_take if more else 0.0
        found[row.combination] = max(0.0, 1.0 + change)
    return found


def _woods(scion: str, pieces: Mapping[tuple[str, str], int | None]) -> tuple[str, ...]:
    return (TERMINAL, SUB_TERMINAL) if (scion, TERMINAL) in pieces else (UNKNOWN,)


def _several(
    ordered: Sequence[Ordered], settings: TrialSettings, scions: Collection[str]
) -> tuple[str, ...]:
    """Scions of which one graft does not take one piece."""
    each = given_each(settings, "pieces_a_graft", scions, "a scion")
    return tuple(
        scion
        for scion in dict.fromkeys(row.scion for row in ordered)
        if not math.isnan(value := value_for(each, scion)) and value != 1.0
    )


def _pieces(
    ordered: Sequence[Ordered], settings: TrialSettings, scions: Collection[str]
) -> dict[tuple[str, str], int | None]:
    """Grafts that the pieces of each scion and wood are enough for, where terminal is known."""
    for_each = given_each(settings, "pieces_a_graft", scions, "a scion")
    found: dict[tuple[str, str], int | None] = {}
    for scion in dict.fromkeys(row.scion for row in ordered):
        a_graft = value_for(for_each, scion)
        for wood in (TERMINAL, SUB_TERMINAL):
            had = value_for(given_each(settings, f"{wood}_pieces", scions, "a scion"), scion)
            if math.isnan(had):
                if wood == TERMINAL:
                    break
                found[scion, wood] = None
                continue
            found[scion, wood] = math.floor(had / (1.0 if math.isnan(a_graft) else a_graft) + 1e-9)
    return found


def _weeks(settings: TrialSettings, newest: str) -> tuple[GraftingWeeks | None, tuple[str, ...]]:
    """The weeks of the window; None where the window, the grafts or the days are not given."""
    work = settings.work
    if any(work.get(key) in (None, "") for key in ("window", "grafts_a_day", "days_a_week")):
        return None, ()

    def of(year: int) -> GraftingWeeks:
        return weeks_of(work["window"], work["grafts_a_day"], work["days_a_week"], year)

    if work.get("window_year") is not None:
        return of(int(work["window_year"])), ()
    year = season_year(newest) + 1 if newest else _ANY_YEAR
    found = of(year)
    # A window that names its own years is the same whichever year is asked for.
    if of(year + 1).first_day == found.first_day:
        return found, ()
    if not newest:
        raise SettingsError(**words.year_unknown(work["window"]))
    if found.first_day.month >= FIRST_MONTH_OF_NEW_SEASON:
        year -= 1
        found = of(year)
    return found, (words.year_note(year, newest),)
