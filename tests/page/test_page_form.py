"""The form: bad values beside their fields, files opened and saved, anything at all sent to it."""

from __future__ import annotations

import difflib
import tomllib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import greenhouse_sim as gs
from page_at_hand import Client, Pairs, Reader

BAD = {
    "greenhouse.width": ("30", "has no unit"),
    "greenhouse.ridge": ("4 ft", "is not above the sidewall"),
    "greenhouse.cover": ("double polly", "did you mean"),
    "crop.setpoint.night": ("warm", "degF"),
    "crop.damage_below": ("60 degF", "is over the setpoint"),
    "heater.count": ("0", "whole number"),
    "fuel.moisture": ("20", "20 percent is written 0.2"),
    "fuel.price": ("250", "250 /cord"),
    "routine.up": ("25:00", "not a time of day"),
    "routine.bed": ("07:00", "23 h of sleep"),
    "site.season.start": ("13-01", "not a day"),
    "site.name": ("", "is empty"),
    "site.weather": ("../../etc/passwd", "is no weather file here"),
    "units": ("furlongs", "choose one"),
}
"""A value for each kind of field, and a part of what must stand beside it."""

OWN = """\
# kept by hand
[site]
name = "Otter Bend"
weather = "selkie_sound_mild.csv"   # invented

[greenhouse]
shape = "gable"
width = "6 m"
length = "12 m"
sidewall = "2 m"
ridge = "3.5 m"
cover = { roof = "twin-wall polycarbonate 8 mm", sides = "double glass", ends = "double glass" }

[[greenhouse.mass]]
what = "water barrels"
count = 12
volume = "55 gal"

[crop]
setpoint = "8 degC"

[heater]
kind = "wood stove, small"
"""


@pytest.mark.parametrize("key", sorted(BAD))
def test_a_bad_value_comes_back_beside_its_field(client: Client, key: str) -> None:
    """All else that was written stays in the form."""
    value, words = BAD[key]
    fields = client.filled(**{"greenhouse__tightness": "leaky", key: value})
    answer = client.post("/run", [*fields, ("do", "compare")])
    page = Reader(answer.text)
    assert answer.status == 422
    assert list(page.wrong) == [key.replace(".", "-")]
    assert words in page.wrong[key.replace(".", "-")]
    came = dict(page.forms["/run"])
    assert came["greenhouse.tightness"] == "leaky"
    assert came.get(key, value) == value


def test_quotes_of_an_example_may_be_copied(client: Client) -> None:
    """The message says: such as "30 ft"."""
    fields = client.filled(
        greenhouse__width='"27 ft"', routine__up="'05:30'", site__name='"Hill"',
        crop__damage_below='"kale"',
    )  # fmt: skip
    saved = tomllib.loads(client.post("/scenario", fields).text)
    assert saved["greenhouse"]["width"] == "27 ft"
    assert saved["routine"]["up"] == "05:30"
    assert saved["site"]["name"] == '"Hill"'
    assert saved["crop"]["damage_below"] == "kale"


def test_several_bad_values_are_told_at_once(client: Client) -> None:
    fields = client.filled(greenhouse__width="30", routine__up="late", fuel__moisture="wet")
    page = Reader(client.post("/run", [*fields, ("do", "compare")]).text)
    assert set(page.wrong) == {"greenhouse-width", "routine-up", "fuel-moisture"}
    assert "write it with its unit" in page.wrong["greenhouse-width"]


def test_no_winter_chosen(client: Client) -> None:
    fields = client.filled(**{"site.weather": []})
    page = Reader(client.post("/scenario", fields).text)
    assert "choose at least one" in page.wrong["site-weather"]


