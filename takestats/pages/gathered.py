"""What does a page stand on, still as results?"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from takestats.answers.costs import plant_costs
from takestats.answers.spending import plan_of
from takestats.answers.stage_lines import stage_lines
from takestats.pages.asked import settings_rows
from takestats.pages.rows import rows_of

if TYPE_CHECKING:
    from pandas import DataFrame

    from takestats.answers.confounding import Confounding
    from takestats.answers.costs import PlantCosts
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
    from takestats.answers.stage_lines import StageLines
    from takestats.models.take_model import TakeModel
    from takestats.pages.asked import Asked
    from takestats.pages.factors import ChosenModel
    from takestats.pages.missing import MissingBounds
    from takestats.pages.pictures import FactorPictures
    from takestats.pages.story import SeasonStory
    from takestats.pages.strata import Strata
    from takestats.records.result import Records


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
    pictures : dict of str to FactorPictures
        The charts of every factor.
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
    tell_story : callable
        Waits for ``story``, which may still be worked out on the other core.
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
    pictures: dict[str, FactorPictures]
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
    tell_story: Callable[[], SeasonStory | None]

    @cached_property
    def story(self) -> SeasonStory | None:
        """Several seasons; None when there is one."""
        return self.tell_story()

    @cached_property
    def made_lines(self) -> StageLines:
        """The tray lines of every season as counted, out of grafts made."""
        return stage_lines(self.records, count=self.model.count, out_of="made")

    @cached_property
    def costs(self) -> PlantCosts | None:
        """What a plant of the season costs, all grafts; None where the settings have no costs."""
        if plan_of(self.records.trial) is None:
            return None
        rates = self.overall if self.asked.out_of == "made" else None
        return plant_costs(self.records, rates=rates, lines=self.made_lines, season=self.season)

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
