"""Where the heat goes: each winter's need, its paths, and the outputs that reach it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from greenhouse_sim.heater.catalogue import choose, heater_names
from greenhouse_sim.plans.design import Design, design_loss, design_night
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario
    from greenhouse_sim.season.run import Season

Array = np.ndarray

COVERED = {"output_99_W": 99.0, "output_99_9_W": 99.9}
"""Outputs that are told, and the percentage of the season's hours whose need they reach."""

GAINS = {"sun": "solar_kWh", "heater": "heat_delivered_kWh", "other": "internal_gain_kWh"}
LOSSES = {
    "covers and walls": "envelope_loss_kWh",
    "leaks": "infiltration_loss_kWh",
    "ground": "ground_loss_kWh",
    "evaporation": "latent_loss_kWh",
    "vents": "vent_loss_kWh",
    "kept in soil, water, walls": "storage_change_kWh",
}
"""Paths of the season's heat, and where the ledger has them."""
INWARD = {
    "ground": "from the ground",
    "kept in soil, water, walls": "given back by soil, water, walls",
}
"""What a loss below 0 is called where it came in."""


class Heat(NamedTuple):
    """The whole answer."""

    design: Design
    winters: tuple[dict[str, Any], ...]
    """A row a winter, see `winter_heat`."""
    outputs_W: dict[str, float]
    """Outputs of `COVERED` over the hours of all winters together."""
    heaters: tuple[dict[str, Any], ...]
    """A row a heater with a stated output: its output, and the share of hours that it reaches."""


def heat(
    scenario: Scenario,
    seasons: Sequence[Season],
    records: Sequence[Weather],
    design_temperature_C: float | None = None,
) -> Heat:
    """Where the heat goes, on the design night and through the winters.

    Parameters
    ----------
    scenario
        The scenario.
    seasons
        Traced seasons of the heater "ideal", one a winter.
    records
        The weather that the design temperature is taken from (see `season.run.read_records`).
    design_temperature_C
        The design temperature where it is given, °C.

    Raises
    ------
    ScenarioError
        The given design temperature is not below the setpoint.
    """
    grounds = [float(one.drive.t_ground[np.argmin(one.drive.t_out)]) for one in seasons]
    night = design_night(scenario, records, float(np.mean(grounds)), design_temperature_C)
    design = design_loss(scenario, night, place=seasons[0].weather)
    needs = np.concatenate([_need_W(season) for season in seasons])
    outputs = _outputs(needs)
    return Heat(
        design,
        tuple(winter_heat(season, design.floor_m2) for season in seasons),
        outputs,
        tuple(_heaters(scenario, needs, outputs)),
    )


def winter_heat(season: Season, floor_m2: float) -> dict[str, Any]:
    """A winter's need and its paths: the row that the JSON has, SI.

    Means over hours; "at" is the beginning of the hour (the first of three), local standard time.
    """
    need_W = _need_W(season)
    three_W = np.convolve(need_W, np.full(3, 1.0 / 3.0), mode="valid")
    ledger = season.ledger
    below = np.maximum(season.drive.setpoint - season.drive.t_out, 0.0)
    return {
        "winter": season.winter,
        "site": ledger["site"],
        "hours": ledger["hours"],
        "floor_m2": floor_m2,
        "heat_need_kWh": ledger["heat_need_kWh"],
        "heat_need_kWh_m2": ledger["heat_need_kWh"] / floor_m2,
        "degree_hours_Kh": float(np.sum(below)),
        "largest_hour": _moment(season, need_W, 1),
        "largest_three_hours": _moment(season, three_W, 3),
        **_outputs(need_W),
        "gains_kWh": {name: float(ledger[key]) for name, key in GAINS.items()},
        "losses_kWh": {name: float(ledger[key]) for name, key in LOSSES.items()},
    }


def _need_W(season: Season) -> Array:
    return season.column("heater_W")


def _moment(season: Season, need_W: Array, hours: int) -> dict[str, Any]:
    first = int(np.argmax(need_W))
    span = slice(first, first + hours)
    when = season.weather.start + timedelta(hours=first)
    return {
        "at": when.isoformat(timespec="minutes"),
        "need_W": float(need_W[first]),
        "out_C": float(np.mean(season.weather.t_out_C[span])),
        "wind_m_s": float(np.mean(season.weather.wind_m_s[span])),
        "setpoint_C": float(np.mean(season.drive.setpoint[span])),
    }


def _outputs(need_W: Array) -> dict[str, float]:
    """Smallest output that reaches the need of that share of the hours, W."""
    return {
        name: float(np.percentile(need_W, percent, method="inverted_cdf"))
        for name, percent in COVERED.items()
    }


def _heaters(
    scenario: Scenario, need_W: Array, outputs: Mapping[str, float]
) -> list[dict[str, Any]]:
    """Every heater with a stated most output, the scenario's count of them, least first."""
    count, own = scenario.heater.count, scenario.heater.kind
    rows = []
    for kind in heater_names():
        chosen = choose(kind, scenario.heater.overrides if kind == own else {})
        most_W = chosen.number("output_max", "W") * count
        if most_W <= 0.0 or chosen.text("law") == "ideal":
            continue
        row = {"heater": kind, "count": count, "output_max_W": most_W}
        row["share_of_hours"] = float(np.mean(need_W <= most_W))
        row |= {f"reaches_{name[:-2]}": most_W >= watts for name, watts in outputs.items()}
        rows.append(row)
    return sorted(rows, key=lambda row: float(row["output_max_W"]))


def sides(row: Mapping[str, Any]) -> tuple[dict[str, float], dict[str, float]]:
    """Heat in and out by path, kWh, each above 0: a loss below 0 came in."""
    came = {name: kWh for name, kWh in row["gains_kWh"].items() if kWh > 0.0}
    went = {name: kWh for name, kWh in row["losses_kWh"].items() if kWh > 0.0}
    for name, kWh in row["losses_kWh"].items():
        if kWh < 0.0:
            came[INWARD.get(name, f"{name}, inward")] = -kWh
    return came, went


def design_row(found: Heat) -> dict[str, Any]:
    """The design night as the JSON has it, SI."""
    design, floor = found.design, found.design.floor_m2
    parts = [
        part._asdict() | {"loss_W_m2": part.loss_W / floor, "share": design.share(part)}
        for part in design.parts
    ]
    return design.night._asdict() | {
        "floor_m2": floor,
        "loss_W": design.loss_W,
        "loss_W_m2": design.loss_W / floor,
        "clear_sky_W": design.clear_sky_W,
        "loss_clear_sky_W": design.loss_W + design.clear_sky_W,
        "parts": parts,
        **found.outputs_W,
        "heaters": list(found.heaters),
    }
