"""The pictures beside the tables: what they show, who may fetch them, and when they are drawn."""

from __future__ import annotations

import base64
import gc
import re
import sys
import time
import weakref
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pytest

import greenhouse_sim as gs
from greenhouse_sim.page.drawing import Drawing
from greenhouse_sim.page.pictures import light
from greenhouse_sim.plans.compare import all_heaters
from greenhouse_sim.report.charts.dark import DARK
from greenhouse_sim.report.hours import hours
from page_at_hand import Client, Pairs, Reader, served

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SVG = "{http://www.w3.org/2000/svg}"
SHOWN = {"compare": ("bars", "temperatures"), "nights": ("calendar",), "woodpile": ("pile",)}


def changed(fields: Pairs, **new: str) -> Pairs:
    """The same answers with some changed."""
    names = {key.replace("__", "."): value for key, value in new.items()}
    return [(key, names.get(key, value)) for key, value in fields]


@pytest.fixture(scope="module")
def addresses(client: Client, short: Pairs) -> dict[str, str]:
    """A run of each button."""
    found = {what: client.run(short, what) for what in SHOWN}
    for address in found.values():
        client.wait(address)
    return found


def words_of(client: Client, address: str) -> list[str]:
    """The letters of a picture, text by text."""
    tree = ET.fromstring(client.get(address).data)
    return [" ".join("".join(one.itertext()).split()) for one in tree.iter(f"{SVG}text")]


@pytest.mark.parametrize("what", SHOWN)
def test_every_picture_of_the_page_is_there(
    client: Client, addresses: dict[str, str], what: str
) -> None:
    """Light and dark, with words in its stead, and of the size for which there is place."""
    page = client.get(addresses[what])
    images = [one for one in Reader(page.text).pictures if "src" in one]
    assert tuple(one["src"].split("/")[-2] for one in images) == SHOWN[what]
    for image in images:
        assert len(image["alt"]) > 80
        assert image["loading"] == "lazy"
        for address in (image["src"], image["src"].replace("light", "dark")):
            answer = client.get(address)
            assert answer.status == 200
            assert answer.headers["Content-Type"].startswith("image/svg+xml")
            tree = ET.fromstring(answer.data)
            assert (tree.get("width"), tree.get("height")) == (image["width"], image["height"])
            whole = tree.find(f"{SVG}desc")
            assert whole is not None
            assert whole.text == image["alt"]
        assert client.get(address).data == answer.data
    assert page.text.count("<source") == len(images)


@pytest.mark.parametrize("what", SHOWN)
def test_a_picture_is_sealed_like_a_page(
    client: Client, addresses: dict[str, str], what: str
) -> None:
    """The policy allows no style within a file, so that none is there to be refused."""
    page = client.get(addresses[what])
    for one in SHOWN[what]:
        for look in ("light", "dark"):
            answer = client.get(f"{addresses[what]}/picture/{one}/{look}.svg")
            for name in ("Content-Security-Policy", "X-Content-Type-Options", "Referrer-Policy"):
                assert answer.headers[name] == page.headers[name]
            tree = ET.fromstring(answer.data)
            assert not [e for e in tree.iter() if "style" in e.attrib or e.tag == f"{SVG}style"]
            assert "var(" not in answer.text
            assert "script" not in answer.text


def test_the_bars_are_named_as_the_table_has_them(
    client: Client, addresses: dict[str, str]
) -> None:
    """Heater for heater the fuel of the table; and as often up at night."""
    address = addresses["compare"]
    (table,) = Reader(client.get(address).text).tables
    said = words_of(client, f"{address}/picture/bars/light.svg")
    fuels = {row[0]: row[1].split("\n")[0].replace("none", "as needed") for row in table[1:]}
    assert [one for one in said if "(" in one][: len(fuels)] == [
        f"{name} ({fuels[name]})" for name in all_heaters()
    ]
    for row in table[1:]:
        assert row[2].split("\n")[0] in said


