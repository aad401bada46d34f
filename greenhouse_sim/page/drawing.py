"""A picture that is drawn when somebody first looks at it, and kept with its run."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from greenhouse_sim.page.svg_file import svg_file
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.parts import Picture

if TYPE_CHECKING:
    from matplotlib.figure import Figure

PX_PER_IN = 96
"""CSS Values and Units, absolute lengths."""
_PEN = threading.Lock()
"""matplotlib draws for one thread at a time: its settings and caches are the process's."""


class Drawing:
    """One picture of a run.

    matplotlib takes longer to load than a comparison takes to run, so that nothing is drawn
    before the tables are on the screen and the browser asks for the picture.

    Parameters
    ----------
    name
        What no other picture of the run is called; a part of its address.
    title
        The line over it.
    text
        What is said in its stead.
    inches
        Width and height of what ``draw`` makes: the browser keeps the place free.
    draw
        Makes the figure. It is let go of, with all that it holds, once the picture is drawn.
    """

    def __init__(
        self,
        name: str,
        title: str,
        text: str,
        inches: tuple[float, float],
        draw: Callable[[], Figure | None],
    ) -> None:
        self.name, self.title, self.text = name, title, text
        self.width, self.height = (round(side * PX_PER_IN) for side in inches)
        self._draw: Callable[[], Figure | None] | None = draw
        self._drawn = ""

    @property
    def block(self) -> Picture:
        """Its place among the tables of a section; the template asks for the picture itself."""
        return Picture(self.name, self.title, self.text, "")

    def svg(self, *, dark: bool) -> str:
        """The picture as a file; drawn at the first call, which others wait for."""
        if self._draw is not None:
            with _PEN:
                self._draw_once()
        return svg_file(self._drawn, dark=dark)

    def _draw_once(self) -> None:
        if self._draw is None:
            return
        made = picture(self.name, self._draw(), self.text)
        assert made is not None, f"nothing to draw: {self.name}"
        self._drawn = made.svg
        self._draw = None
