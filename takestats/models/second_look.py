"""What do two well-known methods say of the same trays? Quasi-binomial regression and GEE.

Computed by statsmodels. Whether there is an answer at all is decided from the
counts before the library is called: on a level where every graft took it gives
numbers without meaning, and no warning.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from takestats.errors import DesignError
from takestats.models.separation import unbounded_direction
from takestats.models.wald import WaldFit

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

Method = Literal["quasi", "gee", "ml"]


def quasi_binomial(taken: Floats, tried: Floats, design: Floats) -> WaldFit:
    """Binomial regression whose variance is widened by the Pearson dispersion.

    Parameters
    ----------
    taken, tried : ndarray of shape (lines,)
    design : ndarray of shape (lines, columns)

    Raises
    ------
    DesignError
        When the library finds no answer.

    Notes
    -----
    Dispersion is Pearson's chi-square over the residual degrees of freedom;
    t limits on these.

    References
    ----------
    McCullagh & Nelder 1989, Generalized Linear Models, section 4.5 (from memory).
    """
    # By their own homes: the library's front door loads twice as much.
    from statsmodels.genmod.families import Binomial
    from statsmodels.genmod.generalized_linear_model import GLM

    with _quiet("the quasi-binomial regression"):
        model = GLM(np.column_stack([taken, tried - taken]), design, family=Binomial())
        found = model.fit()
    df = float(found.df_resid)
    dispersion = float(found.pearson_chi2) / df
    return WaldFit(
        method="quasi-binomial",
        coefficients=np.asarray(found.params, dtype=float),
        covariance=np.asarray(found.normalized_cov_params, dtype=float) * dispersion,
        df=df,
        spread=dispersion,
    )


def estimating_equations(
    taken: Floats,
    tried: Floats,
    design: Floats,
    trays: NDArray[np.int64],
    *,
    bias_reduced: bool = True,
) -> WaldFit:
    """Generalised estimating equations, exchangeable within trays, one row a graft.

    Parameters
    ----------
    taken, tried : ndarray of shape (lines,)
    design : ndarray of shape (lines, columns)
    trays : ndarray of int, shape (lines,)
        Which tray a line belongs to.
    bias_reduced : bool
        The sandwich corrected for few trays; False gives the plain one.

    Raises
    ------
    DesignError
        When the library finds no answer.

    References
    ----------
    Liang & Zeger 1986, Biometrika 73:13-22; Mancl & DeRouen 2001, Biometrics
    57:126-134 (the correction).
    """
    from statsmodels.genmod.cov_struct import Exchangeable
    from statsmodels.genmod.families import Binomial
    from statsmodels.genmod.generalized_estimating_equations import GEE

    times = tried.astype(np.int64)
    rows = np.repeat(design, times, axis=0)
    outcome = np.concatenate(
        [np.repeat([1.0, 0.0], [k, n - k]) for k, n in zip(taken.astype(int), times, strict=True)]
    )
    structure = Exchangeable()
    with _quiet("the estimating equations"):
        found = GEE(
            outcome,
            rows,
            groups=np.repeat(trays, times),
            family=Binomial(),
            cov_struct=structure,
        ).fit(cov_type="bias_reduced" if bias_reduced else "robust")
    df = float(np.unique(trays).size - design.shape[1])
    return WaldFit(
        method="GEE, bias-reduced" if bias_reduced else "GEE",
        coefficients=np.asarray(found.params, dtype=float),
        covariance=np.asarray(found.cov_params(), dtype=float),
        df=df if bias_reduced else np.inf,
        spread=float(structure.dep_params),
    )


class _quiet:
    """Turn whatever a library warns of or stumbles over into one error of ours."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._caught = warnings.catch_warnings()

    def __enter__(self) -> None:
        self._caught.__enter__()
        warnings.simplefilter("error")
        # Old spelling inside a library: no fault of the numbers.
        warnings.filterwarnings("ignore", category=DeprecationWarning)
        warnings.filterwarnings("ignore", category=FutureWarning)

    def __exit__(self, kind: type[BaseException] | None, fault: object, trace: object) -> None:
        self._caught.__exit__(None, None, None)
        if kind is not None and issubclass(kind, (Warning, ArithmeticError, ValueError)):
            raise DesignError(
                where=self._name,
                what="it found no answer for these trays",
                rule="a second look needs trays that vary in every level",
                next_step="use the tray model, which answers here",
            ) from None


