"""What does the second half of a page say, for a reader who knows statistics?"""

from __future__ import annotations

from takestats.wording.layer_answers import units_words
from takestats.wording.layered import unit_words
from takestats.wording.numbers import level_words, plain

_MODELS = (
    "How the takes were computed. One line per tray: so many taken of so many tried. Four models "
    "are fitted and averaged by how well each explains the trays: a beta-binomial and a "
    "logit-normal one, each once with one tray-to-tray spread for all and once with an own spread "
    "for each level of the first factor, the latter the likelier beforehand the more trays there "
    "are. The weak priors are: Beta(1/2, 1/2) on the take of each level of the first factor; on "
    "how far everything else moves the log odds within a level, t with 4 degrees of freedom and "
    "scale 1; on the intra-tray correlation, Beta(1, 4); on the logit-normal spread, half-normal "
    "with scale 1.5. The spread is integrated over, not plugged in, and that is what "
    "widens the intervals when trays are few."
)
_GRID = (
    "Every sum was taken on an exact grid of takes and spreads: one factor, or every cell of "
    "several."
)
_DRAWS = (
    "Several factors stand side by side: each shifts the log odds of take by itself, the same at "
    "every level of the others. The sums were taken by importance sampling with a fixed seed."
)
_LAYERED = (
    "How the takes were computed. One line per tray: so many taken of so many tried. Trays stand "
    "in {units}: each {unit} shifts the log odds of its trays together, normally distributed, and "
    "trays of one {unit} differ further, beta-binomial in one model and logit-normal in another; "
    "the two are averaged by how well each explains the trays. The weak priors are: on the take "
    "averaged over {units} and trays, Beta(1/2, 1/2) for each level of the first factor, and t "
    "with 4 degrees of freedom on how far everything else moves the log odds; on the spread from "
    "{unit} to {unit}, half-normal with scale {scale}; on the intra-tray correlation, Beta(1, 4); "
    "on the logit-normal spread, half-normal with scale 1.5. The spreads are integrated over, not "
    "plugged in."
)
_ROWS = (
    "How the takes were computed. Some trays hold several rows: so many taken of so many tried, "
    "by method or caliper. Two models are averaged by how well each explains them: a logit-normal "
    "one, in which the tray shifts the log odds of all its rows and each row differs a little "
    "further, and one in which each row's take is drawn from a beta distribution at one quantile "
    "that the rows of a tray share. The weak priors are: on the averaged take, Beta(1/2, 1/2) "
    "for each level of the first factor, and t with 4 degrees of freedom on how far everything "
    "else moves the log odds; on the spread from tray to tray, half-normal with scale 1.5; "
    "on that from row to row, half-normal with scale 0.5; on the intra-tray correlation, Beta(1, "
    "4). The spreads are integrated over, not plugged in."
)
_LAYER_DRAWS = "The sums were taken by importance sampling with a fixed seed."
_NO_TRAYS = (
    "How the takes were computed. No trays are recorded, so every graft counts as if it stood "
    "alone: a binomial model with the weak prior Beta(1/2, 1/2) on each level's take (with several "
    "factors, on the levels of the first; other effects are held loosely near none). If grafts of "
    "a tray share its fate, the intervals are too narrow."
)
_SHOWN = (
    "What is shown. Posterior median with the interval between the outer posterior tails. A take "
    "is that of grafts in new trays like these, averaged over trays at the observed mix of the "
    "other factors; raw counts stand beside it."
)
# Lowest coverage of the calibration run, in hundredths (tests/calibration keeps them true):
# the 216 settings with equal spreads; and, where one method's trays are far more uneven than the
# other's, the take of a method and the difference.
HELD_EQUAL = 91
HELD_UNEVEN_TAKE = 90
HELD_UNEVEN_DIFFERENCE = 91
_CHECKED = (
    "How far this is checked. In simulated trials of two methods whose trays are about equally "
    f"uneven, the 95 % interval held the truth in at least {HELD_EQUAL} of 100, whatever the take, "
    "the trays and the spread that were tried; on average in 96. Where the trays of one method are "
    f"far more uneven than those of the other it fell to {HELD_UNEVEN_TAKE} of 100 for the take of "
    f"the uneven method and {HELD_UNEVEN_DIFFERENCE} for the difference in the worst setting. The "
    "tables, with the promises that are not met, stand in reports/ of the project."
)
# The same for several factors side by side: the lowest of all, and of those without a curve.
HELD_SEVERAL_TAKE = 89
HELD_SEVERAL_DIFFERENCE = 91
HELD_LINES_TAKE = 89
HELD_LINES_DIFFERENCE = 92
_CHECKED_SEVERAL = (
    "Several factors side by side, as on this page, were checked in simulated trials of 22 trays "
    "with two factors, a caliper and a date, two hundred a setting. The interval held the truth in "
    f"at least {HELD_LINES_TAKE} of 100 for a take and {HELD_LINES_DIFFERENCE} for a difference; "
    f"with a curve over the caliper in {HELD_SEVERAL_TAKE} and {HELD_SEVERAL_DIFFERENCE}. On "
    "average takes were held in 96 and 96, differences in 97 and 98. The settings with a take "
    "under 91 were run again with four hundred fresh trials each, and then held it in 91 or more. "
    "Most misses of takes fall on one side: the true take lies above the printed interval."
)
# How often the intervals of fits with a layer hold the truth: the lowest and the mean, in
# hundredths, once the calibration of layers is in reports/ (rows "blocks", "rows in trays").
CHECKED_LAYERED = (
    "How far this is checked. How often the intervals of fits with blocks or days above the trays, "
    "or with several rows in a tray, hold the truth in simulated trials stands in reports/ of the "
    "project, with the promises that are not met."
)
_UNCHECKED = (
    "How far this is checked. Without trays nothing here can be: the intervals are right only if "
    "grafts stand apart from each other."
)


