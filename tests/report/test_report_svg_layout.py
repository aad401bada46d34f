"""A picture of a page is laid out as the library would lay it out."""

from __future__ import annotations

import io

from greenhouse_sim.report.charts.style import new_figure, titled
from greenhouse_sim.report.charts.svg import inline_svg


def test_the_layout_is_that_of_a_saved_figure() -> None:
    """Matplotlib's own way draws the picture once to find its layout; the places are the same."""
    places = []
    for ours in (True, False):
        figure = new_figure(8.0, 4.0)
        left, right = figure.subplots(1, 2)
        left.barh(["a long name of a heater", "short"], [3.0, 12345.0], label="bars")
        right.plot([0.0, 1.0], [0.0, 1.0], label="a line")
        right.set_ylabel("temperature")
        titled(left, "A title")
        figure.legend(loc="outside lower center")
        if ours:
            assert "<svg" in inline_svg(figure, "one", "A title", "What is to be seen")
        else:
            figure.savefig(io.StringIO(), format="svg")
        places.append([axes.get_position().bounds for axes in (left, right)])
    assert places[0] == places[1]
    assert places[0][0][0] > 0.1  # room for the long name was made
