"""What is a chart, before anybody writes it to a page?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from matplotlib.figure import Figure


@dataclass(frozen=True, eq=False, kw_only=True)
class Chart:
    """A figure with the words that belong to it.

    Parameters
    ----------
    name : str
        Short name, letters and hyphens, unique on a page.
    figure : matplotlib.figure.Figure
        Drawn without any global state; one hue, shapes and text.
    title : str
        What it is, in a few words.
    sentence : str
        What it shows, one sentence.
    key : str
        How it is read.
    spoken : str
        Every number of the chart in words, for a reader who cannot see it.
    """

    name: str
    figure: Figure
    title: str
    sentence: str
    key: str
    spoken: str
