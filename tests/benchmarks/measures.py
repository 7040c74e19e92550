"""What is timed, beside which bar, and against whom?"""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import dataclass, field

import numpy as np
import pandas as pd
from numpy.typing import NDArray

import takestats as ts
from takestats.models.batched import batched_posterior, pair_weights
from takestats.models.grid import fit_grid, level_trays
from takestats.models.grid_pairs import difference_distribution, take_distribution
from takestats.models.phi_grid import usual_grid
from takestats.models.splines import curve_through
from takestats.planning.power import simulated_power
from takestats.planning.question import Question
from takestats.planning.search import search_trays
from takestats.planning.simulated import simulated_counts
from takestats.records.result import Records
from tests.benchmarks.designs import (
    EIGHT,
    FIVE,
    MANY,
    ONE_FACTOR,
    TEN,
    Design,
    design_matrix,
    frame_of,
)
from tests.benchmarks.peers import Peer, estimating_equations, mixed_model, quasi_binomial
from tests.benchmarks.timing import Took, timed
from tests.benchmarks.whole_report import (
    ALLOWED,
    LIBRARIES,
    a_plan,
    big_report,
    demo_order,
    demo_report,
    importing,
)

TAILS = (0.025, 0.5, 0.975)
_TRIALS, _CHUNK = 2000, 250
_MARGIN = -0.05


@dataclass(frozen=True)
class Speed:
    """One thing timed.

    Parameters
    ----------
    what : str
    bar : float
        Seconds; NaN where nothing was promised.
    took : Took
    peers : tuple of Peer
    memory : float
        Most memory of the whole process, in GB; NaN where not measured.
    memory_bar : float
    """

    what: str
    bar: float
    took: Took
    peers: tuple[Peer, ...] = ()
    memory: float = float("nan")
    memory_bar: float = field(default=float("nan"))

    @property
    def met(self) -> bool:
        """Whether the bar holds, in processor time: one thread, so a quiet clock says the same."""
        slow = self.took.processor > self.bar
        large = self.memory >= self.memory_bar
        return not (slow or large)


def all_answers(records: Records, design: Design) -> int:
    """One fit, and every take, difference and odds ratio of every factor."""
    names = [column for column, _ in design.factors]
    model = ts.fit_take(records, names, curves=list(design.curves))
    found = 0
    for name in names:
        found += len(ts.take_rates(model, name).table)
        found += len(ts.differences(model, name).table)
        found += len(ts.odds_ratios(model, name).table)
    return found


def engine_answers(counts: list[NDArray[np.float64]]) -> list[list[float]]:
    """Limits of both takes and of the difference: the exact grid by itself."""
    levels = [level_trays(arm[:, 0], arm[:, 1], group) for group, arm in enumerate(counts)]
    posterior = fit_grid(levels)
    return [
        take_distribution(posterior, 0).quantiles(TAILS),
        take_distribution(posterior, 1).quantiles(TAILS),
        difference_distribution(posterior, 0, 1).quantiles(TAILS),
    ]


