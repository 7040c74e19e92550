"""Which answers does a page stand on, all from one season of the records?"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Any

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
from takestats.pages.asked import Asked, OutOf, asked, settings_rows
from takestats.pages.factors import ChosenModel, choose_model
from takestats.pages.grafts_alone import grafts_alone
from takestats.pages.missing import MissingBounds, many_missing, missing_bounds
from takestats.pages.rows import rows_of
from takestats.pages.shrunk import many_combinations, shrunk_takes
from takestats.pages.story import SeasonStory, has_story, season_story

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.confounding import Confounding
    from takestats.answers.gaps import Differences
    from takestats.answers.group_takes import GroupTakes
    from takestats.answers.held import HeldDifference
    from takestats.answers.history import SeasonHistory
    from takestats.answers.model_checks import ModelChecks
    from takestats.answers.model_layer import ModelLayer
    from takestats.answers.odd_trays import OddTrays
    from takestats.answers.odds import OddsRatios
    from takestats.answers.rates import TakeRates
    from takestats.answers.second_opinions import SecondOpinions
    from takestats.models.take_model import TakeModel
    from takestats.pages.strata import Strata
    from takestats.records.result import Records

MOST_LEVELS_IN_PAIRS = 4
Say = Callable[[str], None]


@dataclass(frozen=True, eq=False, kw_only=True)
class Gathered:
    """Everything a page says, still as results.

    Parameters
    ----------
    records : Records
        Without cuttings where grafts are recorded too: what the models see.
    recorded : Records
        As read, cuttings with it.
    season : str
        The season analysed; blank when none is recorded.
    trays : pandas.DataFrame
        Counted trays of that season.
    waiting : pandas.DataFrame
        Trays of that season that are not counted yet.
    chosen : ChosenModel
        The model with what stayed out of it.
    models : dict of str to TakeModel
        Which model each factor's answers come from.
    whole : TakeModel
        The season without a factor.
    overall : TakeRates
        One row.
    rates, gaps, odds : dict
        Per factor; differences and odds ratios only where pairs are few.
    looks : SecondOpinions or None
        Other methods on the first differences; None without trays or differences.
    checks : ModelChecks
        Of the model of the factors side by side.
    history : dict of str to SeasonHistory
        Raw, per season; empty when there is one season.
    before : SeasonHistory or None
        The same of all grafts.
    confounded : Confounding
    missing : MissingBounds or None
        What missing grafts could change in the first differences, when they are many.
    asked : Asked
        What the settings want.
    layer : ModelLayer or None
        Blocks or days above the trays, or several rows in one tray.
    strata : Strata or None
        Inside which levels of another column the question is asked as well.
    held : HeldDifference or None
        The answer.
    shrunk : GroupTakes or None
        The combinations of the season, each drawn to the mean of all.
    not_shrunk : str
        Why not, where three combinations or more are recorded.
    story : SeasonStory or None
        Several seasons.
    """

    records: Records
    recorded: Records
    season: str
    trays: DataFrame
    waiting: DataFrame
    chosen: ChosenModel
    models: dict[str, TakeModel]
    whole: TakeModel
    overall: TakeRates
    rates: dict[str, TakeRates]
    gaps: dict[str, Differences]
    odds: dict[str, OddsRatios]
    looks: SecondOpinions | None
    checks: ModelChecks
    history: dict[str, SeasonHistory]
    before: SeasonHistory | None
    confounded: Confounding
    missing: MissingBounds | None
    asked: Asked
    layer: ModelLayer | None
    strata: Strata | None
    held: HeldDifference | None
    shrunk: GroupTakes | None
    not_shrunk: str
    story: SeasonStory | None

    @property
    def model(self) -> TakeModel:
        """The model of the factors that stand beside one another."""
        return self.chosen.model

    @property
    def odd(self) -> OddTrays:
        """The trays far from their group."""
        return self.checks.odd

    @property
    def last(self) -> dict[str, Any] | None:
        """The season before this one, raw: a row of its history; None where there is none."""
        if self.before is None:
            return None
        rows = [r for r in rows_of(self.before.table) if str(r["season"]) < self.season]
        return rows[-1] if rows else None

    @property
    def main(self) -> str:
        """The main question's factor; blank when there is nothing to compare."""
        return self.chosen.main

    @property
    def settings(self) -> tuple[tuple[str, str], ...]:
        """Every setting that was given, in words."""
        return settings_rows(self.records.trial)


def gather(
    records: Records,
    wanted: Sequence[str],
    *,
    pairs: Mapping[str, Sequence[tuple[str, str]]] | None = None,
    only: str = "",
    strata: Strata | None = None,
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
    # The season's own take: no factor, so that no prior of many levels pulls at it.
    whole = chosen.model
    if chosen.factors:
        say("fitting the season as a whole")
        whole = fit_take(records, [], season=season or "auto", out_of=out_of)
    say("takes and differences")
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
    gaps = {
        factor: differences(model, factor, pairs=asked_pairs[factor])
        for factor, model in few.items()
    }
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
    shrunk, why, story = None, "", None
    if not only:
        say("combinations heard together")
        shrunk, why = shrunk_takes(records, counted, season=season, out_of=out_of)
        story = season_story(
            records, whole, chosen.main, asked_pairs.get(chosen.main, ()), out_of=out_of, say=say
        )
    say("odd trays and earlier seasons")
    checks = model_checks(chosen.model)
    alone = list(models) == list(chosen.model.factors)
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
        odds=odds,
        looks=looks,
        checks=checks,
        history=_history(records, list(models), out_of),
        before=season_history(records, None, out_of=out_of) if has_story(records) else None,
        confounded=checks.confounded if alone else confounding(chosen.model, list(models)),
        missing=bounds,
        asked=wishes,
        layer=model_layer(chosen.model),
        strata=strata,
        held=held,
        shrunk=shrunk,
        not_shrunk=why,
        story=story,
    )


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
