"""Whatever stands in a file, the answer is a scenario or one message."""

from __future__ import annotations

import contextlib
import copy
import tomllib
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario import Scenario, explain, read_scenario, scenario_from_dict
from greenhouse_sim.scenario.read import scenario_from_text

EXAMPLE = Path(__file__).with_name("example.toml").read_text(encoding="utf-8")
RAW = tomllib.loads(EXAMPLE)

words = st.text(max_size=12) | st.sampled_from(
    ["", "30 ft", "0 ft", "-3 degF", "1e400 m", "6 h", "2 /cord", "none", "never", "dark", "12:00",
     "24:00", "99:99", "hoop", "dome", "surfaces", "lean-to", "ideal", "pellets", "10-01", "20 %",
     "single poly", "thermal curtain", "2026-01-10 17:00", "9**9 m", "1/0 m", "3 m/0"]
)  # fmt: skip
scalars = (
    words
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.just(10**400)
    | st.datetimes()
    | st.dates()
    | st.times()
)
keys = st.sampled_from(
    ["kind", "day", "at", "from", "to", "roof", "weekday", "cover", "r_value", "own", "schedule"]
) | st.text(max_size=6)
values = st.recursive(
    scalars,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3),
    max_leaves=6,
)


def paths(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to everything in a nested mapping."""
    items: Any = ()
    if isinstance(node, dict):
        items = node.items()
    elif isinstance(node, list):
        items = enumerate(node)
    below = [found for key, value in items for found in paths(value, (*path, key))]
    return [path, *below] if path else below


def is_one_message(problem: ScenarioError) -> bool:
    text = str(problem)
    return bool(text) and "\n" not in text and "Traceback" not in text and len(text) < 1500


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@example([(("site", "name"), {"\n": 10**400})])
@given(st.lists(st.tuples(st.sampled_from(paths(RAW)), values), min_size=1, max_size=3))
def test_changed_values(changes: list[tuple[tuple[Any, ...], Any]]) -> None:
    raw = copy.deepcopy(RAW)
    for path, value in changes:
        node: Any = raw
        with contextlib.suppress(KeyError, IndexError, TypeError):
            for key in path[:-1]:
                node = node[key]
            node[path[-1]] = value
    try:
        farm = scenario_from_dict(raw)
    except ScenarioError as problem:
        assert is_one_message(problem)
    else:
        assert explain(farm)
        assert isinstance(hash(farm), int)


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(paths(RAW)), keys)
def test_renamed_keys(path: tuple[Any, ...], name: str) -> None:
    raw = copy.deepcopy(RAW)
    node: Any = raw
    for key in path[:-1]:
        node = node[key]
    if isinstance(node, dict):
        node[name] = node.pop(path[-1])
    with contextlib.suppress(ScenarioError):
        scenario_from_dict(raw)


@settings(max_examples=150, deadline=None)
@given(
    st.integers(0, len(EXAMPLE)),
    st.integers(0, 30),
    st.text(max_size=8) | st.sampled_from('"[]{}=#\n'),
)
def test_changed_text(start: int, cut: int, put: str) -> None:
    try:
        farm = scenario_from_text(EXAMPLE[:start] + put + EXAMPLE[start + cut :], "farm.toml")
    except ScenarioError as problem:
        assert is_one_message(problem)
        assert str(problem).startswith("farm.toml")
    else:
        assert isinstance(farm, Scenario)


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.binary(max_size=80) | st.text(max_size=60).map(lambda text: text.encode()))
def test_any_file(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "any.toml"
    file.write_bytes(data)
    try:
        read_scenario(file)
    except ScenarioError as problem:
        assert is_one_message(problem)
    else:
        raise AssertionError("no such text is a scenario")


@settings(max_examples=100, deadline=None)
@given(st.sampled_from([".".join(map(str, path)) for path in paths(RAW)]) | keys, values)
def test_any_change(key: str, value: Any) -> None:
    with contextlib.suppress(ScenarioError):
        scenario_from_dict(RAW).with_(**{key: value})
