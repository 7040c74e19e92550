"""How does the command line tell what went wrong? In four parts, never a traceback."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import typer

from takestats.cli.fault_list import fault_lines
from takestats.errors import FileError, RecordsError, TakeError
from takestats.wording.shown import shown

BAD_INPUT = 2
FAILED = 1


class TaskFailedError(Exception):
    """The input was good and the task still failed, as when a disk is full.

    Parameters
    ----------
    told : TakeError
        The four parts.
    """

    def __init__(self, told: TakeError) -> None:
        self.told = told
        super().__init__(str(told))


@contextmanager
def writing_into(folder: Path) -> Iterator[None]:
    """Turn a failure to write into a failed task; the input was not to blame."""
    try:
        yield
    except FileError as error:
        raise TaskFailedError(error) from error
    except OSError as error:
        raise TaskFailedError(_cannot_write(folder, error)) from error


def tell(error: BaseException, *, as_json: bool) -> int:
    """Tell an error on stderr, and as JSON on stdout when that was asked for.

    Parameters
    ----------
    error : BaseException
        Whatever stopped the run.
    as_json : bool
        Whether ``--json`` was given.

    Returns
    -------
    int
        The exit code: 2 for bad input, 1 for a failed task.
    """
    told, code = _four_parts(error)
    if isinstance(told, RecordsError):
        for line in fault_lines(told.problems):
            typer.echo(shown(line), err=True)
        typer.echo("", err=True)
    typer.echo(shown(f"{told.where}: {told.what}"), err=True)
    typer.echo(shown(f"  Rule: {told.rule}"), err=True)
    typer.echo(shown(f"  Next: {told.next_step}"), err=True)
    if as_json:
        from takestats.cli.as_json import json_text

        parts: dict[str, object] = {
            "where": told.where,
            "what": told.what,
            "rule": told.rule,
            "next_step": told.next_step,
        }
        if isinstance(told, RecordsError):
            parts["problems"] = told.problems
        typer.echo(json_text({"error": parts}))
    if os.environ.get("TAKESTATS_TRACEBACK"):
        raise error
    return code


def _four_parts(error: BaseException) -> tuple[TakeError, int]:
    if isinstance(error, TaskFailedError):
        return error.told, FAILED
    if isinstance(error, TakeError):
        return error, BAD_INPUT
    if isinstance(error, typer.TyperException):
        return _bad_words(error), error.exit_code
    if isinstance(error, OSError):
        return _cannot_use(error), FAILED
    if isinstance(error, MemoryError):
        return _no_memory(), FAILED
    return _our_fault(error), FAILED


def _bad_words(error: typer.TyperException) -> TakeError:
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else "takestats"
    return TakeError(
        where=command,
        what=error.format_message(),
        rule="the words after a command are files and the options that its help lists.",
        next_step=f"run `{command} --help` to see them.",
    )


def _cannot_write(folder: Path, error: OSError) -> TakeError:
    return TakeError(
        where=str(error.filename or folder),
        what=f"cannot be written ({error.strerror or error}).",
        rule="the page is written whole into a folder that you may write to, or not at all.",
        next_step="free some space, close the file if it is open, or choose another --out folder.",
    )


def _cannot_use(error: OSError) -> TakeError:
    return TakeError(
        where=str(error.filename or "this computer"),
        what=f"the system refused ({error.strerror or error}).",
        rule="a file must be there and open to you.",
        next_step="check the name, the disk and your rights, then run the command again.",
    )


def _no_memory() -> TakeError:
    return TakeError(
        where="this computer",
        what="there was not enough memory to finish.",
        rule="one season of a nursery fits into about one gigabyte.",
        next_step="close other programs, or give fewer files at once.",
    )


def _our_fault(error: BaseException) -> TakeError:
    return TakeError(
        where="takestats itself",
        what=f"met something it does not handle ({type(error).__name__}: {error}).",
        rule="every fault is told in plain words; this one is not, so it is ours.",
        next_step=(
            "report it with the command and a copy of the records; "
            "with TAKESTATS_TRACEBACK=1 set it prints where it happened."
        ),
    )