def _peers(design: Design, runs: int, *, gee: bool = True, mixed: bool = True) -> tuple[Peer, ...]:
    frame = frame_of(design)
    curves: list[NDArray[np.float64]] = []
    for name in design.curved:
        values = frame[name].to_numpy(dtype=float)
        curves += list(np.asarray(curve_through(name, values, design.trays).basis(values)).T)
    matrix = design_matrix(frame, design, curves)
    found: list[Peer | None] = [quasi_binomial(frame, matrix, runs)]
    if gee:
        found.append(estimating_equations(frame, matrix, max(1, runs // 3)))
    if mixed:
        found.append(mixed_model(frame, matrix, runs))
    return tuple(peer for peer in found if peer is not None)


def one_factor() -> list[Speed]:
    """40 trays of two methods: the whole way, and the grid by itself."""
    frame = frame_of(ONE_FACTOR)
    records = ts.records_from_frame(frame)
    arms = [
        frame.loc[frame["method"] == level, ["taken", "grafted"]].to_numpy(dtype=float)
        for level in ONE_FACTOR.factors[0][1]
    ]
    peers = _peers(ONE_FACTOR, 15)
    return [
        Speed(
            f"{ONE_FACTOR.name}: counts to the limits of both takes and the difference",
            0.020,
            timed(lambda: engine_answers(arms), runs=30),
            peers,
        ),
        Speed(
            f"{ONE_FACTOR.name}: records to tables with words (fit, takes, differences, odds)",
            0.020,
            timed(lambda: all_answers(records, ONE_FACTOR), runs=30),
            peers,
        ),
    ]


def _whole_way(design: Design, bar: float, runs: int, peer_runs: int) -> Speed:
    records = ts.records_from_frame(frame_of(design))
    return Speed(
        f"{design.name}: records to tables with words (fit, takes, differences, odds)",
        bar,
        timed(lambda: all_answers(records, design), runs=runs),
        _peers(design, peer_runs),
    )


def _fit_only(design: Design, bar: float, runs: int) -> Speed:
    records = ts.records_from_frame(frame_of(design))
    names = [column for column, _ in design.factors]
    return Speed(
        f"{design.name}: the fit",
        bar,
        timed(lambda: ts.fit_take(records, names, curves=list(design.curves)), runs=runs),
    )


def peak_memory(design: Design) -> float:
    """Most memory, in GB, of a fresh process that reads, fits and answers."""
    code = (
        "import resource, takestats as ts\n"
        "from tests.benchmarks import designs, measures\n"
        f"design = next(d for d in designs.ALL if d.name == {design.name!r})\n"
        "records = ts.records_from_frame(designs.frame_of(design))\n"
        "measures.all_answers(records, design)\n"
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    unit = 1.0 if sys.platform == "darwin" else 1024.0
    return float(done.stdout.split()[-1]) * unit / 1e9


def five_coefficients() -> list[Speed]:
    """24 trays, two factors and two straight lines."""
    return [_fit_only(FIVE, 0.25, 10), _whole_way(FIVE, 0.25, 10, 9)]


def eight_coefficients() -> list[Speed]:
    """300 trays, three factors and a curve."""
    return [_fit_only(EIGHT, 2.5, 4), _whole_way(EIGHT, 2.5, 4, 3)]


def ten_coefficients() -> list[Speed]:
    """2,000 trays, three factors, a straight line and a curve; with peak memory."""
    whole = _whole_way(TEN, 12.0, 2, 1)
    return [
        _fit_only(TEN, 12.0, 2),
        Speed(whole.what, whole.bar, whole.took, whole.peers, peak_memory(TEN), 1.0),
    ]


def many_trays() -> list[Speed]:
    """20,000 trays of two methods; ``glmer`` is left out, it takes minutes."""
    frame = frame_of(MANY)
    records = ts.records_from_frame(frame)
    arms = [
        frame.loc[frame["method"] == level, ["taken", "grafted"]].to_numpy(dtype=float)
        for level in MANY.factors[0][1]
    ]
    peers = _peers(MANY, 3, gee=False, mixed=False)
    return [
        Speed(
            f"{MANY.name}: counts to the limits of both takes and the difference",
            2.0,
            timed(lambda: engine_answers(arms), runs=3),
            peers,
        ),
        Speed(
            f"{MANY.name}: records to tables with words (fit, takes, differences, odds)",
            2.0,
            timed(lambda: all_answers(records, MANY), runs=2),
            peers,
        ),
    ]


def _per_trial(took: Took, trials: int) -> Took:
    return Took(took.runs, took.middle / trials, took.least / trials, took.processor / trials)


def batched() -> list[Speed]:
    """2 x 20 trays of 20: a decision and the limits, per trial; the peer fits one trial."""
    rng = np.random.default_rng(7)
    takes = [rng.beta(m * 15.0, (1.0 - m) * 15.0, (_TRIALS, 20)) for m in (0.85, 0.93)]
    a, b = (rng.binomial(20, take).astype(np.int64) for take in takes)
    grid = usual_grid()
    weights = pair_weights(grid, grid.takes[:, None] - _MARGIN)
    blocks = [slice(start, start + _CHUNK) for start in range(0, _TRIALS, _CHUNK)]

    def decide() -> list[object]:
        return [batched_posterior(a[rows], b[rows], 20, 20).below(weights) for rows in blocks]

    def limits() -> list[object]:
        return [
            batched_posterior(a[rows], b[rows], 20, 20).difference_limits(TAILS) for rows in blocks
        ]

    first = pd.DataFrame({"taken": np.concatenate([a[0], b[0]]), "grafted": np.full(40, 20)})
    matrix = np.column_stack([np.ones(40), np.repeat([0.0, 1.0], 20)])
    peer = quasi_binomial(first, matrix, 15)
    return [
        Speed(
            "2 x 20 trays, many trials at once: a decision, per trial",
            0.05e-3,
            _per_trial(timed(decide, runs=5), _TRIALS),
            (peer,),
        ),
        Speed(
            "2 x 20 trays, many trials at once: limits of the difference, per trial",
            0.15e-3,
            _per_trial(timed(limits, runs=5), _TRIALS),
            (peer,),
        ),
    ]


def planned() -> list[Speed]:
    """Drawing and judging a planned trial; the peer fits one of them."""
    question = Question(kind="tell_apart", take_a=0.80, take_b=0.90, tray_size=20)
    trials = 10_000
    a, b = simulated_counts(question, 20, (0.1, 0.1), 1, (3,))
    first = pd.DataFrame({"tray": [f"T{i:02d}" for i in range(40)], "grafted": np.full(40, 20)})
    first["taken"] = np.concatenate([a[0], b[0]])
    matrix = np.column_stack([np.ones(40), np.repeat([0.0, 1.0], 20)])
    peer = mixed_model(first, matrix, 15)

    def simulate() -> object:
        return simulated_power(question, 20, (0.1,), trials=trials, seed=1)

    def search() -> list[object]:
        return [
            search_trays(question, icc, 0.8, 60, seed=1, stream=10 * index)
            for index, icc in enumerate((0.02, 0.05, 0.10, 0.20))
        ]

    return [
        Speed(
            "a planned trial of 2 x 20 trays, drawn and judged, per trial",
            0.05e-3,
            _per_trial(timed(simulate, runs=5), trials),
            () if peer is None else (peer,),
        ),
        Speed(
            "a plan to tell two takes apart: 4 correlations, 2 to 60 trays, 10,000 trials each",
            10.0,
            timed(search, runs=2),
        ),
    ]


def whole_reports() -> list[Speed]:
    """The command from the shell, page, workbook and figures written."""
    imports = importing()
    bar = imports.middle + ALLOWED
    peer = Peer("a process that only imports " + ", ".join(LIBRARIES), "nothing", imports)
    return [
        Speed("the report of the demo's three seasons, whole process", bar, demo_report(), (peer,)),
        Speed(
            "the report of 25,000 grafts in 833 trays, whole process", bar, big_report(), (peer,)
        ),
        Speed("the order of the demo's nursery, whole process", math.nan, demo_order(), (peer,)),
        Speed("a plan to tell two takes apart, whole process", math.nan, a_plan(), (peer,)),
    ]
