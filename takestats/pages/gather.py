"""Which answers does a page stand on, all from one season of the records?"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import combinations
from typing import TYPE_CHECKING

from takestats.answers.confounding import confounding
from takestats.answers.gaps import differences
from takestats.answers.held import held_difference
from takestats.answers.history import season_history
from takestats.answers.model_checks import model_checks
from takestats.answers.model_layer import model_layer
from takestats.answers.odds import odds_ratios
from takestats.answers.rates import take_rates
from takestats.answers.second_opinions import second_opinions
from takestats.errors import DesignError
from takestats.models.fit import fit_take
from takestats.models.progress import silent
from takestats.models.side_by_side import beside
from takestats.pages.asked import OutOf, asked
from takestats.pages.factors import choose_model
from takestats.pages.gathered import Gathered
from takestats.pages.grafts_alone import grafts_alone
from takestats.pages.missing import many_missing, missing_bounds
from takestats.pages.pictures import factor_pictures
from takestats.pages.shrunk import many_combinations, shrunk_takes
from takestats.pages.story import has_story, season_story
from takestats.wording.sections import chart_marker

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.group_takes import GroupTakes
    from takestats.answers.history import SeasonHistory
    from takestats.models.take_model import TakeModel
    from takestats.pages.story import SeasonStory
    from takestats.pages.strata import Strata
    from takestats.pages.studio import Studio
    from takestats.records.result import Records

MOST_LEVELS_IN_PAIRS = 4
Say = Callable[[str], None]


def gather(
    records: Records,
    wanted: Sequence[str],
    *,
    pairs: Mapping[str, Sequence[tuple[str, str]]] | None = None,
    only: str = "",
    strata: Strata | None = None,
    studio: Studio | None = None,
    say: Say,
) -> Gathered:
    """Compute every answer of a page from the newest season.

    Parameters
    ----------
    records : Records
    wanted : sequence of str
        Factors in order of interest.
    pairs : dict of factor to pairs, optional
        Only these pairs of levels; else all pairs.
    only : str
        Answer for this factor alone; the others only make its takes comparable.
    strata : Strata, optional
        Ask the question inside these as well.
    studio : Studio, optional
        Begins with the charts of takes and differences while the rest is worked out.
    say : callable
        Told what is being done.
    """
    recorded, records = records, grafts_alone(records)
    season, here = newest_season(records.trays)
    counted = here[here["counted"].astype(bool)]
    wishes = asked(records.trial)
    out_of = wishes.out_of
    # Trays outside the strata take part in the season as a whole alone.
    inside = records if strata is None else strata.inside(records)
    within = strata.within if strata is not None and len(strata.kept) > 1 else ""
    lines = inside.trays[inside.trays["counted"].astype(bool)]
    apart = beside(partial(_by_itself, records, counted, season, out_of, bool(only)))
    chosen = choose_model(
        inside,
        lines if within == "season" else newest_season(lines)[1],
        wanted,
        season=season,
        out_of=out_of,
        only=only,
        within=within,
        reserved=0 if only else has_story(records) + many_combinations(counted),
        say=say,
    )
    shown = [factor for factor in chosen.factors if not only or factor == only]
    models = dict.fromkeys(shown, chosen.model)
    for factor in chosen.apart:
        say(f"fitting {factor} on its own")
        models[factor] = fit_take(records, [factor], season=season or "auto", out_of=out_of)
    models = {factor: models[factor] for factor in _shown_order(models)}
    say("the season as a whole, and combinations heard together")
    whole, shrunk, why = apart()
    if not chosen.factors:
        whole = chosen.model
    say("takes and differences")
    checking = beside(partial(model_checks, chosen.model))
    rates = {
        factor: chosen.rates.get(factor) or take_rates(model, factor)
        for factor, model in models.items()
    }
    few = {
        factor: model
        for factor, model in models.items()
        if factor == only or len(rates[factor].table) <= MOST_LEVELS_IN_PAIRS
    }
    asked_pairs = {
        factor: (pairs or {}).get(factor) or _pairs(model, factor, wishes.standard)
        for factor, model in few.items()
    }
    tell_story = partial(_story, records, whole, chosen.main, asked_pairs, out_of)
    story_of = beside(tell_story) if not only and has_story(records) else _no_story
    gaps = {
        factor: differences(model, factor, pairs=asked_pairs[factor])
        for factor, model in few.items()
    }
    marker = chart_marker(records.invented, records.banner)
    pictures = {
        factor: factor_pictures(rates[factor], gaps.get(factor), model, factor, marker)
        for factor, model in models.items()
    }
    if studio is not None:
        studio.begin([picture for charts in pictures.values() for picture in charts.every])
    odds = {factor: odds_ratios(model, factor) for factor, model in few.items()}
    main = next(iter(gaps), "")
    bounds = None
    if main and many_missing(rates[main].table):
        say("what missing grafts could change")
        bounds = missing_bounds(inside, models[main], main, gaps[main], asked_pairs[main])
    looks = None
    if main and not records.no_trays:
        say("second looks")
        looks = second_opinions(models[main], main, pairs=asked_pairs[main])
    held = None
    if within:
        say(f"{only} within {within}".replace("_", " "))
        held = held_difference(models[only], only, within, pairs=asked_pairs[only])
    say("odd trays and earlier seasons")
    checks = checking()
    alone = list(models) == list(chosen.model.factors)
    before = season_history(records, None, out_of=out_of) if has_story(records) else None
    history = _history(records, list(models), out_of)
    return Gathered(
        records=records,
        recorded=recorded,
        season=season,
        trays=counted,
        waiting=here[~here["counted"].astype(bool)],
        chosen=chosen,
        models=models,
        whole=whole,
        overall=take_rates(whole, None),
        rates=rates,
        gaps=gaps,
        pictures=pictures,
        odds=odds,
        looks=looks,
        checks=checks,
        history=history,
        before=before,
        confounded=checks.confounded if alone else confounding(chosen.model, list(models)),
        missing=bounds,
        asked=wishes,
        layer=model_layer(chosen.model),
        strata=strata,
        held=held,
        shrunk=shrunk,
        not_shrunk=why,
        tell_story=story_of,
    )


def _by_itself(
    records: Records, counted: DataFrame, season: str, out_of: OutOf, only: bool
) -> tuple[TakeModel, GroupTakes | None, str]:
    """What does not wait for the choice of factors: the season's own take, the combinations.

    No factor, so that no prior of many levels pulls at the season's take.
    """
    whole = fit_take(records, [], season=season or "auto", out_of=out_of)
    if only:
        return whole, None, ""
    return (whole, *shrunk_takes(records, counted, season=season, out_of=out_of))


def _story(
    records: Records,
    whole: TakeModel,
    main: str,
    pairs: Mapping[str, Sequence[tuple[str, str]]],
    out_of: OutOf,
) -> SeasonStory | None:
    return season_story(records, whole, main, pairs.get(main, ()), out_of=out_of, say=silent)


def _no_story() -> None:
    """One season has none."""


def _pairs(model: TakeModel, factor: str, standard: str) -> list[tuple[str, str]]:
    """Pairs of levels; the standard, else the reference level, is what is taken away.

    Many levels are compared with that one level only.
    """
    levels = model.levels(factor)
    base = standard if standard in levels else model.reference.get(factor, levels[0])
    order = [level for level in levels if level != base] + [base]
    if len(order) > MOST_LEVELS_IN_PAIRS:
        return [(level, base) for level in order[:-1]]
    return list(combinations(order, 2))


def _history(records: Records, factors: list[str], out_of: OutOf) -> dict[str, SeasonHistory]:
    """Earlier seasons by each factor; none when only one season is recorded."""
    if records.trays["season"].dropna().nunique() < 2:
        return {}
    found = {}
    for factor in factors:
        try:
            found[factor] = season_history(records, factor, out_of=out_of)
        except DesignError:  # an earlier season does not record what is asked
            continue
    return found


def _shown_order(models: Mapping[str, TakeModel]) -> list[str]:
    """The main question first, then what was grafted on what, then the rest."""
    names = list(models)
    first = names[:1]
    return [*dict.fromkeys([*first, *(["combination"] if "combination" in names else []), *names])]


def newest_season(trays: DataFrame) -> tuple[str, DataFrame]:
    """The newest season with a counted tray, and its trays.

    Parameters
    ----------
    trays : pandas.DataFrame
        All trays of the records.

    Returns
    -------
    tuple of str and pandas.DataFrame
        Blank when no season is recorded; then all trays.
    """
    counted = trays[trays["counted"].astype(bool)]
    seasons = sorted(counted["season"].dropna().astype(str).unique())
    if not seasons:
        return "", trays
    return seasons[-1], trays[trays["season"].astype(str) == seasons[-1]]
