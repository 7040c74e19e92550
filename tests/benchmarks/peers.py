"""Named peers on the same trays: statsmodels, and R's lme4 where it is installed.

No peer gives limits of takes and of differences for a new tray; what each gives
stands beside its time.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
import warnings
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
import statsmodels
import statsmodels.api as sm
from numpy.typing import NDArray

from tests.benchmarks.timing import Took, timed

Floats = NDArray[np.float64]
_RSCRIPT = """
suppressMessages(library(lme4))
asked <- commandArgs(trailingOnly = TRUE)
trays <- read.csv(asked[1])
runs <- as.integer(asked[2])
x <- as.matrix(trays[, grep("^x", names(trays)), drop = FALSE])
fit <- function() glmer(cbind(taken, grafted - taken) ~ 0 + x + (1 | tray), data = trays,
                        family = binomial)
answer <- fit()
times <- sapply(seq_len(runs), function(i) {
  took <- system.time(summary(fit()))
  c(took[["elapsed"]], took[["user.self"]] + took[["sys.self"]])
})
warned <- sum(grepl("converge", answer@optinfo$conv$lme4$messages))
cat(median(times[1, ]), min(times[1, ]), median(times[2, ]), as.character(packageVersion("lme4")),
    paste(R.version$major, R.version$minor, sep = "."), warned, "\\n")
"""


@dataclass(frozen=True)
class Peer:
    """One peer's time.

    Parameters
    ----------
    name : str
        With its version.
    gives : str
        What its answer is.
    took : Took
    """

    name: str
    gives: str
    took: Took


def quasi_binomial(frame: pd.DataFrame, matrix: Floats, runs: int) -> Peer:
    """Time the generalized linear model with the dispersion estimated, and its limits."""
    counts = np.column_stack([frame["taken"], frame["grafted"] - frame["taken"]])

    def call() -> object:
        family = sm.families.Binomial()
        return sm.GLM(counts, matrix, family=family).fit(scale="X2").conf_int()

    return Peer(
        f"statsmodels {statsmodels.__version__} GLM, quasi-binomial",
        "limits of coefficients on the log odds scale",
        timed(call, runs=runs),
    )


def estimating_equations(frame: pd.DataFrame, matrix: Floats, runs: int) -> Peer:
    """Time bias-reduced generalized estimating equations, grafts within trays."""
    grafted, taken = frame["grafted"].to_numpy(), frame["taken"].to_numpy()
    tray = np.repeat(np.arange(len(frame)), grafted)
    place = np.concatenate([np.arange(n) for n in grafted])
    took = (place < taken[tray]).astype(float)
    rows = matrix[tray]

    def call() -> object:
        model = sm.GEE(
            took,
            rows,
            groups=tray,
            family=sm.families.Binomial(),
            cov_struct=sm.cov_struct.Exchangeable(),
        )
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return model.fit(cov_type="bias_reduced").conf_int()

    return Peer(
        f"statsmodels {statsmodels.__version__} GEE, exchangeable, bias-reduced",
        "limits of coefficients on the log odds scale",
        timed(call, runs=runs),
    )


def mixed_model(frame: pd.DataFrame, matrix: Floats, runs: int) -> Peer | None:
    """Time R's ``glmer``, measured inside R; None where R or lme4 is not installed."""
    program = shutil.which("Rscript")
    if program is None:
        return None
    table = frame[["tray", "grafted", "taken"]].copy()
    for index in range(matrix.shape[1]):
        table[f"x{index}"] = matrix[:, index]
    with tempfile.TemporaryDirectory() as folder:
        data, script = Path(folder) / "trays.csv", Path(folder) / "time.R"
        table.to_csv(data, index=False)
        script.write_text(_RSCRIPT, encoding="utf-8")
        done = subprocess.run(
            [program, "--vanilla", str(script), str(data), str(runs)],
            capture_output=True,
            text=True,
            check=False,
        )
    if done.returncode != 0:
        return None
    middle, least, used, version, r_version, warned = done.stdout.split()[-6:]
    gives = "summary: coefficients on the log odds scale with standard errors"
    if warned != "0":
        gives += "; it warned that it had not converged"
    return Peer(
        f"lme4 {version} glmer (R {r_version})",
        gives,
        Took(runs, float(middle), float(least), float(used)),
    )
