"""The page as a PDF: its paper, its colours, nothing opened, and a word where it cannot be."""

from __future__ import annotations

import builtins
import re
import sys
import zlib
from pathlib import Path
from typing import Any

import pytest

from asked import Ask
from greenhouse_sim.errors import GreenhouseError
from greenhouse_sim.report.charts.style import INSIDE, new_figure, plain, titled
from greenhouse_sim.report.page.draw import picture
from greenhouse_sim.report.page.page import written
from greenhouse_sim.report.page.parts import Section, lead, section
from greenhouse_sim.report.page.pdf import A4, LETTER, library, pdf

try:
    library()
    WHY = ""
except GreenhouseError as problem:
    WHY = str(problem)
can_be_made = pytest.mark.skipif(bool(WHY), reason=WHY)
POINTS = {A4: (595.28, 841.89), LETTER: (612.0, 792.0)}
"""ISO 216: 210 × 297 mm; ANSI A: 8.5 × 11 in; 72 points an inch."""


def text_of_a_page() -> str:
    """A page of two sections, one with a picture of one thick line."""
    figure = new_figure(6.0, 3.0)
    axes = figure.subplots()
    axes.plot([0.0, 1.0], [0.0, 1.0], color=INSIDE, linewidth=9.0)
    plain(axes)
    titled(axes, "A line from corner to corner")
    drawn = picture("line", figure, "One line.")
    told: list[Section] = [
        section("a", "The answer", lead("7.4 cords <as written> & no more")),
        section("b", "The picture", drawn),
    ]
    return written("Winter at Nowhere", told, "0.0.0")


def opened(made: bytes) -> str:
    """All that stands in the file, its packed parts unpacked."""
    found = [made.decode("latin-1")]
    for packed in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", made, re.DOTALL):
        try:
            found.append(zlib.decompress(packed).decode("latin-1"))
        except zlib.error:
            continue
    return "\n".join(found)


@can_be_made
@pytest.mark.parametrize("paper", [A4, LETTER])
def test_it_stands_on_its_paper_with_its_colours(paper: str) -> None:
    inside = opened(pdf(text_of_a_page(), paper))
    boxes = re.findall(r"/MediaBox ?\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", inside)
    assert len(boxes) == 1
    assert tuple(map(float, boxes[0])) == pytest.approx(POINTS[paper], abs=0.1)
    # the stroke of the line: its colour as three parts of one, as PDF writes it ("r g b RG")
    strokes = re.findall(r"([\d.]+) ([\d.]+) ([\d.]+) RG", inside)
    wanted = [int(INSIDE[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
    assert any(list(map(float, one)) == pytest.approx(wanted, abs=0.003) for one in strokes)
    assert "/Title" in inside and "/Outlines" in inside
    assert "DejaVu-Sans" in inside


@can_be_made
def test_nothing_of_the_machine_or_the_network_is_opened(tmp_path: Path) -> None:
    (tmp_path / "there.css").write_text("@page { size: 100mm 100mm }")
    address = (tmp_path / "there.css").as_uri()
    text = text_of_a_page().replace("</head>", f'<link rel="stylesheet" href="{address}"></head>')
    assert "283.4" not in opened(pdf(text, A4))


@can_be_made
def test_a_report_with_its_pdf(ask: Ask, week: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole command; in place of the whole page, which takes long to set, a short one."""
    monkeypatch.setattr("greenhouse_sim.report.page.page.page", lambda *_: text_of_a_page())
    out, paper = week.parent / "page.html", week.parent / "page.pdf"
    answer = ask("report", week, "--out", out, "--pdf", paper, "--units", "si")
    assert (answer.status, answer.out) == (0, ""), answer.err
    assert f"Wrote {paper} (" in answer.err
    assert {one.name for one in week.parent.iterdir()} == {
        "farm.toml", "page.html", "page.pdf",
    }  # fmt: skip
    assert re.search(r"/MediaBox ?\[\s*0 0 595.2", opened(paper.read_bytes()))


def test_without_the_library_it_says_how_to_get_it(
    ask: Ask, week: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    refused(ask, week, week.parent / "page.pdf", "pip install greenhouse-sim[pdf]")


def test_without_pango_it_says_how_to_get_it(
    ask: Ask, week: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *given: Any) -> Any:
        if name == "weasyprint":
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *given)

    monkeypatch.setattr(builtins, "__import__", without)
    refused(ask, week, week.parent / "page.pdf", "libpangoft2-1.0-0", "brew install")


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("page.html", "name it page.pdf"),
        ("", "is a folder; name a file, such as"),
        ("farm.toml/page.pdf", "is a file; name a folder"),
    ],
)
def test_a_pdf_that_cannot_be_written_is_refused_at_once(
    ask: Ask, week: Path, name: str, said: str
) -> None:
    refused(ask, week, week.parent / name, said)


def refused(ask: Ask, farm: Path, pdf: Path, *said: str) -> None:
    """Status 2, one message, nothing written."""
    answer = ask("report", farm, "--out", farm.parent / "page.html", "--pdf", pdf)
    assert answer.status == 2 and answer.out == ""
    for words in said:
        assert words in answer.err
    assert "Traceback" not in answer.err
    assert [one.name for one in farm.parent.iterdir()] == ["farm.toml"]
