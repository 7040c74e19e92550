"""What does each word of a page mean, in one sentence?"""

from __future__ import annotations

GLOSSARY_HEADING = "Words used on this page"
GLOSSARY_CAPTION = "Each word in one sentence"
GLOSSARY_HEADER = ("word", "what it means here")

#: In the order in which a reader meets them.
GLOSSARY: tuple[tuple[str, str], ...] = (
    (
        "take",
        "the share of grafts that were alive and joined at the count, out of the grafts made, "
        "missing ones left out; where the settings say so, dead understocks are left out as well",
    ),
    (
        "settled count",
        "the count after the first flush has hardened, when a scion no longer lives on stored "
        "food; the default for every comparison",
    ),
    (
        "tray",
        "the grafts that stood together and share their fate: the unit that is counted for "
        "certainty, however many grafts it holds",
    ),
    (
        "raw take",
        "the counts of a level's own trays added up, with nothing made comparable",
    ),
    (
        "quick limits",
        "limits of a raw take by a closed form that allows for trays, never the headline",
    ),
    (
        "95 % confidence interval",
        "the range in which the answer lies as far as these trays can tell; how often such ranges "
        "held the truth in simulated trials is told under how the numbers were made",
    ),
    (
        "points",
        "the difference of two takes: from 80 % to 87 % is 7 points",
    ),
    (
        "population-averaged",
        "of all grafts in trays like these, good trays and bad ones together, at the mix of the "
        "other factors that was met; every take on this page is that",
    ),
    (
        "intra-tray correlation (ICC)",
        "how alike the grafts of one tray are beyond their treatment: 0 is not at all, 1 is all or "
        "nothing by tray",
    ),
    (
        "odds ratio averaged over trays",
        "the odds of one averaged take over those of the other; it is not the ratio of the takes",
    ),
    (
        "same-tray odds ratio",
        "the odds of two grafts that share one tray, further from 1 than the averaged one the more "
        "trays differ; given in Python on request, not on this page",
    ),
    (
        "log odds",
        "the scale on which factors add up in the model: 0 is a take of 50 %, 2 one of 88 %",
    ),
    (
        "posterior median",
        "the middle of what the model holds for possible after it has seen the trays",
    ),
    (
        "weak prior",
        "what the model holds for possible before it has seen a tray, chosen to say as little as "
        "it can; named under how the numbers were made",
    ),
    (
        "p, and adjusted p",
        "a tail area of the interval, not the chance that two levels are equal; adjusted for the "
        "number of pairs looked at (Holm)",
    ),
    (
        "shrunk",
        "drawn towards the mean of all combinations, the more so the fewer trays it stands on",
    ),
    (
        "window",
        "the stretch of dates or calipers over which take stays near its best, read from a curve",
    ),
    (
        "expected take of the next season",
        "the take of one more season, not of the average of seasons, with the limit it should "
        "reach with 90 % probability",
    ),
    (
        "seen together, not shown to cause",
        "treatments were not given to trays by lot, so something that went with them may be what "
        "made the difference",
    ),
)

COEFFICIENTS_HEADING = "The model's coefficients"
COEFFICIENTS_CAPTION = "Log odds of each level against its reference"
COEFFICIENTS_HEADER = ("factor", "level", "against", "log odds (95 % interval)")
COEFFICIENTS_TABLE = "coefficients of the model, log odds of averaged takes"
