"""How is a short text drawn that stands where it begins, and needs no laying out?

A map has hundreds of them. The library measures each, for where a text of several lines or
one set to the right would begin; one line set to the left begins at its own place.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib.text import Text

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.backend_bases import RendererBase


class ShortText(Text):
    """One line from the left on its baseline, upright, nothing behind it, not cut at the axes."""

    def draw(self, renderer: RendererBase, *args: Any, **kwargs: Any) -> None:
        """Draw it at its place; the library calls this."""
        if not self.get_visible() or not self.get_text():
            return
        across, up = self.get_transform().transform(self.get_unitless_position())
        if renderer.flipy():
            up = renderer.get_canvas_width_height()[1] - up
        gc = renderer.new_gc()
        gc.set_foreground(self.get_color())
        font = self.get_fontproperties()
        renderer.draw_text(gc, across, up, self.get_text(), font, 0.0, ismath=False, mtext=self)
        gc.restore()
        self.stale = False


def short_text(axes: Axes, x: float, y: float, text: str, **style: Any) -> ShortText:
    """Write one line into axes, from a place on their scales; style as for any text."""
    short = ShortText(x, y, text, transform=axes.transData, **style)
    axes.add_artist(short)
    return short
