"""A picture of the report as a file of its own: no style that a strict page would refuse.

The report's pictures stand within its page and take their colours and letters from it. One that
is fetched by itself has no page around it, and the content security policy of this site allows
neither style elements nor style attributes: what they say is written as attributes of the marks.
"""

from __future__ import annotations

import re

from greenhouse_sim.report.charts.dark import DARK

BLACK = "000000"
LETTERS = "DejaVu Sans, Verdana, Geneva, sans-serif"
"""The widest first: the picture was laid out with letters as wide as these."""
PX_PER_PT = 4.0 / 3.0
"""CSS Values and Units, absolute lengths: 1in = 72pt = 96px."""
COLOUR = re.compile(r"var\(--c-([0-9a-f]{6}), #[0-9a-f]{6}\)")


def svg_file(drawn: str, *, dark: bool) -> str:
    """The picture as a file, light or dark.

    Parameters
    ----------
    drawn
        The element that `greenhouse_sim.report.charts.svg.inline_svg` gives.
    dark
        Whether it stands on a dark page.
    """
    drawn = re.sub(r"<style\b.*?</style>\s*", "", drawn, flags=re.DOTALL)
    drawn = re.sub(r"var\(--letters, [^)]*\)", LETTERS, drawn)
    drawn = COLOUR.sub(lambda found: f"#{_colour(found[1], dark)}", drawn)
    drawn = re.sub(r'\bstyle="([^"]*)"', lambda found: _attributes(found[1]), drawn)
    width, height = size_px(drawn)
    return drawn.replace(
        "<svg ",
        f'<svg width="{width}" height="{height}" fill="#{_colour(BLACK, dark)}" '
        'stroke-linejoin="round" stroke-linecap="butt" ',
        1,
    )


def size_px(drawn: str) -> tuple[int, int]:
    """Width and height of a picture as it was drawn, CSS pixels."""
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawn)
    assert found is not None, "a picture without its size"
    width, height = (round(float(side) * PX_PER_PT) for side in found.groups())
    return width, height


def _colour(light: str, dark: bool) -> str:
    return DARK.get(light, light) if dark else light


def _attributes(style: str) -> str:
    said = (one.split(":", 1) for one in style.split(";") if ":" in one)
    return " ".join(f'{key.strip()}="{value.strip()}"' for key, value in said)
