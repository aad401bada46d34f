"""The look that all pictures share: calm, legible, the same in black and white.

Colours are far apart for every kind of colour vision, and no line or bar is told
apart by colour alone: line styles, hatches and labels do it too.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from greenhouse_sim.files import written_whole
from greenhouse_sim.report.words import winter_words

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

    from greenhouse_sim.season.run import Season

INSIDE = "#b3430f"
OUTSIDE = "#30638e"
SETPOINT = "#1a1a1a"
DAMAGE = "#7a1fa2"
FIRE = "#e0a030"
BACKUP = "#5a8f69"
NIGHT = "#e9ebf0"
PALE = "#d9dce3"
INK = "#222222"
SEVERAL = ("#30638e", "#e0a030", "#b3430f", "#5a8f69", "#7a1fa2", "#888888")
DASHES = ("-", "--", ":", "-.", (0, (6, 2, 1, 2)), (0, (1, 3)))
HATCHES = ("", "///", "...", "xxx", "\\\\\\", "ooo")
DPI = 130
AS_WRITTEN: Any = {"text.parse_math": False}
"""For texts that are made while a picture is drawn, such as those of an axis."""
SHORT_D = 75.0
"""Seasons shorter than this, in days, are dated by days instead of months."""


def new_figure(width: float = 10.0, height: float = 5.4) -> Figure:
    """An empty page, inches."""
    from matplotlib.figure import Figure

    return Figure(figsize=(width, height), dpi=DPI, layout="constrained", facecolor="white")


def plain(axes: Axes, grid: str = "y") -> None:
    """Take away what is no information, and draw a faint grid."""
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.grid(axis=grid, color="#dddddd", linewidth=0.7)  # type: ignore[arg-type]
    axes.set_axisbelow(True)


def titled(axes: Axes, text: str) -> None:
    """A plain title over the left corner."""
    axes.set_title(text, loc="left", fontsize=12, fontweight="bold", color=INK, wrap=True)


def subject(season: Season) -> str:
    """Winter and heater, for titles."""
    return f"winter {winter_words(season.winter)}, {season.heater}"


def month_axis(axes: Axes) -> None:
    """Dates by the month (by days in a short season), the year under the first and each January.

    The limits of the axis must stand already.
    """
    from matplotlib.dates import DayLocator, MonthLocator, num2date
    from matplotlib.ticker import FuncFormatter

    first, last = axes.get_xlim()
    short = last - first < SHORT_D

    def label(value: float, _: Any) -> str:
        when = num2date(value)
        text = f"{when.day} {when:%b}" if short else f"{when:%b}"
        ticks = [tick for tick in axes.get_xticks() if tick >= first]
        opens = value == min(ticks, default=value) or (when.month == 1 and not short)
        return f"{text}\n{when:%Y}" if opens else text

    if short:
        axes.xaxis.set_major_locator(DayLocator(interval=max(1, round((last - first) / 8.0))))
    else:
        axes.xaxis.set_major_locator(MonthLocator())
    axes.xaxis.set_major_formatter(FuncFormatter(label))


def as_written(figure: Figure) -> None:
    """Take every text as it is written: a farm may have dollar signs in its name."""
    for text in _texts(figure):
        text.set_parse_math(False)
        if "$" in text.get_text():
            text.set_wrap(False)  # breaking a line would take it for a formula all the same


def _texts(artist: Any) -> Iterator[Any]:
    """Every text that is there. Asked for, an axis would make the marks and words that it has yet
    to make (`AS_WRITTEN` holds for those)."""
    from matplotlib.axis import Axis
    from matplotlib.text import Text

    if isinstance(artist, Text):
        yield artist
    if isinstance(artist, Axis):
        ticks = (*artist.majorTicks, *artist.minorTicks)
        words = [word for tick in ticks for word in (tick.label1, tick.label2)]
        yield from (artist.label, artist.offsetText, *words)
    else:
        for part in artist.get_children():
            yield from _texts(part)


def save(figure: Figure, path: Path) -> Path:
    """Write a figure as PNG, whole or not at all."""
    import matplotlib as mpl

    as_written(figure)
    with written_whole(path) as temporary, mpl.rc_context(AS_WRITTEN):
        figure.savefig(temporary, format="png")
    return path
