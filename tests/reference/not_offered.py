"""Which fields of the public cases are not asked of this version, and why?

One row per topic and field, or one row with the field "*" for a whole topic.
``test_public_cases.py`` fails when a field is neither tested nor listed here,
and when a row here no longer names anything.
"""

from __future__ import annotations

ODDS_RATIOS = "odds and risk ratios of two bare counts: the tray model gives averaged ones"
TESTS = "a test of two bare counts: this version gives intervals, and p values of the tray model"
PAIRED = "paired or stratified counts: no such question in the records"
DEVIANCE = "deviances and likelihood-ratio tests: not reported"
NO_INTERACTION = "Bartlett's test of no second-order interaction: no such question is asked"
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
    ("3 logistic", "p"): "raw rates of Bartlett's cells: tested in test_published_trials.py",
    ("3 logistic", "or_long"): ODDS_RATIOS,
    ("3 logistic", "or_short"): ODDS_RATIOS,
    ("3 logistic", "ratio_long_over_short"): ODDS_RATIOS,
    ("3 logistic", "deviance"): DEVIANCE,
    ("3 logistic", "fitted_alive"): "fitted counts: follow from the coefficients, which are tested",
    ("3 logistic", "wald_z"): "a test of one coefficient: follows from est and se",
    ("3 logistic", "lr_chi2_1df"): DEVIANCE,
    ("3 logistic", "x"): NO_INTERACTION,
    ("3 logistic", "fitted_[alive,dead]x[long once,long spring,short once,short spring]"): (
        NO_INTERACTION
    ),
    ("3 logistic", "X2"): NO_INTERACTION,
    ("3 logistic", "G2"): NO_INTERACTION,
    ("3 logistic", "p_X2"): NO_INTERACTION,
    ("3 logistic / 4 overdispersion", "deviance"): DEVIANCE,
    ("4 overdispersion", "deviance"): DEVIANCE,
    ("4 overdispersion", "independence"): "GEE with independence: ours is exchangeable",
    ("5 separation", "*"): (
        "Firth and median bias reduction: no component of ours; where every graft of a level took, "
        "the second looks say that they have no answer (tested) and the tray model answers"
    ),
    ("6 marginal", "rr"): ODDS_RATIOS,
    ("6 marginal", "se_log_rr"): ODDS_RATIOS,
    ("6 marginal", "now"): "averages on the log odds scale: ours average takes",
    ("6 marginal", "spring"): "as above",
    ("7 multiplicity", "pairs"): "labels of the pairs",
    ("7 multiplicity", "p_single_step"): "single-step adjustment: ours is Holm",
    ("7 multiplicity", "critical_95"): "as above",
    ("7 multiplicity", "bh"): "false discovery rates: ours is Holm",
    ("8 sample size", "pooled_both_tails"): "the wrong way round is not counted as power",
    (
        "8 sample size",
        "three_over_n",
    ): "a rule of thumb; the exact limits are tested",
    ("8 sample size", "plus_one"): "one tray more for a lost one: said in the notes of a plan",
    ("9 ICC", "fleiss_cuzick"): "another estimator; ours is the analysis-of-variance one",
    ("9 ICC", "k"): PARTS,
    ("9 ICC", "N"): PARTS,
    ("9 ICC", "n0"): PARTS,
    ("9 ICC", "msb"): PARTS,
    ("9 ICC", "msw"): PARTS,
    ("10 units", "height_in"): "a fact about where a caliper is taken, not a number to compute",
    ("10 units", "switch_caliper_in"): "a fact, as above",
}
