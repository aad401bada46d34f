"""From the form to the numbers and back, through the real server."""

from __future__ import annotations

import json
import re
import tomllib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

import greenhouse_sim as gs
from greenhouse_sim.plans.compare import Comparison, all_heaters
from greenhouse_sim.report.compare_table import compare_table
from greenhouse_sim.report.json_text import json_text
from greenhouse_sim.report.page.sheet import sheet
from greenhouse_sim.report.words import Units
from page_at_hand import Client, Pairs, Reader


def changed(fields: Pairs, **new: str) -> Pairs:
    """The same answers with some changed."""
    names = {key.replace("__", "."): value for key, value in new.items()}
    return [(key, names.get(key, value)) for key, value in fields]


@pytest.fixture(scope="module")
def saved(client: Client, short: Pairs, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The short scenario as the page saves it."""
    answer = client.post("/scenario", short)
    assert answer.status == 200
    assert answer.headers["Content-Disposition"] == 'attachment; filename="tamarack-flats.toml"'
    path = tmp_path_factory.mktemp("saved") / "tamarack-flats.toml"
    path.write_bytes(answer.data)
    return path


@pytest.fixture(scope="module")
def compared(saved: Path) -> Comparison:
    """What the library says of the saved file."""
    return gs.compare(gs.read_scenario(saved))


def test_the_form_begins_with_the_demo_farm(client: Client) -> None:
    """As it is saved, it is the demo farm value by value."""
    text = client.post("/scenario", client.filled()).text
    ours = gs.scenario_from_dict(tomllib.loads(text), gs.demo_path())
    assert ours == gs.read_scenario(gs.demo_path())


def test_the_page_tells_what_the_library_says(
    client: Client, short: Pairs, compared: Comparison
) -> None:
    """Every number of the JSON, and every cell of the table."""
    address = client.run(short)
    page = client.wait(address)
    numbers = json.loads(client.get(f"{address}/numbers.json").text)
    assert numbers == json.loads(json_text(compared))
    told = sheet(compare_table(compared, Units(True), -10.0 / 3.0))
    (table,) = Reader(page.text).tables
    assert [row[0] for row in table[1:]] == list(all_heaters())
    assert table[1:] == [[cell.text for cell in line.cells] for line in told.lines]
    assert "ashes only in a lidded metal pail" in page.text  # the cautions


def test_reload_shows_the_same_and_the_way_back_keeps_the_answers(
    client: Client, short: Pairs
) -> None:
    fields = changed(short, site__name="Kestrel's <b>Hill</b> & Sons", greenhouse__width="28 ft")
    address = client.run(fields)
    page = client.wait(address)
    assert client.get(address).text == page.text
    assert "<b>Hill" not in page.text
    assert "Kestrel&#39;s &lt;b&gt;Hill&lt;/b&gt; &amp; Sons" in page.text
    assert sorted(client.filled(f"{address}/form")) == sorted(fields)


@pytest.mark.parametrize(("what", "words"), [("nights", "asleep"), ("woodpile", "Stacked 4 ft")])
def test_the_other_buttons(client: Client, short: Pairs, what: str, words: str) -> None:
    """From the page of one run to the next, with the same answers."""
    first = client.run(short)
    client.wait(first)
    again = Reader(client.get(first).text).forms["/run"]
    page = client.wait(client.run(again, what))
    assert words.lower() in page.text.lower()
    assert "--out" not in page.text  # nobody here has a command line
    assert Reader(page.text).tables


def test_metric_units(client: Client, short: Pairs) -> None:
    page = client.wait(client.run(changed(short, units="si")))
    assert "°C" in page.text
    assert "°F" not in page.text.partition("Mind this")[0]


def test_what_cannot_be_is_told_on_the_page_of_the_run(client: Client, short: Pairs) -> None:
    page = client.wait(client.run(changed(short, heater__kind="electric heater"), "woodpile"))
    assert "electric heater has no pile to lay in" in page.text
    assert "worked out: [heater] kind: electric" in page.text


def test_two_at_once_do_not_mix(client: Client, short: Pairs) -> None:
    """Four tabs, each with its own width and units: each reads what it asked."""

    def one(number: int) -> None:
        name = f"Farm {number}"
        fields = changed(
            short, site__name=name, greenhouse__width=f"{24 + number} ft", crop__vent_at="82 degF"
        )
        address = client.run(fields)
        page = client.wait(address)
        assert f"{name}, hoop {24 + number} × 72 ft" in page.text
        others = set(re.findall(r"Farm \d+", page.text)) - {name}
        assert not others
        assert dict(client.filled(f"{address}/form"))["greenhouse.width"] == f"{24 + number} ft"

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(one, range(4)))


def test_a_run_is_stopped(client: Client) -> None:
    """A long run, and one that still waits behind it; what is stopped stays described."""
    page = Reader(client.get("/").text)
    long = client.filled(**{"site.weather": page.choices["site.weather"]})
    first, second = client.run(long, "nights"), client.run(long, "nights")
    token = dict(long)["token"]
    for address in (second, first):
        assert client.post(f"{address}/stop", [("token", token)]).goes_to == address
    for address in (first, second):
        page = client.wait(address)
        assert "You stopped this run" in page.text
        assert json.loads(client.get(f"{address}/state").text)["state"] == "stopped"
        assert client.get(f"{address}/numbers.json").status == 404
        assert sorted(client.filled(f"{address}/form")) == sorted(long)


def test_fifty_at_once(client: Client, short: Pairs) -> None:
    """Pages, forms, saved files and runs; nobody is turned away."""

    def one(number: int) -> int:
        kinds = (
            lambda: client.get("/"),
            lambda: client.post("/scenario", short),
            lambda: client.post("/run", [*short, ("do", "compare")]),
            lambda: client.get("/static/page.css"),
            lambda: client.post("/run", changed(short, greenhouse__width="wide")),
        )
        answer = kinds[number % 5]()
        assert answer.status == (200, 200, 303, 200, 422)[number % 5], answer.text
        if answer.status == 303:
            client.wait(answer.goes_to)
        return answer.status

    with ThreadPoolExecutor(50) as pool:
        assert len(list(pool.map(one, range(50)))) == 50
