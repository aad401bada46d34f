"""A picture of the page from a figure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from greenhouse_sim.report.page.parts import Picture

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def picture(name: str, figure: Figure | None, text: str) -> Picture | None:
    """The figure under its own title, and what is said in its stead; None without a figure.

    Parameters
    ----------
    name
        What no other picture of the page is called.
    figure
        Its title is taken off it and stands over it as a line of the page.
    text
        What is to be seen.
    """
    from greenhouse_sim.report.charts.svg import inline_svg

    if figure is None:
        return None
    title = " ".join(_taken_title(figure).split())
    return Picture(name, title, text, inline_svg(figure, name, title, text))


def _taken_title(figure: Figure) -> str:
    whole = figure.get_suptitle()
    if whole:
        figure.suptitle("")
        return whole
    first = figure.axes[0]
    title = first.get_title(loc="left")
    first.set_title("", loc="left")
    return title
