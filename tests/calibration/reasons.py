"""Why is a promise not met, and what does that mean for somebody who reads the limits?"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pandas as pd

from tests.calibration.bars import Verdict, long_form, setting_words, share

_CEILING, _UNEQUAL, _KNOWN = "Settings with ICC .05", "Unequal spread", "if the ICC were known"


def _ceiling(frame: pd.DataFrame) -> str:
    long = long_form(frame)
    long = long[long["icc_a"] >= 0.05]
    mean = long.groupby(["index", "target", "trays_a"])["coverage"].mean()
    over = mean[mean > 0.990].reset_index()
    if over.empty:
        return (
            "*Limits that hold too often.* Over the ceiling with single seeds only, not with all "
            "trials together."
        )
    trays = sorted({int(number) for number in over["trays_a"]})
    words = ", ".join(str(number) for number in trays)
    targets = {"gap": "the difference", "a": "a take", "b": "a take"}
    which = " or ".join(dict.fromkeys(targets[str(name)] for name in over["target"]))
    return (
        f"*Limits that hold too often.* {len(over)} of {len(mean)} are over the ceiling with all "
        f"trials together: {which}, {words} trays an arm. Nobody is misled, but the limits are "
        "wider than they need be there. They allow for trays of one method being more uneven than "
        "those of the other, and so few trays cannot rule that out. The fewer the trays, the less "
        "room that possibility is given; with still less, settings with truly unequal trays fall "
        "below their floor."
    )


def _unequal(frame: pd.DataFrame) -> str:
    long = long_form(frame)
    keys = ["index", "target"]
    mean = long.groupby(keys)["coverage"].mean()
    under = mean[mean < 0.91]
    takes = [key for key in under.index if key[1] != "gap"]
    gaps = [key for key in under.index if key[1] == "gap"]
    words = (
        "*Limits that hold too seldom when one method's trays are far more uneven.* With all "
        f"trials together {len(takes)} takes and {len(gaps)} differences of {len(mean)} are under "
        f".91; the lowest difference is {share(float(mean.xs('gap', level='target').min()))}."
    )
    if not takes:
        return words
    lowest = min(takes, key=lambda key: float(mean[key]))
    part = long[(long["index"] == lowest[0]) & (long["target"] == lowest[1])]
    name = str(lowest[1])
    missed = float(1.0 - part["coverage"].mean())
    full = float(part[f"{name}_missed_full"].mean()) if f"{name}_missed_full" in part else 0.0
    off = float(part[f"{name}_off"].median()) if f"{name}_off" in part else 0.0
    words += (
        f" The lowest is the take of {name.upper()}, {share(float(mean[lowest]))} "
        f"({setting_words(part.iloc[0])}): of its misses {100 * full / missed:.0f} % are trials in "
        "which every graft of every tray took. No bad tray had been seen yet, and the lower limit "
        f"stood too high, in the middle miss by {100 * off:.1f} points. The program says beside "
        "such a level how many bad trays could have stayed unseen."
    )
    return words


def _known(frame: pd.DataFrame) -> str:
    wide = frame.groupby("index").agg({"to_known": "mean", "trays_a": "first"})
    rows = [
        f"{int(trays)} trays {part['to_known'].max():.2f}"
        for trays, part in wide.groupby("trays_a")
    ]
    return (
        "*Width beside knowing how uneven trays are.* Highest ratio with the seeds averaged: "
        + ", ".join(rows)
        + ". The yardstick knows not only how uneven trays are but also that both methods' trays "
        "are equally so; these limits allow that they are not, the more the more trays there are, "
        "because with many trays that is what takes them below their promise where it is so."
    )


def reasons(frames: Mapping[str, pd.DataFrame], missed: Sequence[Verdict]) -> list[str]:
    """A paragraph for each kind of promise that is not met."""
    lines: list[str] = []
    for words, name, tell in (
        (_CEILING, "grid", _ceiling),
        (_UNEQUAL, "unequal", _unequal),
        (_KNOWN, "widths", _known),
    ):
        if name in frames and any(words in verdict.what for verdict in missed):
            lines += [tell(frames[name]), ""]
    return lines
