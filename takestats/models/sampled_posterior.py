"""What are the takes at any design row, draw by draw?

The average of the tray models as weighted draws, and what can be read from them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.special import expit, logsumexp

from takestats.errors import DesignError
from takestats.models.sampled_families import STEP, Family, averaged_logit, cubic_cells, eta_grid

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

_CHUNK = 2_000_000
_MOST_NUMBERS = 60_000_000


@dataclass(frozen=True, eq=False, kw_only=True)
class SampledPart:
    """Weighted draws of one of the averaged models.

    Parameters
    ----------
    family : {"beta-binomial", "logit-normal", "binomial"}
    own_spread : bool
        Whether the levels of the first factor have spreads of their own.
    coefficients : numpy.ndarray
        ``(draws, coefficients)`` in the coding of the design that was passed.
    spread : numpy.ndarray
        ``(blocks, levels)``: rho or sigma; every block of
        ``draws / blocks`` draws in a row shares one row. Zero for "binomial".
    log_weight : numpy.ndarray
        Per draw, up to a constant.
    log_evidence : float
        Log of the marginal likelihood, binomial coefficients in.
    probability : float
        Posterior probability of the part, all parts equal beforehand.
    ess : float
        Effective sample size.
    """

    family: Family
    own_spread: bool
    coefficients: FloatArray
    spread: FloatArray
    log_weight: FloatArray
    log_evidence: float
    probability: float
    ess: float

    @property
    def draws(self) -> int:
        """How many draws the part has."""
        return int(self.log_weight.size)

    @property
    def weights(self) -> FloatArray:
        """Weights of the draws; they sum to 1."""
        result: FloatArray = np.exp(self.log_weight - logsumexp(self.log_weight))
        return result

    @property
    def spread_by_draw(self) -> FloatArray:
        """Spread of every level at every draw, ``(draws, levels)``."""
        return np.repeat(self.spread, self.draws // self.spread.shape[0], axis=0)


@dataclass(frozen=True, eq=False, kw_only=True)
class SampledPosterior:
    """The average of the tray models, as weighted draws.

    Parameters
    ----------
    parts : tuple of SampledPart
        Draws of the parts stand one after the other in this order, everywhere.
    levels : int
        Levels of the first factor (1 when no ``spread_group`` was passed).
    notes : tuple of str
        What was approximated or shared.
    seed : int
    """

    parts: tuple[SampledPart, ...]
    levels: int
    notes: tuple[str, ...]
    seed: int

    @property
    def weights(self) -> FloatArray:
        """Weights of all draws; they sum to 1, each part to its probability."""
        return np.concatenate([p.probability * p.weights for p in self.parts])

    @property
    def coefficients(self) -> FloatArray:
        """Coefficients of all draws, ``(draws, coefficients)``."""
        return np.concatenate([p.coefficients for p in self.parts])

    @property
    def log_evidence(self) -> float:
        """Log evidence of the average."""
        return float(logsumexp([p.log_evidence for p in self.parts]) - np.log(len(self.parts)))

    @property
    def ess(self) -> float:
        """Effective sample size of all draws together."""
        return float(1.0 / np.sum(self.weights**2))

    def averaged_take(
        self,
        design: ArrayLike,
        *,
        row_weights: ArrayLike | None = None,
        spread_group: ArrayLike | None = None,
    ) -> FloatArray:
        """What is the take at these design rows, averaged over trays, draw by draw?

        Parameters
        ----------
        design : array_like
            Rows x coefficients, in the coding of the fit.
        row_weights : array_like, optional
            ``(answers, rows)``: each answer is the weighted mean of the takes of
            the rows (weights are scaled to sum to 1).
        spread_group : array_like, optional
            Level of the first factor of every row; needed when the fit had levels.

        Returns
        -------
        numpy.ndarray
            ``(draws, rows)``, or ``(draws, answers)`` with ``row_weights``.

        Raises
        ------
        DesignError
            Shapes that do not match, or an answer too large to hold at once.
        """
        x, group, mixing = self._rows(design, row_weights, spread_group)
        rows, back = np.unique(np.column_stack([x, group]), axis=0, return_inverse=True)
        back = back.ravel()
        x, group = rows[:, :-1], rows[:, -1].astype(np.intp)
        if mixing is None:
            return np.concatenate([m for p in self.parts for m in _takes(p, x, group)])[:, back]
        folded = np.zeros((mixing.shape[0], x.shape[0]))
        np.add.at(folded.T, back, mixing.T)
        return np.concatenate([m @ folded.T for p in self.parts for m in _takes(p, x, group)])

    def quantiles(self, values: ArrayLike, probabilities: Sequence[float]) -> FloatArray:
        """Weighted quantiles of something known at every draw.

        Parameters
        ----------
        values : array_like
            ``(draws,)`` or ``(draws, answers)``.
        probabilities : sequence of float

        Returns
        -------
        numpy.ndarray
            ``(probabilities,)`` or ``(probabilities, answers)``.
        """
        return weighted_quantiles(values, self.weights, probabilities)

    def _rows(
        self, design: ArrayLike, row_weights: ArrayLike | None, spread_group: ArrayLike | None
    ) -> tuple[FloatArray, IntArray, FloatArray | None]:
        x = np.atleast_2d(np.asarray(design, dtype=float))
        if spread_group is None:
            group = np.zeros(x.shape[0], dtype=np.intp)
        else:
            group = np.asarray(spread_group, dtype=np.intp).ravel()
        mixing = None
        if row_weights is not None:
            mixing = np.atleast_2d(np.asarray(row_weights, dtype=float))
            mixing = mixing / mixing.sum(axis=1, keepdims=True)
        wanted = self.parts[0].coefficients.shape[1]
        draws = sum(p.draws for p in self.parts)
        faults = []
        if x.shape[1] != wanted:
            faults.append(f"{x.shape[1]} columns, the fit has {wanted}")
        if group.size != x.shape[0] or (
            group.size and not 0 <= group.min() <= group.max() < self.levels
        ):
            faults.append(
                f"levels {sorted(set(group.tolist()))} for {x.shape[0]} rows, "
                f"the fit has {self.levels}"
            )
        if spread_group is None and self.levels > 1:
            faults.append("no level of the first factor, the fit has spreads by level")
        if mixing is not None and mixing.shape[1] != x.shape[0]:
            faults.append(f"{mixing.shape[1]} row weights for {x.shape[0]} rows")
        if mixing is None and draws * x.shape[0] > _MOST_NUMBERS:
            faults.append(f"{draws} draws of {x.shape[0]} rows are more than is held at once")
        if faults:
            raise DesignError(
                where="the rows asked about",
                what="; ".join(faults),
                rule="rows in the coding of the fit, with the level of the first factor",
                next_step="build the rows as the fit was built; pass row_weights for averages",
            )
        return x, group, mixing


def _takes(part: SampledPart, x: FloatArray, group: IntArray) -> Iterator[FloatArray]:
    """Averaged takes of the part's draws at these rows, in chunks of blocks."""
    blocks = part.spread.shape[0]
    each = part.draws // blocks
    if part.family != "logit-normal":
        step = max(1, _CHUNK // x.shape[0])
        for i in range(0, part.draws, step):
            yield expit(part.coefficients[i : i + step] @ x.T)
        return
    levels = group if part.spread.shape[1] > 1 else np.zeros_like(group)
    coefficients = part.coefficients.reshape(blocks, each, -1)
    values, index = np.unique(part.spread, return_inverse=True)
    index = index.reshape(part.spread.shape)
    grid = eta_grid(-30.0, 30.0)
    cells = grid.size - 5
    table = cubic_cells(averaged_logit(values, grid)).reshape(-1, 4)
    step = max(1, _CHUNK // (8 * x.shape[0] * each))
    for i in range(0, blocks, step):
        eta = coefficients[i : i + step] @ x.T
        t = np.clip((eta - grid[2]) / STEP, 0.0, cells - 1e-9)
        cell = t.astype(np.intp)
        t -= cell
        cell += (index[i : i + step][:, levels] * cells)[:, None, :]
        c = np.take(table, cell, axis=0)
        logit = c[..., 0] + t * (c[..., 1] + t * (c[..., 2] + t * c[..., 3]))
        yield expit(logit).reshape(-1, x.shape[0])


def weighted_quantiles(
    values: ArrayLike, weights: ArrayLike, probabilities: Sequence[float]
) -> FloatArray:
    """Quantiles of weighted draws, half of each draw's weight on either side of it.

    Parameters
    ----------
    values : array_like
        ``(draws,)`` or ``(draws, answers)``.
    weights : array_like
        ``(draws,)``.
    probabilities : sequence of float

    Returns
    -------
    numpy.ndarray
        ``(probabilities,)`` or ``(probabilities, answers)``.

    Examples
    --------
    >>> weighted_quantiles([1.0, 2.0, 3.0], [1.0, 1.0, 1.0], [0.5]).tolist()
    [2.0]
    """
    v = np.asarray(values, dtype=float)
    w = np.asarray(weights, dtype=float)
    columns = v[:, None] if v.ndim == 1 else v
    out = np.empty((len(probabilities), columns.shape[1]))
    for i, column in enumerate(columns.T):
        order = np.argsort(column, kind="stable")
        ranked = w[order]
        middle = np.cumsum(ranked) - 0.5 * ranked
        out[:, i] = np.interp(np.asarray(probabilities) * w.sum(), middle, column[order])
    return out[:, 0] if v.ndim == 1 else out
