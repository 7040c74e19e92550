"""How are plain questions asked one after another, until each answer can be used?"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import typer

from takestats.errors import SettingsError, TakeError

Ask = Callable[[str, str], str]


def ask_on_terminal(question: str, default: str) -> str:
    """Ask one question; Enter takes the answer in brackets.

    Raises
    ------
    SettingsError
        When the input ends before the question is answered.
    """
    shown = f" [{default}]" if default else ""
    typer.echo(f"{question}{shown} ", nl=False)
    try:
        typed = input().strip()
    except EOFError:
        typer.echo("")
        raise SettingsError(
            where="the questions",
            what=f'no answer to "{question}"',
            rule="Each question needs an answer, or Enter for the one in brackets.",
            next_step="Answer at the keyboard, give answers as options, or add --no-questions.",
        ) from None
    return typed or default


def ask_until_usable(
    question: str,
    default: str,
    check: Callable[[str], object],
    *,
    ask: Ask = ask_on_terminal,
) -> str:
    """Ask again, saying why, until ``check`` takes the answer."""
    while True:
        typed = ask(question, default)
        try:
            check(typed)
        except TakeError as fault:
            typer.echo(f"  {fault.what}: {fault.rule} {fault.next_step}")
        else:
            return typed


def ask_all(
    given: Mapping[str, str],
    *,
    keys: tuple[str, ...],
    words: Mapping[str, str],
    still_asked: Callable[[str, Mapping[str, str]], bool],
    default: Callable[[str, Mapping[str, str]], str],
    check: Callable[[str, str, Mapping[str, str]], object],
    ask: Ask = ask_on_terminal,
) -> dict[str, str]:
    """Ask what was not given as an option, as far as it still matters.

    Parameters
    ----------
    given : mapping of str to str
        Answers already there; they are checked and not asked.
    keys : tuple of str
        The questions in order.
    words : mapping of str to str
        How each is asked.
    still_asked, default, check : callable
        Whether a question matters after the answers so far, its default, and
        what refuses an answer.
    ask : callable
        Takes the question and its default.

    Returns
    -------
    dict of str to str
        Answers as typed.
    """
    answers: dict[str, str] = {}
    for key in keys:
        if key in given:
            check(key, given[key], answers)
            answers[key] = given[key]
        elif still_asked(key, answers):
            so_far = dict(answers)

            def usable(typed: str, key: str = key, so_far: dict[str, str] = so_far) -> object:
                return check(key, typed, so_far)

            answers[key] = ask_until_usable(words[key], default(key, answers), usable, ask=ask)
    return answers
