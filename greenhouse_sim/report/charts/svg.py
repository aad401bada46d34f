"""A picture as SVG that stands within a page: light or dark, with words in its stead."""

from __future__ import annotations

import io
import re
from html import escape
from typing import TYPE_CHECKING, Any

from greenhouse_sim.report.charts.fewer_marks import fewer_marks
from greenhouse_sim.report.charts.style import AS_WRITTEN, as_written

if TYPE_CHECKING:
    from matplotlib.figure import Figure

LOOK: Any = {**AS_WRITTEN, "svg.fonttype": "none", "svg.hashsalt": "greenhouse"}
"""Letters stay text, in the reader's own fonts; the same picture is written the same way."""
FONT = "var(--letters, sans-serif)"


def inline_svg(figure: Figure, name: str, title: str, text: str) -> str:
    """An ``<svg>`` element to stand within a page.

    Its colours are variables of the page (``--c-222222``) with the drawn colour in their stead
    where the page has none, and its letters are of the page's font.

    Parameters
    ----------
    figure
        The picture; it is changed and cannot be drawn again.
    name
        What no other picture of the page is called: every id begins with it.
    title, text
        What is read out in its stead: a line, and what is to be seen.
    """
    import matplotlib as mpl

    as_written(figure)
    fewer_marks(figure)
    held = io.StringIO()
    with mpl.rc_context(LOOK):
        _laid_out(figure)
        figure.savefig(held, format="svg", metadata={"Date": None})
    drawn = held.getvalue()
    return _opened(_told_apart(_short(drawn[drawn.index("<svg") :]), name), name, title, text)


def _laid_out(figure: Figure) -> None:
    """Let the layout settle in the letters of the file to come.

    The library else draws the whole picture once only for that.
    """
    from matplotlib.backends.backend_svg import FigureCanvasSVG

    engine = figure.get_layout_engine()
    if engine is None:
        return
    FigureCanvasSVG(figure)
    figure.set_dpi(FigureCanvasSVG.fixed_dpi)
    engine.execute(figure)
    figure.set_layout_engine(None)


def _short(drawn: str) -> str:
    """Without what only a file of its own needs, and with two decimals of a point."""
    drawn = re.sub(r"<metadata>.*?</metadata>\s*", "", drawn, flags=re.DOTALL)
    drawn = re.sub(r"<!--.*?-->\s*", "", drawn, flags=re.DOTALL)
    drawn = re.sub(r"\d+\.\d{3,}", lambda found: f"{float(found[0]):.2f}", drawn)
    drawn = re.sub(r"(font: [^'\";]*?px )[^;\"]*", rf"\1{FONT}", drawn)
    drawn = re.sub(r"font-family: [^;\"]*", f"font-family: {FONT}", drawn)
    drawn = re.sub(r"(?<=[ :])#([0-9a-f]{6})(?=[;\"])", r"var(--c-\1, #\1)", drawn)
    drawn = re.sub(r'\bfill="#([0-9a-f]{6})"', r'style="fill: var(--c-\1, #\1)"', drawn)
    return re.sub(r"\n\s*", "\n", drawn)


def _told_apart(drawn: str, name: str) -> str:
    """Every id, and what points at it, begins with the picture's name."""
    drawn = re.sub(r'\bid="([^"]+)"', rf'id="{name}-\1"', drawn)
    drawn = re.sub(r'href="#([^"]+)"', rf'href="#{name}-\1"', drawn)
    return re.sub(r"url\(#([^)]+)\)", rf"url(#{name}-\1)", drawn)


def _opened(drawn: str, name: str, title: str, text: str) -> str:
    """With words in its stead, and as wide as the page wants it."""
    head, rest = drawn.split(">", 1)
    box = re.search(r'viewBox="[^"]+"', head)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'{box[0] if box else ""} role="img" aria-labelledby="{name}-title {name}-text">\n'
        f'<title id="{name}-title">{escape(title)}</title>\n'
        f'<desc id="{name}-text">{escape(text)}</desc>{rest.rstrip()}'
    )
