"""Do the columns of a design tell each other apart, and if not, which do not?"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from takestats.errors import DesignError

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import ArrayLike, NDArray

    FloatArray = NDArray[np.float64]


def check_full_rank(
    design: ArrayLike, terms: Sequence[tuple[str, Sequence[int]]] | None = None
) -> None:
    """Do the columns of the design tell each other apart?

    Parameters
    ----------
    design : array_like
        Lines x coefficients.
    terms : sequence of (name, column indices), optional
        The columns of the records behind the coefficients, in the order the
        user named them; the message names them.

    Raises
    ------
    DesignError
        Some columns are settled by others. The message names them and the
        largest set that can be fitted.

    Examples
    --------
    >>> check_full_rank([[1.0, 0.0], [1.0, 1.0]])
    """
    x = np.asarray(design, dtype=float)
    if _rank(x) == x.shape[1]:
        return
    named = list(terms) if terms else [(f"column {i + 1}", [i]) for i in range(x.shape[1])]
    kept, dropped = fittable_terms(x, named)
    tied = {name: _tied_with(x, name, named) for name in dropped}
    what = "; ".join(
        f"{name} cannot be told apart from {_listed(others)}"
        if others
        else f"{name} does not vary in these lines"
        for name, others in tied.items()
    )
    raise DesignError(
        where="the design",
        what=what,
        rule="every factor or curve must vary while the others stay the same",
        next_step=f"fit {_listed(kept) or 'the overall take'} without {_listed(dropped)}, "
        "or look at the cross-table of these columns",
    )


def fittable_terms(
    design: ArrayLike, terms: Sequence[tuple[str, Sequence[int]]]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Which named columns can be fitted together, the earlier ones first?

    Columns of the design that no term names (the overall level) are always in.

    Parameters
    ----------
    design : array_like
        Lines x coefficients.
    terms : sequence of (name, column indices)
        In the order of their right to stay.

    Returns
    -------
    (kept, dropped) : pair of tuples of str
        The largest set reached by taking each term in turn when all its
        coefficients can be fitted beside those already in.

    Examples
    --------
    >>> x = [[1, 0, 0], [1, 1, 1], [1, 0, 0]]
    >>> fittable_terms(x, [("method", [1]), ("grafter", [2])])
    (('method',), ('grafter',))
    """
    x = np.asarray(design, dtype=float)
    named = {i for _, columns in terms for i in columns}
    inside = [i for i in range(x.shape[1]) if i not in named]
    kept: list[str] = []
    dropped: list[str] = []
    for name, columns in terms:
        trial = inside + list(columns)
        if _rank(x[:, trial]) == len(trial):
            inside = trial
            kept.append(name)
        else:
            dropped.append(name)
    return tuple(kept), tuple(dropped)


def _tied_with(
    x: FloatArray, name: str, terms: Sequence[tuple[str, Sequence[int]]]
) -> tuple[str, ...]:
    """The terms whose leaving would free ``name``, each by itself."""
    columns = dict(terms)
    named = {i for _, cols in terms for i in cols}
    free = [i for i in range(x.shape[1]) if i not in named]
    full = _rank(x)
    alone = free + list(columns[name])
    if _rank(x[:, alone]) < len(alone):
        return ()
    tied = []
    for other, cols in terms:
        if other == name:
            continue
        without = [i for i in range(x.shape[1]) if i not in set(cols)]
        lost = full - _rank(x[:, without])
        if lost < len(cols):
            tied.append(other)
    return tuple(tied)


def _rank(x: FloatArray) -> int:
    if x.shape[1] == 0:
        return 0
    norms = np.linalg.norm(x, axis=0)
    if np.any(norms == 0):
        x, norms = x[:, norms > 0], norms[norms > 0]
        if x.shape[1] == 0:
            return 0
    values = np.linalg.svd(x / norms, compute_uv=False)
    return int(np.sum(values > 1e-8 * values[0]))


def _listed(names: Sequence[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if len(names) > 1 else "".join(names)
