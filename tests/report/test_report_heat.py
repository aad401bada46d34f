"""Where the heat goes, as it is told: units, width, JSON, CSV, picture."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from rich.console import Console

from greenhouse_sim.plans.design import Design, Night, Part
from greenhouse_sim.plans.heat import Heat
from greenhouse_sim.report.charts.heat import LOOK, heat_paths
from greenhouse_sim.report.charts.style import save
from greenhouse_sim.report.heat_table import (
    design_table,
    first_line,
    heat_json,
    heat_notes,
    heater_table,
    need_table,
    write_heat_tables,
)
from greenhouse_sim.report.words import Units

US, SI = Units(True), Units(False)
NIGHT = Night(-30.0, "as given", 10.0, 4.4704, "mean wind of those hours", -33.0, 98_000.0, 6.0)


def winter(name: str, scale: float = 1.0, stored_kWh: float = 500.0) -> dict[str, Any]:
    """A winter of round numbers whose two sides agree."""
    moment = {
        "at": "2026-01-14T05:00", "need_W": 29_307.1 * scale, "out_C": -30.0, "wind_m_s": 4.4704,
        "setpoint_C": 5.0,
    }  # fmt: skip
    gains = {"sun": 20_000.0 * scale, "heater": 29_307.107 * scale, "other": 0.0}
    rest = sum(gains.values()) - 7_000.0 * scale - stored_kWh
    return {
        "winter": name, "site": "Nowhere", "hours": 5088, "floor_m2": 100.0,
        "heat_need_kWh": 29_307.107 * scale, "heat_need_kWh_m2": 293.07107 * scale,
        "degree_hours_Kh": 60_000.0 * scale, "largest_hour": moment,
        "largest_three_hours": moment | {"need_W": 29_000.0 * scale}, "output_99_W": 20_000.0,
        "output_99_9_W": 25_000.0, "gains_kWh": gains,
        "losses_kWh": {
            "covers and walls": rest, "leaks": 3_000.0 * scale, "ground": 2_000.0 * scale,
            "evaporation": 2_000.0 * scale, "vents": 0.0,
            "kept in soil, water, walls": stored_kWh,
        },
    }  # fmt: skip


def found(*winters: dict[str, Any], count: int = 1) -> Heat:
    """An answer of round numbers: 10 kW, three quarters of it through the roof."""
    parts = (
        Part("roof", 92.90304, 5.678263, 7500.0, 900.0),
        Part("leaks", None, None, 2500.0, 0.0),
    )
    heater = {
        "heater": "rocket mass heater, large", "count": count, "output_max_W": 22_000.0,
        "share_of_hours": 0.9949, "reaches_output_99": True, "reaches_output_99_9": False,
    }  # fmt: skip
    outputs = {"output_99_W": 20_000.0, "output_99_9_W": 25_000.0}
    rows = winters or (winter("plain_winter"),)
    return Heat(Design(NIGHT, 100.0, parts), rows, outputs, (heater,))


def printed(table: Any) -> str:
    """A table as text on a page of 100 columns."""
    page = Console(width=100, file=io.StringIO(), color_system=None)
    page.print(table)
    return page.file.getvalue()  # type: ignore[attr-defined]


def line_of(text: str, start: str) -> list[str]:
    """The words of a table's line after its label."""
    (line,) = (one for one in text.splitlines() if one.strip().startswith(start))
    return line.strip().removeprefix(start).split()


def test_design_in_both_units() -> None:
    """10 kW is 34,121 Btu/h; 92.90304 m² is 1,000 ft²; 5.678263 W/m²K is 1 Btu/h·ft²·°F."""
    us, si = (printed(design_table(found().design, units)) for units in (US, SI))
    assert line_of(us, "roof") == ["1000", "1.00", "25,600", "24", "75"]
    assert line_of(si, "roof") == ["93", "5.68", "7500", "75", "75"]
    assert line_of(us, "all  ") == ["34,100", "32", "100"]
    assert line_of(si, "on top under a clear sky") == ["900", "9.0", "9.0"]
    assert line_of(si, "all under a clear sky") == ["10,900", "109", "109"]
    assert "34,100 Btu/h" in first_line(found().design, US)
    assert "-22 °F outside, 50 °F inside" in first_line(found().design, US)
    assert "10,000 W (100 W/m² of floor) at -30 °C" in first_line(found().design, SI)


