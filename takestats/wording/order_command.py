"""What does the command of an order say beside the order itself?"""

from __future__ import annotations

SHAPE = "takestats understock order"
IN_PYTHON = "takes=(0.60, 0.75, 0.85)"
_INSTEAD = {
    IN_PYTHON: '--take "NAME=60%,75%,85%"',
    "give an UnderstockOrder, or the record that as_record() made of it": "give the folder of the "
    "earlier order, or leave --earlier out",
    "write 0.9 for nine seasons in ten": "write 90% for nine seasons in ten",
}


def typed_words(text: str) -> str:
    """Say a next step as it is typed at the command line.

    Examples
    --------
    >>> typed_words("under [targets], or takes=(0.60, 0.75, 0.85)")
    'under [targets], or --take "NAME=60%,75%,85%"'
    """
    for said, instead in _INSTEAD.items():
        text = text.replace(said, instead)
    return text


def take_refused(text: str) -> dict[str, str]:
    """Say that typed takes cannot be read."""
    return {
        "where": "--take",
        "what": repr(text),
        "rule": "takes are typed as a combination, =, and three shares: poor, usual, good.",
        "next_step": 'type --take "moth on virginiana=60%,75%,85%"; once for each combination.',
    }


def take_twice(name: str) -> dict[str, str]:
    """Say that a combination was given takes twice."""
    return {
        "where": "--take",
        "what": f"{name!r} twice",
        "rule": "a combination has one poor, one usual and one good take.",
        "next_step": "keep the one that is right.",
    }


def no_earlier(path: str) -> dict[str, str]:
    """Say that there is no earlier order."""
    return {
        "where": path,
        "what": "there is no such file.",
        "rule": "an order is held against the order.json that an earlier one wrote.",
        "next_step": "give its folder, as --earlier takestats_order, or leave --earlier out.",
    }


def not_an_order(path: str) -> dict[str, str]:
    """Say that a file is no order."""
    return {
        "where": path,
        "what": "is not an order that takestats wrote.",
        "rule": "an order is held against the order.json that an earlier one wrote.",
        "next_step": "give the folder of the earlier order, or leave --earlier out.",
    }


def nothing_given() -> dict[str, str]:
    """Say that neither records nor settings were given."""
    return {
        "where": "takestats order",
        "what": "neither records nor settings were given.",
        "rule": "an order starts from the plants wanted, under [targets] in the settings or the "
        "sheet trial of a workbook, and from past takes: of records, or typed.",
        "next_step": "give the records, as takestats order season_2025.csv season_2026.csv "
        "--trial trial.toml, or settings alone with typed takes beside the targets.",
    }


def next_line(again: str, folder: str) -> str:
    """Say what is done next."""
    return (
        "Next: open the page and hand on its first sheet; after the settled count run "
        f"{again} on the counted records, to see what to change (keep {folder} until then)."
    )
