"""Who draws the charts while the answers of a page are still being worked out?"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from takestats.charts.loaded import load_drawing
from takestats.models.side_by_side import shared_out
from takestats.models.standing_by import StandingBy
from takestats.pages.figures import Drawing, drawn
from takestats.pages.parts import Picture


class Studio:
    """Draws charts, each once; where there is another core, as soon as they are known.

    Parameters
    ----------
    ahead : bool
        Whether to split off a process now, while this one is small, that loads the drawing
        library and begins with the charts it is given. Else they are drawn when asked for.
    """

    def __init__(self, *, ahead: bool = False) -> None:
        self._other = StandingBy(_ready) if ahead else None
        self._begun: list[Picture] = []

    def begin(self, pictures: Sequence[Picture]) -> None:
        """Draw these over there; they will be asked for later."""
        if self._other is None:
            return
        for picture in pictures:
            if self._other.give(Picture(draw=picture.draw)):
                self._begun.append(picture)

    def drawings(self, pictures: Sequence[Picture]) -> list[Drawing]:
        """All of these as drawn, in order, wherever they were drawn."""
        made = None if self._other is None else self._other.made()
        known = {
            id(picture): drawing for picture, drawing in zip(self._begun, made or (), strict=False)
        }
        missing = iter(shared_out(drawn, [each for each in pictures if id(each) not in known]))
        return [known[id(each)] if id(each) in known else next(missing) for each in pictures]


def _ready() -> Callable[[Picture], Drawing]:
    load_drawing()
    return drawn
