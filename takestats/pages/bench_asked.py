"""Which layout do the settings of a trial ask for?"""

from __future__ import annotations

from takestats.bench.layout import BenchLayout, bench_layout
from takestats.errors import DesignError, SettingsError
from takestats.records.settings import TrialSettings
from takestats.wording.bench_asked import NO_TRAYS_EACH, NO_TREATMENTS, WRITTEN_LAYOUT


def layout_of_settings(settings: TrialSettings) -> BenchLayout:
    """Draw the layout that the settings ask for under [bench].

    Parameters
    ----------
    settings : TrialSettings

    Returns
    -------
    BenchLayout

    Raises
    ------
    SettingsError
        When a setting is missing.
    DesignError
        When the layout cannot be balanced.
    """
    where = settings.file or "settings"
    asked = settings.bench
    for key, said in (("treatments", NO_TREATMENTS), ("trays_each", NO_TRAYS_EACH)):
        if key not in asked:
            raise SettingsError(where=where, what=said[0], rule=said[1], next_step=said[2])
    if "layout" in asked:
        what, rule, next_step = WRITTEN_LAYOUT
        raise SettingsError(where=where, what=what, rule=rule, next_step=next_step)
    try:
        return bench_layout(
            asked["treatments"],
            asked["trays_each"],
            blocks=asked.get("blocks"),
            tray_size=asked.get("tray_size"),
            split_trays=bool(asked.get("split_trays", False)),
            seed=asked.get("seed"),
            methods=settings.methods,
        )
    except DesignError as error:
        raise DesignError(
            where=f"{where}, [bench] {error.where}",
            what=error.what,
            rule=error.rule,
            next_step=error.next_step,
        ) from None
