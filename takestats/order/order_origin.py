"""From which files, settings and count was an order made?"""

from __future__ import annotations

from dataclasses import dataclass

from pandas import DataFrame

from takestats.order.past_seasons import PastSeasons
from takestats.records.settings import TrialSettings


@dataclass(frozen=True, eq=False, kw_only=True)
class OrderOrigin:
    """What an order was made from.

    Parameters
    ----------
    title : str
        Of the settings; blank without one.
    invented : bool
    banner : str
        What stands first wherever invented or reconstructed records are shown; else blank.
    sources : tuple of (str, str)
        File name and SHA-256 of each file of records.
    settings_file, settings_sha256 : str
        Blank where no file of settings was read.
    count : str
        The count that take is told of; blank without records.
    count_dates : tuple of str
    work_assumed : bool
        What stands under ``[work]`` is assumed.
    set_aside : DataFrame
        Rows that were left out as faulty, as typed, with the reason.
    """

    title: str
    invented: bool
    banner: str
    sources: tuple[tuple[str, str], ...]
    settings_file: str
    settings_sha256: str
    count: str
    count_dates: tuple[str, ...]
    work_assumed: bool
    set_aside: DataFrame


def origin_of(past: PastSeasons | None, settings: TrialSettings) -> OrderOrigin:
    """Note down what an order is made from.

    Parameters
    ----------
    past : PastSeasons or None
        None: takes were typed.
    settings : TrialSettings
        Invented or quoted settings mark an order from typed takes as they mark records.
    """
    invented, banner = settings.invented, settings.banner
    if past is not None:
        invented = invented or past.records.invented
        banner = past.records.banner or banner
    return OrderOrigin(
        title=settings.title or ("" if past is None else past.records.trial.title),
        invented=invented,
        banner=banner,
        sources=() if past is None else past.records.sources,
        settings_file=settings.file if settings.sha256 else "",
        settings_sha256=settings.sha256,
        count="" if past is None else past.count,
        count_dates=() if past is None else past.dates,
        work_assumed=bool(settings.work.get("assumed", False)),
        set_aside=DataFrame() if past is None else past.records.set_aside.copy(),
    )
