"""How is everything that drawing needs loaded, before there is anything to draw?"""

from __future__ import annotations

from takestats.charts.lettering import inches


def load_drawing() -> None:
    """Load the drawing library and measure a first word, which loads its letters."""
    from matplotlib.backends import backend_agg, backend_svg  # noqa: F401

    inches("takestats", 10.0)
