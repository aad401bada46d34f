"""The page: whole in itself, every name harmless, every picture told in words."""

from __future__ import annotations

import re
from collections import Counter
from html.parser import HTMLParser
from pathlib import Path

import pytest

from greenhouse_sim.report.cautions import cautions
from greenhouse_sim.report.charts.dark import DARK, GROUND
from greenhouse_sim.report.glossary import glossary
from greenhouse_sim.report.page.parts import lead, section
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.report.words import Units
from pages_at_hand import BAD_NAME, SAMPLES, bad_weather, small_page

MOST_BYTES = 2_000_000
ALONE = {"br", "meta", "link", "img", "hr", "input"}
NAMESPACES = {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}


class Seen(HTMLParser):
    """Elements, attributes and the words of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: Counter[str] = Counter()
        self.ids: list[str] = []
        self.names: set[str] = set()
        self.values: list[tuple[str, str]] = []
        self.words: list[str] = []
        self.open: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        if tag not in ALONE:
            self.open.append(tag)
        for name, value in attrs:
            self.names.add(name)
            self.values.append((name, value or ""))
            if name == "id":
                self.ids.append(value or "")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in ALONE:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag, f"</{tag}> closes another element"

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


@pytest.fixture(scope="module")
def html(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A page with bad names."""
    return small_page(bad_weather(tmp_path_factory.mktemp("weather")), name=BAD_NAME)


@pytest.fixture(scope="module")
def seen(html: str) -> Seen:
    return Seen(html)


def test_the_answer_stands_before_any_table(html: str) -> None:
    order = re.findall(r'<section id="(\w+)"', html)
    assert order[:3] == ["question", "answer", "heaters"]
    assert {"winter", "wood", "nights", "away", "costs", "sure", "assumed", "cautions"} < set(order)
    assert html.index('id="answer"') < html.index("<table")
    start = html.index('class="lead"')
    assert re.match(r"wood stove, large: [\d.]+ cords \(", html[html.index(">", start) + 1 :])


def test_elements_are_closed_and_ids_are_unique(seen: Seen) -> None:
    assert seen.open == []
    assert [one for one, times in Counter(seen.ids).items() if times > 1] == []


def test_what_is_pointed_at_is_there(html: str, seen: Seen) -> None:
    pointed = re.findall(r'href="#([^"]+)"', html) + re.findall(r"url\(#([^)]+)\)", html)
    for name, value in seen.values:
        if name == "aria-labelledby":
            pointed += value.split()
    assert len(pointed) > 100
    assert set(pointed) <= set(seen.ids)


def test_nothing_is_fetched(html: str, seen: Seen) -> None:
    """No address but the names of the SVG language, no script, no outside style or font."""
    assert set(re.findall(r"https?://[^\s\"'<)]+", html)) <= NAMESPACES
    assert not {"script", "img", "iframe", "object", "embed"} & set(seen.tags)
    assert "@import" not in html and "@font-face" not in html
    assert not [name for name in seen.names if name.startswith("on")]
    sources = {value for name, value in seen.values if name in ("src", "href", "xlink:href")}
    assert all(value.startswith(("#", "data:")) for value in sources)


def test_names_are_told_as_they_are_written(html: str, seen: Seen) -> None:
    assert "<img" not in html
    assert " ".join(BAD_NAME.split()) in seen.text
    assert "a<b>&'[red]0" in seen.text


def test_every_picture_is_told_in_words(html: str) -> None:
    pictures = re.findall(r"<svg\b[^>]*>.*?</svg>", html, re.DOTALL)
    assert len(pictures) >= 8
    for drawn in pictures:
        assert 'role="img"' in drawn[:400]
        title = re.search(r"<title[^>]*>([^<]+)</title>", drawn)
        text = re.search(r"<desc[^>]*>([^<]+)</desc>", drawn)
        assert title and text and len(title[1]) > 10
        assert re.search(r"\d", text[1]), f"no number in the words for {title[1]}"


def test_a_page_is_small(html: str) -> None:
    assert len(html.encode()) < MOST_BYTES


def test_cautions_glossary_and_sources_are_there(seen: Seen) -> None:
    for text in cautions():
        assert " ".join(text.split()) in seen.text
    for entry in glossary().values():
        assert " ".join(entry.meaning.split()) in seen.text
    assert "common practice, no source" in seen.text


def test_few_winters_are_said_to_be_few(seen: Seen) -> None:
    assert "2 winters are too few to speak of one winter in ten" in seen.text
    assert "All of this weather is made up (synthetic), none of it measured." in seen.text


def test_what_does_not_fit_the_heater_is_left_out() -> None:
    told = small_page([SAMPLES[0]], heater="electric heater", units=Units(False))
    assert '<section id="wood"' not in told
    assert '<section id="away"' in told
    assert "kWh of electricity" in told
    seen = Seen(told)
    assert "°F" not in seen.text.partition("What was assumed Every value")[0].split("Costs")[0]


def test_a_section_leaves_out_what_is_empty() -> None:
    assert section("a", "A", lead(""), None, lead("x")).blocks == (lead("x"),)


