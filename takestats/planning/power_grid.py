"""How does power grow with trays? Many sizes of one trial, on one core, several, or a cluster."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Generator, Sequence
from contextlib import closing, nullcontext
from typing import Any

from pandas import DataFrame

from takestats.planning.power import Power, feel_trials, simulated_power
from takestats.planning.question import Question

STREAM = 5_000
#: Called with how many points are done, and how many there are.
Progress = Callable[[int, int], None]


def power_grid(
    question: Question,
    iccs: Sequence[float],
    trays: Sequence[int],
    *,
    trials: int | None = None,
    seed: int = 1,
    jobs: int = 1,
    backend: str | None = None,
    progress: Progress | None = None,
) -> DataFrame:
    """How often is the question answered, for each number of trays and each correlation?

    Parameters
    ----------
    question : Question
    iccs : sequence of float
    trays : sequence of int
        Of each arm.
    trials : int, optional
        Simulated trials of each point; a few hundred by default, enough for a chart.
    seed : int
        Same seed, same digits, however many processes share the work.
    jobs : int
        Processes side by side; -1 for all cores.
    backend : str, optional
        A joblib backend: "dask" spreads the work over the cluster of the Dask client at hand
        (extra ``cluster``).
    progress : callable, optional
        ``progress(done, total)`` after each point, in order.

    Returns
    -------
    DataFrame
        icc, trays, grafts, power, width, trials.

    Notes
    -----
    It may be interrupted at any point; nothing is written and no process is left behind.

    Examples
    --------
    >>> ask = Question(kind="above_floor", take_a=0.6, take_b=0.9, tray_size=12)
    >>> power_grid(ask, [0.05], [3, 6], trials=50)["grafts"].tolist()
    [36, 72]
    """
    points = [(icc, number) for icc in iccs for number in trays]
    each = trials if trials is not None else feel_trials(question)
    rows: list[dict[str, Any]] = []
    with closing(_found(question, points, each, seed, jobs, backend)) as work:
        for found in work:
            rows.append(
                {
                    "icc": found.icc,
                    "trays": found.trays,
                    "grafts": question.grafts(found.trays),
                    "power": found.power,
                    "width": found.width,
                    "trials": found.trials,
                }
            )
            if progress is not None:
                progress(len(rows), len(points))
    return DataFrame(rows)


def _point(question: Question, icc: float, trays: int, trials: int, seed: int) -> Power:
    return simulated_power(
        question, trays, (icc,), trials=trials, seed=seed, stream=STREAM, widths=True
    )


def _found(
    question: Question,
    points: Sequence[tuple[float, int]],
    trials: int,
    seed: int,
    jobs: int,
    backend: str | None,
) -> Generator[Power, None, None]:
    """Every point in order, as it comes."""
    if jobs == 1 and backend is None:
        for icc, trays in points:
            yield _point(question, icc, trays, trials, seed)
        return
    import joblib

    with joblib.parallel_config(backend=backend) if backend is not None else nullcontext():
        run = joblib.Parallel(n_jobs=jobs, return_as="generator")
        work = run(joblib.delayed(_point)(question, icc, t, trials, seed) for icc, t in points)
        try:
            # Not "yield from": that would close the work before the warning can be kept quiet.
            for found in work:  # noqa: UP028
                yield found
        finally:
            with warnings.catch_warnings():
                # An interruption leaves work undone: that is what was asked for.
                warnings.simplefilter("ignore")
                work.close()
