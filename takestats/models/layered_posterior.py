"""What do two layers say of takes, of correlations and of each layer's own spread?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from takestats.errors import DesignError
from takestats.models.averaged_take import COARSE_WEIGHT, COARSE_Z, correlation_of_sigma
from takestats.models.layered_curves import CurveModel
from takestats.models.layered_quantiles import QuantileModel
from takestats.models.layered_rows import Layer, LayeredRows
from takestats.models.sampled_part import SampledPart
from takestats.models.sampled_posterior import SampledPosterior

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]
    IntArray = NDArray[np.intp]

Spread = Literal["group", "tray", "row", "icc"]
_CHUNK = 256


@dataclass(frozen=True, eq=False, kw_only=True)
class LayeredPart:
    """Weighted draws of one of the two averaged models.

    Parameters
    ----------
    model : CurveModel or QuantileModel
    outer, inner : numpy.ndarray
        ``(blocks,)``: SD of the unit; spread of its rows.
    view : SampledPart
        The same draws, as a part whose spread is that of all layers together.
    """

    model: CurveModel | QuantileModel
    outer: FloatArray
    inner: FloatArray
    view: SampledPart

    @property
    def family(self) -> Literal["beta-binomial", "logit-normal"]:
        """Which family the trays have."""
        if isinstance(self.model, QuantileModel):
            return "beta-binomial"
        return "beta-binomial" if self.model.family == "beta-binomial" else "logit-normal"

    def by_draw(self, values: FloatArray) -> FloatArray:
        """Something known per block, at every draw."""
        return np.repeat(values, self.view.draws // values.size)


@dataclass(frozen=True, eq=False, kw_only=True)
class LayeredPosterior(SampledPosterior):
    """The average of two models of two layers, as weighted draws.

    Parameters
    ----------
    layer : {"grouping", "rows"}
    rows : LayeredRows
    layered : tuple of LayeredPart
        What is behind each of ``parts``.
    """

    layer: Layer
    rows: LayeredRows
    layered: tuple[LayeredPart, ...]

    def same_tray_log_odds(self, design: ArrayLike) -> tuple[FloatArray, FloatArray]:
        """What are the log odds in one and the same middle tray? From the logit-normal part.

        Parameters
        ----------
        design : array_like
            Rows x coefficients; a row may be a difference of two rows.

        Returns
        -------
        (values, weights)
            ``(draws, rows)`` and ``(draws,)``, weights summing to 1.
        """
        x = np.atleast_2d(np.asarray(design, dtype=float))
        part = next(p for p in self.layered if p.family == "logit-normal")
        return part.view.coefficients @ x.T, part.view.weights

    def tray_correlation(
        self,
        design: ArrayLike,
        *,
        row_weights: ArrayLike | None = None,
        level: int | None = None,
    ) -> tuple[FloatArray, FloatArray]:
        """How alike are grafts of one tray, beyond what the design explains?

        Parameters
        ----------
        design : array_like
            Rows x coefficients: the lines of the level.
        row_weights : array_like, optional
            One weight per row; equal when left out.
        level : int, optional
            Not used: one spread for all.

        Returns
        -------
        (values, weights)
            Intra-tray correlation per draw, at the mean log odds of the rows,
            weights summing to 1. With groups: of trays of one group.
        """
        del level
        middle = _middle(design, row_weights)
        values = []
        for part in self.layered:
            eta = part.view.coefficients @ middle
            outer, inner = part.by_draw(part.outer), part.by_draw(part.inner)
            if isinstance(part.model, QuantileModel) or part.family == "beta-binomial":
                values.append(inner)
            elif self.layer == "grouping":
                values.append(correlation_of_sigma(eta, inner))
            else:
                values.append(correlation_of_sigma(eta, np.hypot(outer, inner)))
        return np.concatenate(values), self.weights

    def unit_correlation(
        self, design: ArrayLike, *, row_weights: ArrayLike | None = None
    ) -> tuple[FloatArray, FloatArray]:
        """How alike are grafts of different trays of a group, or of different rows of a tray?

        Parameters
        ----------
        design, row_weights : array_like
            As for :meth:`tray_correlation`.

        Returns
        -------
        (values, weights)
            From the parts in which the unit has an SD, weights summing to 1. The
            rows compared have the same design row.
        """
        middle = _middle(design, row_weights)
        parts = [p for p in self.layered if isinstance(p.model, CurveModel)]
        values = []
        for part in parts:
            eta = part.view.coefficients @ middle
            outer, inner = part.by_draw(part.outer), part.by_draw(part.inner)
            if part.family == "beta-binomial":
                values.append(correlation_of_sigma(eta, outer))
            else:
                values.append(_shared(eta, outer, inner))
        return np.concatenate(values), _together(parts)

    def spread_draws(self, which: Spread) -> tuple[FloatArray, FloatArray]:
        """How large is the spread of a layer?

        Parameters
        ----------
        which : {"group", "tray", "row", "icc"}
            SD of groups, of trays or of rows on the log odds scale, from the parts
            that have one; ``"icc"``: intra-tray correlation within a group, from
            the beta-binomial part.

        Returns
        -------
        (values, weights)
            Per draw, weights summing to 1.

        Raises
        ------
        DesignError
            For a layer that the fit does not have.
        """
        curves = [p for p in self.layered if isinstance(p.model, CurveModel)]
        normal = [p for p in curves if p.family == "logit-normal"]
        other = [p for p in self.layered if p.family == "beta-binomial"]
        table: dict[tuple[str, str], tuple[list[LayeredPart], str]] = {
            ("grouping", "group"): (curves, "outer"),
            ("grouping", "tray"): (normal, "inner"),
            ("grouping", "icc"): (other, "inner"),
            ("rows", "tray"): (normal, "outer"),
            ("rows", "row"): (normal, "inner"),
            ("rows", "icc"): (other, "inner"),
        }
        if (self.layer, which) not in table:
            raise DesignError(
                where="the spread of a layer",
                what=f"{which!r} of a fit with {self.layer}",
                rule="group, tray or icc where trays stand in groups; tray, row or icc in trays",
                next_step="choose one of these",
            )
        parts, name = table[(self.layer, which)]
        return np.concatenate([p.by_draw(getattr(p, name)) for p in parts]), _together(parts)


def _middle(design: ArrayLike, row_weights: ArrayLike | None) -> FloatArray:
    x = np.atleast_2d(np.asarray(design, dtype=float))
    w = np.ones(x.shape[0]) if row_weights is None else np.asarray(row_weights, dtype=float)
    result: FloatArray = (w / w.sum()) @ x
    return result


def _together(parts: list[LayeredPart]) -> FloatArray:
    total = sum(p.view.probability for p in parts)
    return np.concatenate([p.view.weights * (p.view.probability / total) for p in parts])


def _shared(eta: FloatArray, outer: FloatArray, inner: FloatArray) -> FloatArray:
    """Variance over units of their averaged take, over m (1 - m)."""
    out = np.empty_like(eta)
    for i in range(0, eta.size, _CHUNK):
        some = slice(i, i + _CHUNK)
        at = (
            eta[some, None, None]
            + outer[some, None, None] * COARSE_Z[:, None]
            + inner[some, None, None] * COARSE_Z
        )
        take = (1.0 / (1.0 + np.exp(-at))) @ COARSE_WEIGHT
        mean = take @ COARSE_WEIGHT
        away = take - mean[:, None]
        out[some] = (away**2) @ COARSE_WEIGHT / np.maximum(mean * (1.0 - mean), 1e-300)
    return out