def test_a_table_of_the_page_holds_what_the_terminal_shows() -> None:
    from rich.table import Table
    from rich.text import Text

    table = Table(title="Two [not closed")
    table.add_column("Name")
    table.add_column("much\nof it", justify="right")
    table.add_row(Text("[bold]as written"), "12\n[dim]10-14[/dim]", style="dim", end_section=True)
    table.add_row("b", "[bold red]HURT 3[/bold red]")
    found = sheet(table, title="Given")
    assert (found.title, found.heads, found.numbers) == (
        "Given", ("Name", "much of it"), (False, True),
    )  # fmt: skip
    assert [cell.text for line in found.lines for cell in line.cells] == [
        "[bold]as written", "12\n10-14", "b", "HURT 3",
    ]  # fmt: skip
    assert found.lines[0].cells[1].lines[1][0].look == "faint"
    assert (found.lines[0].look, found.lines[1].opens) == ("faint", True)
    assert found.lines[1].cells[1].lines[0][0].look == "hurt"


def test_every_colour_has_a_partner_in_the_dark(html: str) -> None:
    drawn = set(re.findall(r"var\(--c-([0-9a-f]{6}), ", html))
    assert drawn and drawn <= set(DARK)
    left = re.findall(r"(?:fill|stroke)(?:: ?|=\")#[0-9a-f]{6}", html)
    assert not left, "a colour that the page cannot change"


def luminance(colour: str) -> float:
    """Relative luminance as the Web Content Accessibility Guidelines 2.1 define it."""
    parts = [int(colour[n : n + 2], 16) / 255.0 for n in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21, by the same guidelines."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_and_white_is_the_published_21() -> None:
    assert contrast("000000", "ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("light", [one for one in DARK if one != GROUND])
def test_marks_stand_out_in_the_dark_as_in_the_light(light: str) -> None:
    """At least 3 to 1 (criterion 1.4.11), or as much as on white where a mark is meant to be pale.

    Inks of letters hold 7 to 1 (criterion 1.4.6).
    """
    by_day, by_night = contrast(light, "ffffff"), contrast(DARK[light], DARK[GROUND])
    assert by_night >= min(3.0, 0.9 * by_day)
    if light in ("000000", "1a1a1a", "222222"):
        assert min(by_day, by_night) >= 7.0


def test_letters_of_the_page_stand_out_both_ways() -> None:
    """7 to 1 for the inks, 4.5 to 1 for links and warnings (criteria 1.4.6 and 1.4.3)."""
    import greenhouse_sim.report.page as room

    css = Path(room.__path__[0], "page.css").read_text(encoding="utf-8")
    by_day, _, rest = css.partition("@media")
    for text, ground in ((by_day, "ffffff"), (rest, DARK[GROUND])):
        colours = dict(re.findall(r"--(\w+): #([0-9a-f]{6})", text))
        for name, least in (("ink", 7.0), ("faint", 7.0), ("link", 4.5), ("hurt", 4.5)):
            for behind in (ground, colours["band"], colours["page"]):
                assert contrast(colours[name], behind) >= min(least, 4.5), (name, behind)
            assert contrast(colours[name], ground) >= least, name


def test_dollar_signs_in_a_name_are_no_formula(tmp_path: Path) -> None:
    """They would be set as mathematics, or be refused as a faulty formula."""
    from greenhouse_sim.report.charts.style import new_figure, save, titled
    from greenhouse_sim.report.charts.svg import inline_svg

    name = r"Farm at $5 & \frac{ $6"
    for write in (
        lambda figure: inline_svg(figure, "one", "Farm", "words"),
        lambda figure: save(figure, tmp_path / "farm.png").name,
    ):
        figure = new_figure(4.0, 3.0)
        axes = figure.subplots()
        titled(axes, name)
        axes.set_yticks([0.0, 1.0], [name, "b"])
        drawn = write(figure)
        assert drawn == "farm.png" or drawn.count(r"Farm at $5 &amp; \frac{ $6") == 2


def test_cells_and_strokes_are_joined_and_still_there() -> None:
    """A mesh of 6 cells in three colours, one of them the ground's: a path of each other colour."""
    import numpy as np
    from matplotlib.colors import ListedColormap

    from greenhouse_sim.report.charts.style import new_figure
    from greenhouse_sim.report.charts.svg import inline_svg

    figure = new_figure(4.0, 3.0)
    axes = figure.subplots()
    axes.pcolormesh(
        [0, 1, 2, 3], [0, 1, 2], np.array([[0.0, 1.0, 1.0], [2.0, 0.0, 1.0]]),
        cmap=ListedColormap(["white", "#c9cfda", "#8d6aa8"]), vmin=-0.5, vmax=2.5,
    )  # fmt: skip
    axes.vlines(np.linspace(0.0, 3.0, 40), 0.0, 1.0, color="#7a1fa2")
    drawn = inline_svg(figure, "one", "Cells", "words")
    paths = re.findall(r'<path d="([^"]+)"[^>]*style="([^"]+)"', drawn)
    boxes = {
        colour: sum(d.count("M") for d, style in paths if f"fill: var(--c-{colour}" in style)
        for colour in ("c9cfda", "8d6aa8")
    }
    assert boxes == {"c9cfda": 2, "8d6aa8": 1}
    strokes = [d.count("M") for d, style in paths if "stroke: var(--c-7a1fa2" in style]
    assert strokes == [40]