def test_the_others_say_what_their_tables_say(client: Client, addresses: dict[str, str]) -> None:
    nights = Reader(client.get(addresses["nights"]).text)
    up = re.search(r"Somebody is up in (\d+) of 31 whole nights", nights.pictures[-1]["alt"])
    assert up is not None
    # from 20 December to 20 January: the table counts the nights that the ends cut, too
    assert 0 <= int(nights.tables[0][2][2]) - int(up[1]) <= 2
    assert words_of(client, f"{addresses['nights']}/picture/calendar/light.svg").count(
        "tamarack flats typical"
    )
    pile = Reader(client.get(addresses["woodpile"]).text)
    have = pile.tables[0][1][1]
    assert f"outdoor boiler: {have} cords of red oak" in pile.pictures[-1]["alt"]
    assert "red oak, cords" in words_of(client, f"{addresses['woodpile']}/picture/pile/dark.svg")


def test_dark_is_the_same_picture_in_other_colours(
    client: Client, addresses: dict[str, str]
) -> None:
    def of(look: str) -> list[ET.Element]:
        answer = client.get(f"{addresses['compare']}/picture/temperatures/{look}.svg")
        return list(ET.fromstring(answer.data).iter())

    marks = ("fill", "stroke")
    for one, other in zip(of("light"), of("dark"), strict=True):
        assert {k: v for k, v in one.attrib.items() if k not in marks} == {
            k: v for k, v in other.attrib.items() if k not in marks
        }
        for mark in marks:
            colour = one.get(mark, "none")
            if colour.startswith("#"):
                assert other.get(mark) == f"#{DARK[colour[1:]]}"


def test_every_tab_has_its_own_picture(client: Client, short: Pairs) -> None:
    """Two greenhouses in two units: neither shows what the other asked."""
    mine = client.run(short)
    other = client.run(changed(short, units="si", heater__kind="pellet stove"))
    for address, unit, heater in ((mine, "°F", "outdoor boiler"), (other, "°C", "pellet stove")):
        page = client.wait(address)
        said = words_of(client, f"{address}/picture/temperatures/light.svg")
        assert f"temperature, {unit}" in said
        assert f"Inside and outside, day by day: {heater}" in page.text
        large = client.get(f"{address}/picture/temperatures")
        assert large.status == 200
        assert f'href="{address}#temperatures"' in large.text
        assert Reader(large.text).pictures[-1]["src"].startswith(f"{address}/")


def test_fifty_at_once(client: Client, short: Pairs) -> None:
    """Pictures of several runs, none of them drawn yet, and pages between them."""
    runs = [client.run(changed(short, site__name=f"Farm {n}"), "nights") for n in range(5)]
    for address in runs:
        client.wait(address)

    def one(number: int) -> tuple[str, bytes]:
        address = runs[number % 5]
        if number % 10 < 8:
            address += f"/picture/calendar/{'light' if number % 20 < 10 else 'dark'}.svg"
        answer = client.get(address)
        assert answer.status == 200, answer.text
        return address, answer.data

    began = time.monotonic()
    with ThreadPoolExecutor(50) as pool:
        came = list(pool.map(one, range(50)))
    print(f"50 requests for pictures not drawn before: {time.monotonic() - began:.1f} s")
    assert all(data == dict(came)[address] for address, data in came)


@pytest.mark.parametrize(
    "end",
    ["picture/other", "picture/pile/light.svg", "picture/bars/grey.svg", "picture/bars/light"],
)
def test_what_is_no_picture(client: Client, addresses: dict[str, str], end: str) -> None:
    assert client.get(f"{addresses['compare']}/{end}").status == 404
    assert client.get(f"/run/none/{end}").status == 404


def test_browsers_ask_for_an_icon_beside_a_picture(client: Client) -> None:
    """An answer without one, so that no console tells of it."""
    assert client.get("/favicon.ico").status == 204


def test_a_run_that_was_stopped_has_none(client: Client) -> None:
    every = Reader(client.get("/").text).choices["site.weather"]
    fields = client.filled(**{"site.weather": every})
    address = client.run(fields, "nights")
    assert client.get(f"{address}/picture/calendar/light.svg").status == 404
    client.post(f"{address}/stop", [("token", dict(fields)["token"])])
    client.wait(address)
    assert client.get(f"{address}/picture/calendar/light.svg").status == 404


def test_a_foreign_name_gets_no_picture(client: Client, addresses: dict[str, str]) -> None:
    address = f"{addresses['compare']}/picture/bars/light.svg"
    assert client.ask("GET", address, headers={"Host": "kitchen.example"}).status == 400


