"""Rows of the table of outside checks that need files which do not ship."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

import greenhouse_sim as gs
from outside import glasshouse as glasshouse_air
from outside import (
    glasshouse_humidity,
    measured_cell,
    measured_house,
    standard_140,
    vdi_6007,
    winter_trials,
)
from outside.checks import Check

BOX = "ANSI/ASHRAE Standard 140-2020, annex B8, six programs"
ROOM = "VDI 6007 part 1, as an open library publishes it"
CELL = {
    "listed": "draft test specification for Standard 140, 2023; limit of this project",
    "derived": (
        "same, conductivities that its authors derived from the cell's steady losses; limit of "
        "this project"
    ),
}
HOUSE = "IEA EBC annex 58, house N2, experiment 1"
GLASSHOUSE = "Autonomous Greenhouse Challenge 2018, from its measured air"
AIR_LIMIT_K = 1.5
ANGLES = (
    "straight lines between the table's angles of ten degrees; 808 with Fresnel's law between them"
)
LEVEL = "global sun of the file 1670.2; direct sun times the height of the mid-hour adds 0.9"
NOT_FOUND = "not found"
SUN_CAUSES = {
    "sun on the horizontal": LEVEL, "sun through the south window": ANGLES,
}  # fmt: skip
CHANGE = (
    "the hour in which heating gives way to cooling; the publishers' own comparison puts a value "
    "of their own in place of its first minutes"
)
MONTREAL = (
    "Lawand, Malik, Alward and Hopley 1973, Montréal, October 1971 to April 1972; house, "
    "setpoints (here 65 and 60 °F) and winter (here Burlington, Vermont) are ours"
)
VERMONT = "LNE10-299, three winters of double-film houses in Vermont; house and winter are ours"
PLAIN_CURTAIN = (
    "a closed curtain leaves the leaks as they are, for no measurement of them with one was found; "
    "with half of them stopped 0.22, with nine tenths 0.27 to 0.30"
)
LISTED = "with materials as listed the cell loses 22 W/K, measured 31: what is missing is not found"


def with_data(epw: Path, folder: Path, burlington: Path) -> list[Check]:
    """All rows."""
    return [
        *boxes(epw), *rooms(folder), *cell(folder), *house(folder), *glasshouse(folder),
        *trials(burlington),
    ]  # fmt: skip


def boxes(epw: Path) -> list[Check]:
    """Standard 140, every published figure."""
    weather = gs.winters(gs.read_weather(str(epw)), (1, 1), (12, 31))[0]
    return [
        with_cause(
            Check(f"box {row.case}: {what}" if row.case else what, BOX, unit, *row[2:]),
            SUN_CAUSES.get(what, NOT_FOUND),
        )
        for row in standard_140.table(weather)
        for what, unit in [row.quantity.rsplit(", ", 1)]
    ]


def rooms(folder: Path) -> list[Check]:
    """VDI 6007."""
    given = vdi_6007.read(folder)
    rows = []
    for case in vdi_6007.CASES:
        for what, off, _ in vdi_6007.compared(case, given):
            limit = 1.5 if what.endswith("W") else 0.15
            name, unit = what.rsplit(", ", 1)
            row = Check(f"room {case}: largest deviation, {name}", ROOM, unit, -limit, limit, off)
            rows.append(with_cause(row, CHANGE if "change-over" in what else NOT_FOUND))
    return rows


def cell(folder: Path) -> list[Check]:
    """The measured cell."""
    cell = measured_cell.read(folder / "test_cell_heatup_decay.csv")
    rows = []
    for which in measured_cell.CONDUCTIVITY:
        air, _ = measured_cell.simulate(cell, which)
        for name, span in measured_cell.phases(cell):
            off = (air - cell.air)[span][measured_cell.SKIP_H :]
            rms = float(np.sqrt(np.mean(off**2)))
            what = f"measured cell, materials as {which}, {name}: RMS"
            row = Check(what, CELL[which], "K", 0.0, measured_cell.LIMIT_K, rms)
            rows.append(with_cause(row, LISTED))
    return rows


def house(folder: Path) -> list[Check]:
    """The measured house, for which no limit is published."""
    rows = []
    for name, _, rms, mean in measured_house.errors(folder / "house_heated_free_10min.csv"):
        for what, off in (("RMS", rms), ("mean error", mean)):
            row = Check(f"measured house, {name}: {what}", HOUSE, "K", math.nan, math.nan, off)
            rows.append(row)
    return rows


def glasshouse(folder: Path) -> list[Check]:
    """The measured glasshouse: its second half foretold from its first, its roof, and its
    humidity, for which no limit is published."""
    file = folder / "glasshouse_2018_hourly.csv"
    found = glasshouse_air.judge(glasshouse_air.table(file))
    bare = glasshouse_air.GLASS_W_M2K
    most, least = (1.0 - saved for saved in glasshouse_air.SCREENS_SAVE)
    rows = [
        Check(
            "measured glasshouse, second half foretold from the first: RMS",
            f"{GLASSHOUSE}; limit of this project", "K", 0.0, AIR_LIMIT_K,
            glasshouse_air.rms(found.fitted_off_K),
        )
    ]  # fmt: skip
    for screens, (name, ours) in enumerate(
        zip(("without screens", "with one screen", "with two"), found.roof_W_m2K, strict=True)
    ):
        low, high = bare if screens == 0 else (bare[0] * least, bare[1] * most)
        source = "published single glass" + (
            " less 32 to 59 % of a German trial" if screens else ""
        )
        rows.append(
            Check(f"measured glasshouse, roof {name}", source, "W/m²K", low, high, float(ours))
        )
    record, humid = glasshouse_humidity.humidity(file)
    return rows + [
        Check(
            f"measured glasshouse, humidity, {one.what} ({one.hours} h): mean error", GLASSHOUSE,
            "points", math.nan, math.nan, one.ours - one.measured,
        )
        for one in glasshouse_humidity.means(record, humid)
    ]  # fmt: skip


def with_cause(row: Check, cause: str) -> Check:
    """A row with the cause if it is a miss."""
    return row if row.inside else row._replace(cause=cause)


def trials(burlington: Path) -> list[Check]:
    """Whole winters of greenhouses that were measured, in a winter near by."""
    season = winter_trials.season_of(burlington)
    shares = winter_trials.sun_share(
        winter_trials.farm(winter_trials.HOUSE, "65 degF", "60 degF"), season
    )
    rows = [
        Check(
            f"sun's share of the heat load, {which} month", MONTREAL, "1",
            *winter_trials.MONTREAL, share,
        )
        for which, share in (("lowest", min(shares.values())), ("highest", max(shares.values())))
    ]  # fmt: skip
    for name in ("thermal curtain", "aluminised curtain"):
        cover = winter_trials.CURTAIN | {"cover": name}
        saved = winter_trials.curtain_saving(season, cover, "60 degF", "55 degF")
        row = Check(
            f"{name} over double film saves", VERMONT, "1", *winter_trials.VERMONT_CURTAIN, saved
        )
        rows.append(with_cause(row, PLAIN_CURTAIN))
    return rows
