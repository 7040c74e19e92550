"""Where do evenly spread points lie, without loading a whole library of statistics for them?

The points are those of ``scipy.stats.qmc.Sobol``, bit for bit. They are made here because
importing ``scipy.stats`` took a quarter of what a season page loads before it begins (measured:
.97 s of processor time with it, .73 without; half a second where nothing else of scipy is
loaded). The direction numbers are read from the file that scipy installs.
"""

from __future__ import annotations

import warnings
from functools import lru_cache
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
import scipy
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bits = NDArray[np.uint32]

_BITS = 30
_SCALE = 0.5**_BITS
#: Polynomials and first direction numbers of 21,201 dimensions, part of scipy.
_NUMBERS = Path(scipy.__file__).parent / "stats" / "_sobol_direction_numbers.npz"
_LEAST = 16


def sobol_points(dimensions: int, count: int, rng: np.random.Generator) -> Floats:
    """Where do so many evenly spread points lie?

    Parameters
    ----------
    dimensions : int
        Coordinates of a point, at most 21,201.
    count : int
        How many points, at most 2**30. The spread is fully even for powers of two, and for
        each aligned block of them; any other number is given as it is.
    rng : numpy.random.Generator
        Turns the points at random, through its next child (``spawn``): as with scipy, asking
        twice with one generator gives other points, and its own draws are not touched.

    Returns
    -------
    ndarray of shape (count, dimensions)
        Each in [0, 1).

    Raises
    ------
    ValueError
        Where scipy raises it: more dimensions or points than there are.

    Notes
    -----
    Sobol points in Gray-code order: the second half of 2**(k + 1) points is the first half
    in reverse order, shifted (bitwise) by direction number k. Scrambled by a random lower
    triangular matrix of bits for each dimension and a random shift. Where scipy's file of
    direction numbers is not there or not as expected, scipy itself is asked.

    References
    ----------
    Joe & Kuo 2008, SIAM J Sci Comput 30:2635-2654 (the direction numbers); Bratley & Fox
    1988, ACM Trans Math Softw 14:88-100, section 2 (their recurrence, the order);
    Matousek 1998, J Complexity 14:527-556 (the scrambling).

    Examples
    --------
    >>> points = sobol_points(2, 4, np.random.default_rng(1))
    >>> np.sort(np.floor(4 * points), axis=0).tolist()
    [[0.0, 0.0], [1.0, 1.0], [2.0, 2.0], [3.0, 3.0]]
    """
    known = _direction_numbers()
    if known is None or not 1 <= dimensions <= known[0].size or not 1 <= count <= 2**_BITS:
        return _of_the_library(dimensions, count, rng)
    # A child of the generator, then two draws of this order and type, as scipy does it.
    child = rng.spawn(1)[0]
    tossed = child.integers(2, size=(dimensions, _BITS), dtype=np.uint32)
    shift = tossed @ (1 << np.arange(_BITS, dtype=np.uint32))
    mixing = np.tril(child.integers(2, size=(dimensions, _BITS, _BITS), dtype=np.uint32))
    turned = _scrambled(_directions(_rounded(dimensions))[:dimensions], mixing)
    # A row for each dimension: its numbers lie side by side while they are doubled.
    points = np.empty((dimensions, count), dtype=np.uint32)
    points[:, 0] = shift
    made = 1
    for turn in turned.T:
        more = min(made, count - made)
        if more <= 0:
            break
        mirrored = points[:, made - more : made][:, ::-1]
        np.bitwise_xor(mirrored, turn[:, None], out=points[:, made : made + more])
        made += more
    return np.multiply(points.T, _SCALE, out=np.empty((count, dimensions)))


def _scrambled(directions: Bits, mixing: NDArray[np.uint32]) -> Bits:
    """Multiply each dimension's numbers, as columns of bits, by its triangular matrix."""
    mixing[:, np.arange(_BITS), np.arange(_BITS)] = 1
    places = np.arange(_BITS - 1, -1, -1, dtype=np.uint32)
    split = (directions[:, None, :] >> places[:, None]) & 1
    # Sums of at most thirty ones are exact in any float.
    sums = np.matmul(mixing.astype(np.float32), split.astype(np.float32)).astype(np.uint32)
    return np.asarray(((sums & 1) << places[:, None]).sum(axis=1, dtype=np.uint32))


def _rounded(dimensions: int) -> int:
    """So many dimensions are built at once: a power of two, that few tables are kept."""
    return max(_LEAST, 1 << (dimensions - 1).bit_length())


@lru_cache(maxsize=4)
def _directions(dimensions: int) -> Bits:
    """Direction numbers of the first dimensions, leftmost bit first; shape (dimensions, 30)."""
    known = _direction_numbers()
    assert known is not None
    polynomial, first = (each[:dimensions] for each in known)
    degree = np.array([int(each).bit_length() - 1 for each in polynomial])
    out = np.ones((polynomial.size, _BITS), dtype=np.uint32)
    for m in sorted(set(degree[1:].tolist())):
        rows = np.flatnonzero(degree == m)
        rows = rows[rows > 0]
        term = polynomial[rows]
        v = out[rows]
        v[:, :m] = first[rows, :m]
        for j in range(m, _BITS):
            v[:, j] = v[:, j - m]
            for k in range(1, m + 1):
                v[:, j] ^= ((term >> (m - k)) & 1) * (v[:, j - k] << k)
        out[rows] = v
    out <<= np.arange(_BITS - 1, -1, -1, dtype=np.uint32)
    return out


@lru_cache(maxsize=1)
def _direction_numbers() -> tuple[Bits, Bits] | None:
    """Polynomials, as bits, and first numbers of all dimensions; None where they are not there."""
    try:
        with _NUMBERS.open("rb") as file, np.load(file) as numbers:
            polynomial, first = numbers["poly"], numbers["vinit"]
    except (OSError, KeyError, TypeError, ValueError, EOFError, BadZipFile):
        return None
    degree = np.frexp(np.asarray(polynomial, dtype=float))[1] - 1
    if first.ndim != 2 or first.shape != (polynomial.size, degree.max(initial=0)):
        return None
    return polynomial.astype(np.uint32), first.astype(np.uint32)


def _of_the_library(dimensions: int, count: int, rng: np.random.Generator) -> Floats:
    from scipy.stats import qmc

    with warnings.catch_warnings():
        # Told of every number that is not a power of two; the docstring above says it.
        warnings.filterwarnings("ignore", "The balance properties", UserWarning)
        return np.asarray(qmc.Sobol(dimensions, scramble=True, rng=rng).random(count))
