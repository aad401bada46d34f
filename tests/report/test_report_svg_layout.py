"""A picture of a page is laid out as the library would lay it out."""

from __future__ import annotations

import io
import subprocess
import sys

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


def test_dollars_and_carets_in_every_kind_of_text_stay_as_they_are() -> None:
    """Two dollar signs would else open and close a formula: in titles, names, numbers of an axis,
    legends and marks, those that are there already and those that are made as it is drawn."""
    figure = new_figure(6.0, 4.0)
    axes = figure.subplots()
    axes.plot([0.0, 1.0], [0.0, 1.0], label="$legend$")
    axes.set_xticks([0.0, 1.0], ["$tick^1$", "b"])
    axes.yaxis.set_major_formatter(lambda value, _: f"${value:.1f}$")
    axes.set_xlabel("$name$")
    axes.text(0.5, 0.5, "$text_2$")
    axes.annotate("$note$", (0.2, 0.2), xytext=(5, 5), textcoords="offset points")
    titled(axes, "$title$ of a farm")
    figure.suptitle("$over all$")
    axes.legend()
    figure.legend(loc="outside lower center")
    drawn = inline_svg(figure, "one", "A title", "What is to be seen")
    told = ("$legend$", "$tick^1$", "$0.4$", "$name$", "$text_2$", "$note$", "$title$ of a farm")
    for words in (*told, "$over all$"):
        assert f">{words}<" in drawn, words


def test_the_library_keeps_its_manual_from_this_program_alone() -> None:
    """Loaded in a process of its own it has no lists in its docstrings, and can still make them."""
    script = (
        "from greenhouse_sim.report.charts.loading import fetch; fetch()\n"
        "from matplotlib.artist import kwdoc; from matplotlib.lines import Line2D\n"
        "assert 'markersize' in kwdoc(Line2D)\n"
        "assert 'markersize' not in Line2D.set.__doc__\n"
        "Line2D([0.0], [0.0]).set(linewidth=2.0)\n"
    )
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr.decode()
