"""A page of an invented farm whose names would do harm if they were taken as they are."""

from __future__ import annotations

from pathlib import Path

from greenhouse_sim.plans.foreseen import Work
from greenhouse_sim.report.page.findings import findings
from greenhouse_sim.report.page.page import page
from greenhouse_sim.report.words import Units
from greenhouse_sim.season.run import read_records
from greenhouse_sim.weather import winters
from winters_at_hand import demo

BAD_NAME = """<img src=x onerror=alert(1)> & "Bob's" ../../etc/passwd $x_2$ [bold]farm[/bold]"""
SEASON = {"start": "12-20", "end": "01-20"}
SAMPLES = ("tamarack_flats_mild.csv", "tamarack_flats_severe.csv")
HEATERS = ("wood stove, large", "pellet furnace", "propane heater")


def bad_weather(folder: Path) -> list[str]:
    """Two sample winters in files whose names hold marks of HTML and of the terminal's tables."""
    places = []
    for number, sample in enumerate(SAMPLES):
        held = Path(__file__).parents[1] / "weather_samples" / sample
        path = folder / f"a<b>&'[red]{number}.csv"
        path.write_text(held.read_text(encoding="utf-8"), encoding="utf-8")
        places.append(str(path))
    return places


def small_page(
    files: list[str],
    *,
    heater: str = HEATERS[0],
    name: str = "Tamarack Flats",
    units: Units | None = None,
) -> str:
    """The page of a month on the demo farm."""
    scenario = demo(heater__kind=heater, site__season=SEASON, site__name=name)
    records = read_records(scenario, files)
    weather = [one for record in records for one in winters(record, (12, 20), (1, 20))]
    kinds = list(dict.fromkeys([*HEATERS, heater]))
    with findings(scenario, kinds, weather, records, units or Units(), Work()) as found:
        return page(found, "0.0.0")
