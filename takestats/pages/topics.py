"""Which topics beyond takes and differences does a season page treat, and in which order?"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING

from takestats.models.progress import silent
from takestats.models.side_by_side import beside
from takestats.pages.combinations_topic import combinations_topic
from takestats.pages.curves_topic import curves_topic
from takestats.pages.further_topic import further_topic
from takestats.pages.money_topic import money_topic
from takestats.pages.parts import pictures_of
from takestats.pages.question_topic import question_topic
from takestats.pages.stages_topic import stages_topic
from takestats.pages.statistician_topic import statistician_topic
from takestats.pages.trays_topic import trays_topic

if TYPE_CHECKING:
    from takestats.pages.gathered import Gathered
    from takestats.pages.parts import Section
    from takestats.pages.studio import Studio
    from takestats.pages.topic import Topic

Say = Callable[[str], None]
MakeTopic = Callable[["Gathered", str, Say], "Topic | None"]

#: In the order of the page.
TOPICS: Mapping[str, MakeTopic] = {
    "question": question_topic,
    "combinations": combinations_topic,
    "further": further_topic,
    "curves": curves_topic,
    "trays": trays_topic,
    "stages": stages_topic,
    "money": money_topic,
    "statistician": statistician_topic,
}
#: These take their time; the rest, the map of trays first of all, is done meanwhile.
ON_THE_OTHER_CORE = ("further", "curves")
#: These stand before the factors, the rest after them.
BEFORE_FACTORS = ("combinations",)


def season_topics(
    found: Gathered, marker: str, say: Say, studio: Studio | None = None
) -> dict[str, Topic]:
    """Every topic that the records have something for.

    Parameters
    ----------
    found : Gathered
        The answers of the page so far.
    marker : str
        For the charts: INVENTED DATA, a citation, or blank.
    say : callable
        Told what is being done.
    studio : Studio, optional
        Begins with the charts of a topic as soon as it is there.

    Returns
    -------
    dict of str to Topic
        In the order of the page; a topic without a recorded column is not there.
    """
    waiting = {
        name: beside(partial(make, found, marker, silent))
        for name, make in TOPICS.items()
        if name in ON_THE_OTHER_CORE
    }
    made: dict[str, Topic] = {}
    # What is worked out here, then what comes from the other core.
    for name in sorted(TOPICS, key=waiting.__contains__):
        topic = waiting[name]() if name in waiting else TOPICS[name](found, marker, say)
        if topic is None:
            continue
        made[name] = topic
        if studio is not None:
            studio.begin(pictures_of(topic.sections))
    return {name: made[name] for name in TOPICS if name in made}


def topic_sections(
    topics: Mapping[str, Topic], part: str, *, first: bool | None = None
) -> list[Section]:
    """The sections of all topics that stand in one part of the page.

    Parameters
    ----------
    topics : dict of str to Topic
    part : str
        "season" or "statistician".
    first : bool, optional
        Only those that stand before the factors, or only those after; all when not given.
    """
    return [
        section
        for name, topic in topics.items()
        if first is None or first == (name in BEFORE_FACTORS)
        for section in topic.sections
        if section.part == part
    ]