def no_answer(
    taken: Floats,
    tried: Floats,
    cells: Mapping[str, Sequence[object]],
    columns: int,
    trays: int,
    *,
    design: Floats | None = None,
    method: Method | None = None,
    tray_of: Ints | None = None,
) -> str:
    """Why a second look has no answer, decided from the counts; blank when it has one.

    Parameters
    ----------
    taken, tried : ndarray of shape (lines,)
    cells : mapping of name to level of each line
        The factors, and the cells of interactions.
    columns, trays : int
        Coefficients of the design, trays behind it.
    design : ndarray of shape (lines, columns), optional
        Finds the cases where no level is full or empty and a coefficient still
        has no finite value.
    method : {"quasi", "gee", "ml"}, optional
        Asks also for what this one needs; with ``design`` only.
    tray_of : ndarray of int, shape (lines,), optional
        Which tray a line belongs to; by default every line is a tray.

    Notes
    -----
    Quasi-binomial regression and the estimating equations read off the trays how
    much trays vary. Where all trays of a level are alike the limits would have no
    width: of every level in the first method, of that level in the second.
    Quasi-binomial regression and maximum likelihood need trays of two grafts or
    more for it. The correction of the estimating equations divides by what the
    other trays leave open about a tray, which is nothing where it is the only one
    of its level: the library then gives numbers all the same.

    Examples
    --------
    >>> no_answer(np.array([9.0, 10.0]), np.array([10.0, 10.0]), {"method": ["a", "b"]}, 2, 9)
    'no answer: every graft of b took'
    """
    if trays < columns + 1:
        return f"no answer: {trays} trays for {columns} coefficients"
    for levels in cells.values():
        for level in dict.fromkeys(levels):
            mask = np.array([value == level for value in levels])
            took, made = float(taken[mask].sum()), float(tried[mask].sum())
            if took >= made:
                return f"no answer: every graft of {level} took"
            if took <= 0.0:
                return f"no answer: no graft of {level} took"
    if design is not None and unbounded_direction(taken, tried, design) is not None:
        return "no answer: the full or empty trays leave a coefficient without a finite value"
    if design is None or method is None:
        return ""
    tray = np.arange(taken.size) if tray_of is None else tray_of
    if method == "gee" and (lone := _lone_tray(cells, design[tried > 0], tray, tried > 0)):
        return lone
    alike = _alike(taken, tried, design)
    if (method == "quasi" and alike.all()) or (method == "gee" and alike.any()):
        return "no answer: all trays of a level are alike, so nothing shows how much trays vary"
    if method in ("quasi", "ml") and np.bincount(tray, tried).max() <= 1.0:
        return "no answer: every tray holds one graft, so nothing shows how much trays vary"
    return ""


def _alike(taken: Floats, tried: Floats, design: Floats) -> NDArray[np.bool_]:
    """For each row of a saturated design, whether all its trays have the same rate."""
    some = tried > 0
    rows, at = np.unique(design[some], axis=0, return_inverse=True)
    if rows.shape[0] > np.linalg.matrix_rank(design[some]):
        return np.zeros(1, dtype=bool)
    at = at.ravel()
    rate = np.bincount(at, taken[some]) / np.bincount(at, tried[some])
    off = np.abs(taken[some] - tried[some] * rate[at])
    return np.bincount(at, off) < 1e-9


def _lone_tray(
    cells: Mapping[str, Sequence[object]], design: Floats, tray: Ints, some: NDArray[np.bool_]
) -> str:
    """Which level, or coefficient, hangs on one tray alone; blank when none does."""
    for levels in cells.values():
        for level in dict.fromkeys(levels):
            mask = np.array([value == level for value in levels]) & some
            if np.unique(tray[mask]).size == 1:
                return f"no answer: one tray of {level} alone"
    basis, _ = np.linalg.qr(design)
    _, member = np.unique(tray[some], return_inverse=True)
    share = np.zeros((int(member.max()) + 1, basis.shape[1], basis.shape[1]))
    np.add.at(share, member, basis[:, :, None] * basis[:, None, :])
    if np.linalg.eigvalsh(share).max() > 1.0 - 1e-9:
        return "no answer: a coefficient hangs on one tray alone"
    return ""
