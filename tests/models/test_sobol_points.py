"""Are the points those of the library, bit for bit, and evenly spread?"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import qmc

from takestats.models import sobol_points as module
from takestats.models.sobol_points import sobol_points

SEEDS: tuple[int | list[int], ...] = (0, 20234, [5, 3])


def of_scipy(dimensions: int, count: int, rng: np.random.Generator) -> np.ndarray:
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "The balance properties", UserWarning)
        return np.asarray(qmc.Sobol(dimensions, scramble=True, rng=rng).random(count))


@pytest.fixture
def forget() -> Iterator[None]:
    """Read the direction numbers anew, before and after."""
    module._direction_numbers.cache_clear()
    module._directions.cache_clear()
    yield
    module._direction_numbers.cache_clear()
    module._directions.cache_clear()


@pytest.mark.parametrize("count", [1, 2, 7, 1024, 4096, 5000])
@pytest.mark.parametrize("dimensions", [1, 2, 3, 17, 70, 200])
def test_bit_for_bit_those_of_scipy(dimensions: int, count: int) -> None:
    # Source: scipy.stats.qmc.Sobol, run beside it.
    for seed in SEEDS:
        here, there = np.random.default_rng(seed), np.random.default_rng(seed)
        for _ in range(2):  # one generator asked twice gives other points
            points = sobol_points(dimensions, count, here)
            assert np.array_equal(points, of_scipy(dimensions, count, there))
        assert points.dtype == np.float64
        assert points.flags.c_contiguous
        assert np.array_equal(here.random(3), there.random(3))


def test_the_last_dimensions_are_right_as_well() -> None:
    # Source: scipy.stats.qmc.Sobol; every degree of polynomial up to 14 stands in 2,000.
    points = sobol_points(2_000, 8, np.random.default_rng(1))
    assert np.array_equal(points, of_scipy(2_000, 8, np.random.default_rng(1)))


def test_the_directions_are_read_from_the_file_of_scipy_here() -> None:
    """Else every other test would hold the library against itself."""
    assert module._NUMBERS.exists()
    assert module._direction_numbers() is not None


def broken(kind: str, folder: Path) -> Path:
    path = folder / "numbers.npz"
    if kind == "not an archive":
        path.write_bytes(b"no numbers")
    elif kind == "cut off":
        path.write_bytes(module._NUMBERS.read_bytes()[:5000])
    elif kind == "other names":
        np.savez(path, polynomials=np.arange(3))
    elif kind == "other shape":
        np.savez(path, poly=np.array([1, 3, 7]), vinit=np.ones((3, 5), dtype=int))
    return path


@pytest.mark.usefixtures("forget")
@pytest.mark.parametrize(
    "kind", ["missing", "not an archive", "cut off", "other names", "other shape"]
)
def test_without_the_file_scipy_itself_is_asked(
    kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "_NUMBERS", broken(kind, tmp_path))
    assert module._direction_numbers() is None
    points = sobol_points(3, 100, np.random.default_rng(7))
    assert np.array_equal(points, of_scipy(3, 100, np.random.default_rng(7)))


def test_more_dimensions_than_there_are_is_refused_as_scipy_does() -> None:
    with pytest.raises(ValueError, match="Maximum supported dimensionality is 21201"):
        sobol_points(21_202, 2, np.random.default_rng(1))


@given(
    dimensions=st.integers(1, 40),
    half=st.integers(0, 9),
    block=st.integers(0, 5),
    seed=st.integers(0, 2**32),
)
def test_each_aligned_block_has_one_point_in_every_slice(
    dimensions: int, half: int, block: int, seed: int
) -> None:
    # Law of a digital net (Niederreiter 1992, Random Number Generation and Quasi-Monte Carlo
    # Methods, ch. 4, from memory): in each coordinate 2**m points fill 2**m equal slices.
    size = 2**half
    points = sobol_points(dimensions, (block + 1) * size, np.random.default_rng(seed))
    slices = np.sort(np.floor(points[block * size :] * size), axis=0)
    assert (slices == np.arange(size)[:, None]).all()


@given(st.integers(1, 5000), st.integers(1, 12), st.integers(0, 2**32))
def test_fewer_points_are_the_first_of_more(count: int, dimensions: int, seed: int) -> None:
    few = sobol_points(dimensions, count, np.random.default_rng(seed))
    more = sobol_points(dimensions, 5000, np.random.default_rng(seed))
    assert np.array_equal(few, more[:count])