@pytest.fixture(scope="module")
def locked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    """A page for others, with a password; nothing was drawn by it yet."""
    folder = tmp_path_factory.mktemp("locked")
    with served(folder, "--host", "0.0.0.0", "--password", "three red oaks") as one:
        yield one


def test_drawn_after_the_table_and_for_the_password(locked: Client) -> None:
    """What draws is loaded when a picture is asked for, by somebody who may."""
    login = {"Authorization": f"Basic {base64.b64encode(b'grower:three red oaks').decode()}"}
    form = Reader(locked.ask("GET", "/", headers=login).text).forms["/run"]
    one = "tamarack_flats_typical.csv"
    fields = [(k, v) for k, v in form if k != "site.weather"] + [("site.weather", one)]
    kind = {**login, "Content-Type": "application/x-www-form-urlencoded"}
    body = "&".join(f"{k}={_quoted(v)}" for k, v in [*fields, ("do", "compare")])
    address = locked.ask("POST", "/run", body.encode(), kind).goes_to
    until = time.monotonic() + 60.0
    while "<table" not in (text := locked.ask("GET", address, headers=login).text):
        assert time.monotonic() < until, text
        time.sleep(0.1)
    picture = f"{address}/picture/temperatures/light.svg"
    assert locked.get(picture).status == 401
    assert locked.get(f"{address}/picture/temperatures").status == 401
    assert not _draws(locked.pid)
    assert locked.ask("GET", picture, headers=login).status == 200
    assert _draws(locked.pid)


def _quoted(text: str) -> str:
    from urllib.parse import quote_plus

    return quote_plus(text)


def _draws(pid: int) -> bool:
    """Whether the process has loaded matplotlib's letters."""
    if not sys.platform.startswith("linux"):
        pytest.skip("what a process has loaded is looked up in /proc")
    return "ft2font" in Path(f"/proc/{pid}/maps").read_text()


class Brush:
    """Makes a figure; counts how many are made, and whether two are at the same time."""

    def __init__(self) -> None:
        self.made = self.at_work = self.most = 0

    def __call__(self) -> Figure:
        from matplotlib.figure import Figure

        self.at_work += 1
        self.most = max(self.most, self.at_work)
        time.sleep(0.02)
        self.made += 1
        self.at_work -= 1
        figure = Figure()
        figure.subplots().set_title("One", loc="left")
        return figure


def test_drawn_once_one_at_a_time_and_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    brush = Brush()
    drawings = [Drawing(f"p{n}", "A title", "In words", (6.4, 4.8), brush) for n in range(3)]
    with ThreadPoolExecutor(12) as pool:
        came = list(pool.map(lambda n: drawings[n % 3].svg(dark=n > 11), range(24)))
    assert (brush.made, brush.most) == (3, 1)
    assert len(set(came)) == 6
    gone = weakref.ref(brush)
    del brush
    gc.collect()  # a ring may have it for a while; a drawing that kept it would have it for good
    assert gone() is None


def test_what_went_wrong_once_is_tried_again() -> None:
    tries: list[int] = []

    def draw() -> Figure:
        tries.append(1)
        if len(tries) == 1:
            raise MemoryError
        return Brush()()

    drawing = Drawing("p", "A title", "In words", (6.4, 4.8), draw)
    with pytest.raises(MemoryError):
        drawing.svg(dark=False)
    assert drawing.svg(dark=False).startswith("<svg ")


def test_a_season_that_waits_to_be_drawn_holds_no_winter() -> None:
    """Its ledger and the hours that are shown; the winter, megabytes, is let go of."""
    scenario = gs.read_scenario(gs.demo_path()).with_(
        **{"site.weather": ["tamarack_flats_mild.csv"], "site.season.start": "01-10",
           "site.season.end": "01-20"}
    )  # fmt: skip
    season = gs.simulate(scenario)
    kept = light(season)
    assert (kept.heater, kept.winter) == (season.heater, season.winter)
    assert sorted(vars(kept)) == ["ledger"]
    seen = hours(season, "out_C", "air_C").copy()
    for name, values in seen.columns.items():
        assert np.array_equal(values, season.trace[name].to_numpy())
        assert values.base is None  # no view of the trace, nor of the winter
