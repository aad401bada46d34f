"""The page as a PDF, for whoever sends or keeps it as one file of paper's size.

A browser prints the page as well; this is for those who make many, or have no browser at hand.
"""

from __future__ import annotations

import base64
import logging
import re
from pathlib import Path
from typing import Any

from greenhouse_sim.errors import GreenhouseError

LETTER, A4 = "letter", "A4"
FACES = {"normal": "DejaVuSans.ttf", "bold": "DejaVuSans-Bold.ttf"}
"""Of the drawing library, so that a page needs no fonts of the machine and looks alike on all."""
STYLE = """
@page {{
  size: {paper};
  @bottom-right {{ content: counter(page) " of " counter(pages); font: 7pt "DejaVu Sans"; }}
}}
body {{ font-family: "DejaVu Sans"; }}
"""
FACE = """
@font-face {{
  font-family: "DejaVu Sans"; font-weight: {weight}; src: url(data:font/ttf;base64,{font});
}}
"""
_COLOUR = re.compile(r"var\(--c-[0-9a-f]{6}, (#[0-9a-f]{6})\)")
_LETTERS = "var(--letters, sans-serif)"
_ASKED = "the --pdf of a report"


def library() -> Any:
    """The library that sets pages.

    Raises
    ------
    GreenhouseError
        It is not installed, or finds no Pango on this machine; with what to do.
    """
    try:
        import weasyprint
    except ImportError:
        raise GreenhouseError(
            f"{_ASKED} needs WeasyPrint; install it with "
            '"pip install greenhouse-sim[pdf]", or print the page from a browser'
        ) from None
    except OSError:  # its libraries outside of Python
        raise GreenhouseError(
            f"{_ASKED} needs Pango, which WeasyPrint does not find on this machine; install it "
            'with "apt install libpango-1.0-0 libpangoft2-1.0-0" (Debian, Ubuntu), "dnf install '
            'pango" (Fedora) or "brew install pango" (macOS), or print the page from a browser'
        ) from None
    return weasyprint


def pdf(text: str, paper: str) -> bytes:
    """A page on paper.

    Parameters
    ----------
    text
        The page, as `greenhouse_sim.report.page.page.page` makes it.
    paper
        `LETTER` or `A4`.

    Returns
    -------
    bytes
        The file, with the page's headings as its bookmarks.

    Raises
    ------
    GreenhouseError
        As `library`.
    """
    weasyprint = library()
    logging.getLogger("weasyprint").setLevel(logging.ERROR)  # it tells each style it has no use for
    fonts = weasyprint.text.fonts.FontConfiguration()
    only = weasyprint.urls.URLFetcher(allowed_protocols=("data",))
    style = weasyprint.CSS(
        string=_faces() + STYLE.format(paper=paper), font_config=fonts, url_fetcher=only
    )
    page = weasyprint.HTML(string=_plain(text), url_fetcher=only)
    return bytes(page.write_pdf(stylesheets=[style], font_config=fonts, pdf_tags=True))


def _plain(text: str) -> str:
    """Colours and letters of pictures as they are drawn: within them variables are not known."""
    return _COLOUR.sub(r"\1", text).replace(_LETTERS, "DejaVu Sans")


def _faces() -> str:
    """The letters within the style itself: nothing is opened, of the machine or the network."""
    import matplotlib

    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    held = {
        weight: base64.b64encode((folder / name).read_bytes()).decode()
        for weight, name in FACES.items()
    }
    return "".join(FACE.format(weight=weight, font=font) for weight, font in held.items())
