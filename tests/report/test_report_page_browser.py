"""The page in a real browser: wide, on a phone, in the dark, on paper."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from browser import Tab, browser, browser_path
from pages_at_hand import BAD_NAME, bad_weather, small_page

pytestmark = pytest.mark.skipif(
    browser_path() is None, reason="no chromium on the PATH; Debian: apt-get install chromium"
)
PHONE = 390
PAPER_PX = {"A4": 695, "Letter": 717}
"""Widths between the margins, CSS pixels: 210 mm and 8.5 in less 26 mm."""
POINTS = {"A4": (595, 842), "Letter": (612, 792)}


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page with bad names, in a folder with a bad name."""
    folder = tmp_path_factory.mktemp("farm %31# & <b>")
    path = folder / "report.html"
    path.write_text(small_page(bad_weather(folder), name=BAD_NAME), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def tab(page: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tab]:
    """The page, open."""
    with browser(tmp_path_factory.mktemp("browser")) as one:
        one.screen(1100)
        one.open(page)
        yield one


def test_it_is_quiet_and_asks_for_nothing(tab: Tab, page: Path) -> None:
    assert tab.value("document.querySelectorAll('section').length") >= 10
    assert tab.said == []
    assert {one for one in tab.asked if not one.startswith("data:")} == {page.as_uri()}
    assert tab.value("document.compatMode") == "CSS1Compat"


def test_a_bad_name_is_only_a_name(tab: Tab) -> None:
    assert tab.value("document.title") == f"Winter at {BAD_NAME}"
    assert tab.value("document.images.length + document.scripts.length") == 0
    assert BAD_NAME in tab.value(
        "document.querySelector('#costs svg').parentNode.parentNode.innerText"
    )


@pytest.mark.parametrize("width", [320, PHONE, 768, 1100])
def test_no_width_scrolls_the_page_sideways(tab: Tab, width: int) -> None:
    """Tables and pictures scroll within their boxes, and there only."""
    tab.screen(width)
    assert tab.value("document.documentElement.scrollWidth") <= width
    wide = """[...document.querySelectorAll('body *')].filter(one => !one.closest('.box')
        && one.getBoundingClientRect().right > innerWidth + 0.5).map(one => one.tagName)"""
    assert tab.value(wide) == []


def test_tables_can_be_read_on_a_phone(tab: Tab) -> None:
    tab.screen(PHONE)
    sizes = tab.value(
        "[...document.querySelectorAll('td, tbody th')]"
        ".map(one => parseFloat(getComputedStyle(one).fontSize))"
    )
    assert min(sizes) >= 13.0
    heads = tab.value("[...document.querySelectorAll('table')].map(t => t.tHead.rows.length)")
    assert set(heads) == {1}
    reached = tab.value("[...document.querySelectorAll('.box')].every(b => b.tabIndex === 0)")
    assert reached is True


def test_every_picture_has_a_name_and_is_seen(tab: Tab) -> None:
    tab.screen(1100)
    found = tab.value(
        """[...document.querySelectorAll('svg')].map(one => [
        one.getAttribute('role'), one.querySelector('title').textContent.length,
        one.querySelector('desc').textContent.length,
        one.getBoundingClientRect().width, one.getBoundingClientRect().height])"""
    )
    assert len(found) >= 8
    for role, title, text, width, height in found:
        assert role == "img" and title > 10 and text > 40
        assert width > 600 and 100 < height < 1400


def test_it_is_dark_where_the_reader_likes_it(tab: Tab) -> None:
    light = "getComputedStyle(document.querySelector('section')).backgroundColor"
    ink = "getComputedStyle(document.querySelector('#winter svg text')).fill"
    tab.screen(1100)
    assert (tab.value(light), tab.value(ink)) == ("rgb(255, 255, 255)", "rgb(0, 0, 0)")
    tab.screen(1100, dark=True)
    assert (tab.value(light), tab.value(ink)) == ("rgb(29, 32, 36)", "rgb(242, 240, 234)")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_it_prints_on_paper(tab: Tab, paper: str, tmp_path: Path) -> None:
    tab.screen(1100, dark=True)
    pdf = tab.printed(paper, tmp_path / f"{paper}.pdf").read_bytes()
    boxes = re.findall(rb"/MediaBox ?\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]", pdf)
    assert 6 <= len(boxes) <= 40
    for width, height in boxes:
        assert (float(width), float(height)) == pytest.approx(POINTS[paper], abs=1.0)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_nothing_is_cut_off_at_the_margin(tab: Tab, paper: str) -> None:
    tab.screen(PAPER_PX[paper])
    tab.call("Emulation.setEmulatedMedia", media="print", features=[])
    over = tab.value(
        """[...document.querySelectorAll('table, svg')].map(one =>
        [one.getBoundingClientRect().right - innerWidth, one.textContent.slice(0, 60)])
        .filter(pair => pair[0] > 0.5)"""
    )
    tab.call("Emulation.setEmulatedMedia", media="", features=[])
    assert over == []