def test_need_in_both_units() -> None:
    """29,307.107 kWh is 100 million Btu; over 100 m² that is 92.9 thousand Btu/ft²."""
    us, si = (printed(need_table(found().winters, units)) for units in (US, SI))
    assert line_of(us, "Heat, million Btu") == ["100"]
    assert line_of(us, "per floor, thousand Btu/ft²") == ["93"]
    assert line_of(us, "Hardest hour, Btu/h") == ["100,000"]
    assert line_of(us, "wind") == ["10", "mph"]
    assert line_of(us, "Setpoint over outdoors, °F·h") == ["108,000"]
    assert line_of(si, "Heat, MWh") == ["29"]
    assert line_of(si, "per floor, kWh/m²") == ["293"]
    assert line_of(si, "wind") == ["4.5", "m/s"]
    assert line_of(us, "on  ") == ["14", "January"]
    assert line_of(us, "at  ") == ["05:00"]


@pytest.mark.parametrize("number", [1, 4, 5, 30])
@pytest.mark.parametrize("units", [US, SI])
def test_tables_fit_the_page(number: int, units: Units) -> None:
    many = found(
        *(winter(f"a_long_place_name_severe_{n}", 1.0 + n) for n in range(number)), count=2
    )
    tables = (
        need_table(many.winters, units), design_table(many.design, units), heater_table(many, units)
    )  # fmt: skip
    for table in tables:
        text = printed(table)
        assert max(len(line.rstrip()) for line in text.splitlines()) <= 100
        assert "…" not in text
    assert ("middle of" in printed(tables[0])) == (number > 4)


def test_notes_say_where_the_temperature_comes_from_and_which_hour() -> None:
    notes = " ".join(heat_notes(found(winter("mild_one", 0.5), winter("hard_one")), US))
    assert "as given" in notes
    assert "winter hard one" in notes
    assert "warming of the air" in notes


def test_nothing_lost_has_no_shares() -> None:
    warm = Design(NIGHT, 100.0, (Part("roof", 100.0, 0.0, 0.0, 0.0),))
    assert line_of(printed(design_table(warm, US)), "roof") == ["1080", "0.00", "0", "0"]
    assert first_line(warm, US).startswith("No heat is needed")


def test_json_has_its_schema() -> None:
    answer = json.loads(heat_json(found(winter("a"), winter("b"))))
    assert set(answer) == {"schema", "heat", "design"}
    assert answer["schema"] == 1
    assert [row["winter"] for row in answer["heat"]] == ["a", "b"]
    assert answer["design"]["temperature_C"] == -30.0
    assert answer["design"]["loss_W"] == sum(p["loss_W"] for p in answer["design"]["parts"])
    assert answer["design"]["heaters"][0]["reaches_output_99"] is True


def test_csv_tables_are_written(tmp_path: Path) -> None:
    written = write_heat_tables(found(winter("a"), winter("b")), tmp_path)
    assert {path.name for path in written} == {path.name for path in tmp_path.iterdir()}
    with (tmp_path / "heat_winters.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [row["winter"] for row in rows] == ["a", "b"]
    assert float(rows[0]["gains_kWh: sun"]) == 20_000.0
    assert rows[0]["largest_hour: at"] == "2026-01-14T05:00"


@pytest.mark.parametrize("number", [1, 3, 12])
def test_the_picture_has_ink(number: int, tmp_path: Path) -> None:
    from matplotlib.image import imread

    rows = [winter(f"winter_{n}", 1.0 + 0.2 * n, stored_kWh=-800.0) for n in range(number)]
    path = save(heat_paths(rows, SI), tmp_path / "heat.png")
    pixels = imread(path)[:, :, :3]
    inked = float(np.mean(np.any(pixels < 0.9, axis=2)))
    assert 0.02 < inked < 0.7


def test_the_picture_names_what_came_in_and_out() -> None:
    axes = heat_paths([winter("one", stored_kWh=-800.0)], US).axes[0]
    legend = axes.get_legend()
    assert legend is not None
    named = {text.get_text() for text in legend.get_texts()}
    assert "given back by soil, water, walls" in named
    assert named <= set(LOOK)
    assert axes.get_ylabel() == "million Btu"
    heights = {round(bar.get_x()): 0.0 for bar in axes.patches}
    for bar in axes.patches:
        heights[round(bar.get_x())] += bar.get_height()  # type: ignore[attr-defined]
    assert len(set(np.round(list(heights.values()), 6))) == 1


def test_neighbours_in_a_column_differ_in_black_and_white() -> None:
    """Every two paths that can touch have another hatch."""
    for side in (("sun", "heater", "other"), tuple(LOOK)[5:]):
        hatches = [LOOK[name][1] for name in side]
        assert len(set(hatches)) == len(hatches)
