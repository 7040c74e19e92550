"""Which fields of the public cases are not asked of this version, and why?

One row per topic and field, or one row with the field "*" for a whole topic.
``test_public_cases.py`` fails when a field is neither tested nor listed here,
and when a row here no longer names anything.
"""

from __future__ import annotations

ODDS_RATIOS = "odds and risk ratios of two bare counts: the tray model gives averaged ones"
TESTS = "a test of two bare counts: this version gives intervals, and p values of the tray model"
PAIRED = "paired or stratified counts: no such question in the records"
PARTS = "a part of the estimate, kept for finding faults; no public name returns it"

NOT_OFFERED: dict[tuple[str, str], str] = {
    ("1 single proportion", "jeffreys_equal_tail"): (
        "the equal-tail limits without the end-point rule; ours has the rule, which is tested"
    ),
    ("2 two proportions", "mee_95"): "the score limits without the N/(N-1) factor",
    ("2 two proportions", "pearson_chi2"): TESTS,
    ("2 two proportions", "fisher_two_sided_p"): TESTS,
    ("2 two proportions", "barnard_two_sided_p_pooled_z"): TESTS,
    ("2 two proportions", "conditional_mle_odds_ratio"): ODDS_RATIOS,
    ("2 two proportions", "sample_odds_ratio"): ODDS_RATIOS,
    ("2 two proportions", "odds_ratio_wald_95"): ODDS_RATIOS,
    ("2 two proportions", "risk_ratio"): ODDS_RATIOS,
    ("2 two proportions", "risk_ratio_log_wald_95"): ODDS_RATIOS,
    ("2 two proportions", "chi2"): PAIRED,
    ("2 two proportions", "chi2_continuity"): PAIRED,
    ("2 two proportions", "exact_p"): PAIRED,
    ("2 two proportions", "wald_95"): PAIRED,
    ("2 two proportions", "mh_odds_ratio"): PAIRED,
    ("2 two proportions", "mh_or_95"): PAIRED,
    ("2 two proportions", "cmh_chi2_no_correction"): PAIRED,
    ("2 two proportions", "cmh_chi2_continuity"): PAIRED,
    ("2 two proportions", "breslow_day"): PAIRED,
    ("2 two proportions", "breslow_day_tarone"): PAIRED,
    ("3 logistic", "*"): "maximum likelihood without trays: comes with the second opinions",
    ("3 logistic / 4 overdispersion", "*"): "quasi-binomial fits: come with the second opinions",
    ("4 overdispersion", "*"): "quasi-binomial, mixed-model and GEE fits: second opinions",
    ("4 overdispersion / 9 ICC", "*"): "maximum likelihood beta-binomial: engine ml, later",
    ("5 separation", "*"): "bias-reduced fits: come with the second opinions",
    ("6 marginal", "*"): (
        "margins of maximum-likelihood fits: later; Bartlett's raw margins are tested in "
        "test_published_trials.py"
    ),
    ("7 multiplicity", "*"): "adjusted p values of bare lists: only Holm inside differences",
    ("8 sample size", "*"): "planning comes in a later version",
    ("8 sample size / two-stage", "*"): "planning comes in a later version",
    ("9 ICC", "fleiss_cuzick"): "another estimator; ours is the analysis-of-variance one",
    ("9 ICC", "k"): PARTS,
    ("9 ICC", "N"): PARTS,
    ("9 ICC", "n0"): PARTS,
    ("9 ICC", "msb"): PARTS,
    ("9 ICC", "msw"): PARTS,
    ("10 units", "height_in"): "a fact about where a caliper is taken, not a number to compute",
    ("10 units", "switch_caliper_in"): "a fact, as above",
}
