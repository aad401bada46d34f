"""The same picture of fewer marks: thousands of cells or strokes as one path of each colour."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from matplotlib.axes import Axes
    from matplotlib.collections import LineCollection, QuadMesh
    from matplotlib.figure import Figure

MOST_COLOURS = 12
"""A mesh of more colours is a picture of its own and stays one."""
MOST_STROKES = 30
"""More strokes of one colour than this are joined."""


def fewer_marks(figure: Figure) -> None:
    """Join a figure's cells and strokes, and settle its dates once for all."""
    from matplotlib.collections import LineCollection, QuadMesh

    for axes in figure.axes:
        _settle_dates(axes)
        _settle_names(axes)
        for drawn in list(axes.collections):
            if isinstance(drawn, QuadMesh):
                _join_cells(axes, drawn)
            elif isinstance(drawn, LineCollection) and len(drawn.get_paths()) > MOST_STROKES:
                _join_strokes(axes, drawn)
        for mark in (*axes.patches, *axes.lines, *axes.collections, *axes.texts):
            mark.set_in_layout(False)  # what lies within the axes needs no room of its own


def _settle_dates(axes: Axes) -> None:
    """Dates found and written once: laying out the page asks for them many times."""
    from matplotlib.dates import DateLocator
    from matplotlib.ticker import FixedFormatter, FixedLocator

    axis = axes.xaxis
    if isinstance(axis.get_major_locator(), DateLocator):
        first, last = sorted(axes.get_xlim())
        ticks = [float(tick) for tick in axes.get_xticks() if first <= tick <= last]
        words = [axis.get_major_formatter()(tick, place) for place, tick in enumerate(ticks)]
        axis.set_major_locator(FixedLocator(ticks))
        axis.set_major_formatter(FixedFormatter(words))
    if isinstance(axis.get_minor_locator(), DateLocator):
        axis.set_minor_locator(FixedLocator([float(one) for one in axes.get_xticks(minor=True)]))


def _settle_names(axes: Axes) -> None:
    """An axis without a name looks for no place for one; each time it measures every number."""
    for axis in (axes.xaxis, axes.yaxis):
        if not axis.get_label_text():
            axis.set_label_coords(0.0, 0.0)


def _join_cells(axes: Axes, mesh: QuadMesh) -> None:
    """A path of each colour; cells as pale as the ground they lie on are left out."""
    import numpy as np
    from matplotlib.colors import to_rgba

    corners = np.asarray(mesh.get_coordinates())
    rows, columns = corners.shape[0] - 1, corners.shape[1] - 1
    values: Any = np.ma.asarray(mesh.get_array()).reshape(rows, columns)
    colours = np.asarray(mesh.to_rgba(values)).reshape(rows, columns, 4)
    if np.ma.is_masked(values):
        colours[np.ma.getmaskarray(values)] = 0.0
    kinds = np.unique(colours.reshape(-1, 4), axis=0)
    if len(kinds) > MOST_COLOURS:
        return
    ground = np.array(to_rgba(axes.get_facecolor()))
    for colour in kinds:
        if colour[3] > 0.0 and not np.allclose(colour, ground):
            boxes = _boxes(np.all(colours == colour, axis=2), corners)
            _add(axes, boxes, mesh, facecolor=tuple(colour), linewidth=0.0)
    mesh.remove()


def _boxes(there: np.ndarray, corners: np.ndarray) -> list[list[Any]]:
    """Corners of one box for each run of neighbours in a row."""
    import numpy as np

    found = []
    for row, cells in enumerate(there):
        edges = np.flatnonzero(np.diff(np.concatenate([[False], cells, [False]]).astype(int)))
        for first, last in zip(edges[::2], edges[1::2], strict=True):
            low, high = corners[row], corners[row + 1]
            found.append([low[first], low[last], high[last], high[first], low[first]])
    return found


def _join_strokes(axes: Axes, strokes: LineCollection) -> None:
    """One path of all strokes, where they have one colour."""
    given: Any = strokes
    colours, widths = given.get_colors(), given.get_linewidths()
    if len(colours) != 1 or len(widths) != 1:
        return
    lines = [list(path.vertices) for path in given.get_paths()]
    _add(axes, lines, strokes, fill=False, edgecolor=tuple(colours[0]), linewidth=widths[0])
    strokes.remove()


def _add(axes: Axes, lines: list[list[Any]], like: Any, **look: Any) -> None:
    import numpy as np
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path

    codes = [
        code
        for line in lines
        for code in ([Path.MOVETO] + [Path.LINETO] * (len(line) - 1))
    ]  # fmt: skip
    points = np.concatenate([np.asarray(line, dtype=float) for line in lines])
    path = Path(points, np.asarray(codes, dtype=Path.code_type))
    patch = PathPatch(path, transform=like.get_transform(), zorder=like.get_zorder(), **look)
    axes.add_artist(patch)