def test_a_file_is_opened_changed_and_saved_with_all_that_the_form_does_not_ask(
    client: Client,
) -> None:
    """Only the changed lines differ: remarks, barrels and the parts of the cover stay."""
    opened = client.upload(OWN.encode())
    assert opened.status == 303
    page = client.get(opened.goes_to)
    assert page.text.count('value="as in the file" disabled') == 1  # the cover in parts
    fields = client.filled(
        opened.goes_to, greenhouse__width="7 m", crop__setpoint__night="5 degC",
        backup__kind="propane heater",
    )  # fmt: skip
    text = client.post("/scenario", fields).text
    lines = [
        line
        for line in difflib.ndiff(OWN.splitlines(), text.splitlines())
        if line[:1] in "+-" and line[2:].strip()
    ]
    assert sorted(lines) == sorted([
        '- weather = "selkie_sound_mild.csv"   # invented',
        '+ weather = ["selkie_sound_mild.csv"]   # invented',
        '- width = "6 m"', '+ width = "7 m"',
        '- setpoint = "8 degC"', '+ setpoint = {day = "8 degC", night = "5 degC"}',
        "+ [backup]", '+ kind = "propane heater"',
    ])  # fmt: skip
    scenario = gs.scenario_from_dict(tomllib.loads(text))
    assert scenario.crop.setpoint_night == 5.0
    assert scenario.greenhouse.mass[0].count == 12
    assert scenario.backup is not None


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no file was chosen"),
        (b"\xff\xfe\x00", "not UTF-8"),
        (b"[site\n", "line 1"),
        (b"[greenhouse]\nwidht = 3\n", "widht"),
        (b"<script>alert(1)</script>", "not valid TOML"),
        (OWN.replace('"6 m"', '"6"').encode(), "has no unit"),
    ],
    ids=["empty", "UTF-16", "broken", "unknown key", "a page", "bad value"],
)
def test_a_file_that_is_no_scenario(client: Client, data: bytes, words: str) -> None:
    answer = client.upload(data)
    assert answer.status == 422
    assert words in answer.text
    assert "<script>alert" not in answer.text


def test_a_file_that_is_too_large(client: Client) -> None:
    assert client.upload(b"#" * 1_100_000).status == 413


def test_an_opened_file_names_no_file_outside_the_folder(client: Client) -> None:
    """Whatever weather a file names, only what is on offer is read."""
    text = OWN.replace("selkie_sound_mild.csv", "/etc/hostname")
    opened = client.upload(text.encode())
    page = client.get(opened.goes_to)
    assert "is no weather file here" in Reader(page.text).wrong["site-weather"]
    assert client.post("/scenario", client.filled(opened.goes_to)).status == 422


def anything(choices: list[str], value: str) -> st.SearchStrategy[str]:
    """What may come for a field: its own value, its choices, quantities, any letters."""
    numbers = st.sampled_from(["0", "-1", "1e400", "nan", "12", "1_0", "٣", "9" * 190])
    units = st.sampled_from(["ft", "m", "degF", "degC", "/cord", "%", "**9**9", "kelvin", ""])
    amounts = st.builds("{} {}".format, st.one_of(numbers, st.floats().map(str)), units)
    words = st.sampled_from([value, "none", "never", '"', "]]\n[x]", "{{ 7*7 }}", "<b>", "'''"])
    given_choices = [st.sampled_from(choices)] if choices else []
    return st.one_of(words, *given_choices, amounts, st.text(max_size=40))


@pytest.fixture(scope="module")
def schema(client: Client) -> tuple[dict[str, list[str]], Pairs]:
    """The page's own schema: its fields, their choices, what they begin with."""
    page = Reader(client.get("/").text)
    return page.choices, page.forms["/run"]


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_anything_may_be_sent(
    client: Client, schema: tuple[dict[str, list[str]], Pairs], data: st.DataObject
) -> None:
    """Never a fault: a scenario that reads back, or a message."""
    choices, fields = schema
    names = sorted({key for key, _ in fields if key != "token"})
    some = data.draw(st.lists(st.sampled_from(names), max_size=5, unique=True))
    sent = []
    for key, value in fields:
        if key not in some:
            sent.append((key, value))
        elif data.draw(st.integers(0, 9)) > 0:  # now and then it is missing
            sent.append((key, data.draw(anything(choices.get(key, []), value))))
    answer = client.post("/scenario", sent)
    assert answer.status in (200, 422)
    assert "Traceback" not in answer.text
    assert "{{ 49 }}" not in answer.text
    if answer.status == 200:
        gs.scenario_from_dict(tomllib.loads(answer.text))
    else:
        assert "Please look again" in answer.text


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_any_file_may_be_opened(client: Client, data: st.DataObject) -> None:
    """A farm's file with a piece cut out or something put in: a form that saves, or a message."""
    at = data.draw(st.integers(0, len(OWN)))
    cut = data.draw(st.integers(0, 12))
    put = data.draw(
        st.one_of(
            st.sampled_from(
                ['"', "[", "]", "{", "=", ".", "\n", "#", "'", "[[greenhouse]]", "a.b=1"]
            ),
            st.text(max_size=6),
        )
    )
    opened = client.upload((OWN[:at] + put + OWN[at + cut :]).encode("utf-8", "replace"))
    assert opened.status in (303, 422)
    if opened.status == 303:
        page = client.get(opened.goes_to)
        assert page.status == 200
        fields = client.filled(opened.goes_to, crop__setpoint__day="9 degC")
        saved = client.post("/scenario", fields)
        assert saved.status in (200, 422)
        if saved.status == 200:
            assert gs.scenario_from_dict(tomllib.loads(saved.text)).crop.setpoint_day == 9.0