def method_text(
    *, by_draws: bool, trays_recorded: bool, layer: str = "", scale: float = 1.5
) -> tuple[str, ...]:
    """Say how the numbers of a page were computed, and how far that is checked.

    Parameters
    ----------
    by_draws, trays_recorded : bool
    layer : str
        "rows", or the column whose levels the trays stand in; blank for none.
    scale : float
        Of the half-normal prior on the spread from block to block.

    Examples
    --------
    >>> len(method_text(by_draws=True, trays_recorded=True))
    5
    """
    if not trays_recorded:
        return (_NO_TRAYS, _SHOWN, _UNCHECKED)
    if layer == "rows":
        return (_ROWS, _LAYER_DRAWS, _SHOWN, CHECKED_LAYERED)
    if layer:
        told = _LAYERED.format(unit=unit_words(layer), units=units_words(layer), scale=plain(scale))
        return (told, _LAYER_DRAWS, _SHOWN, CHECKED_LAYERED)
    if by_draws:
        return (_MODELS, _DRAWS, _SHOWN, _CHECKED, _CHECKED_SEVERAL)
    return (_MODELS, _GRID, _SHOWN, _CHECKED)


AGAIN_HEADING = "To make this page again"
AGAIN = "Command, inputs, settings and versions"
FROM_PYTHON = "none: the records came from a table in Python"
TWO_DIFFERENCES = (
    "Two at a time: the difference in the first less the difference in the second, from the same "
    "draws as both. In points a difference shrinks where takes near 100 %; the ratio of the odds "
    "ratios, averaged over trays, need not. The adjusted p follows Holm over all pairs."
)
ODDS_NAME = (
    "Odds ratios averaged over trays: the odds of the two averaged takes, not those of two "
    "grafts in "
    "the same tray. Where every graft of a level took, one side has no bound."
)
P_MEANING = (
    "p is twice the smaller of the two posterior chances that the difference lies on the other "
    "side "
    "of zero: it is under 0.05 exactly when the 95 % interval leaves zero out. It is not the "
    "chance "
    "that the two levels are equal. The adjusted p follows Holm over the pairs of one factor; the "
    "limits are not adjusted, so with many pairs some intervals will leave zero out by luck."
)
QUICK = (
    "Second look, by a closed form: raw rates, with the number of grafts shrunk to the number they "
    "are worth given how much trays differ, Wilson limits per level, and differences by combining "
    "the distances of the limits (Newcombe 1998). It is never the headline; where it disagrees "
    "with "
    "the interval of the model by much, look at the trays."
)
CORRELATION = (
    "Intra-tray correlation: 0 means that grafts of a tray are as different as grafts of different "
    "trays, 1 that a tray takes or fails as a whole. Shown as an interval only; under about ten "
    "trays "
    "it rests mostly on the assumed range."
)
NO_CORRELATION = (
    "Intra-tray correlation: not estimable, because no trays are recorded or too little was "
    "counted."
)


def level_line(level: float = 0.95) -> str:
    """Name the intervals of a page.

    Examples
    --------
    >>> level_line()
    'All limits are a 95 % confidence interval unless said otherwise.'
    """
    return f"All limits are a {level_words(level)} unless said otherwise."
