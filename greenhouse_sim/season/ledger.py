"""What a season is worth knowing for: the tally in the units and words of the ledger.

Every key has its unit and meaning in ``tables/glossary.csv``, which the reports and the
JSON share.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any, NamedTuple

import numpy as np

from greenhouse_sim.errors import BalanceError
from greenhouse_sim.season import tally as at
from greenhouse_sim.season.damp import Damp
from greenhouse_sim.units import KWH_J

BALANCE_LIMIT = 1.0e-6

CAUSES = {
    "fire out": at.CAUSE_OUT,
    "full output": at.CAUSE_FULL,
    "asleep": at.CAUSE_ASLEEP,
    "away": at.CAUSE_AWAY,
    "no power": at.CAUSE_POWER,
    "no fuel": at.CAUSE_FUEL,
}
LABOUR = {
    "loading": at.LOAD_S,
    "lighting": at.LIGHT_S,
    "night visits": at.NIGHT_S,
    "watching the fire": at.WATCH_S,
    "ash": at.ASH_S,
    "air control": at.LOOK_S,
}
LOSSES = (at.ENVELOPE_J, at.LEAK_J, at.GROUND_J, at.VENT_J, at.LATENT_J, at.STORAGE_J)
GAINS = (at.SUN_J, at.GAIN_J, at.HEAT_J, at.BACKUP_J)
SPENT = (at.FLUE_J, at.HEAT_J, at.OUTDOORS_J, at.DUMPED_J, at.STORE_CHANGE_J)


class Identity(NamedTuple):
    """Which season this is."""

    heater: str
    units: int
    winter: str
    site: str
    fuel: Any
    """The fuel that the heater burns (`greenhouse_sim.heater.fuel.Fuel`)."""
    build_h: float = 0.0
    """Hours of building it once a season (a compost pile)."""


def balance_errors(total: Sequence[float] | np.ndarray) -> tuple[float, float]:
    """Residuals of the greenhouse's and the heater's energy, as shares of what moved.

    Greenhouse: sun + internal gains + heater + back-up = losses by path + change in storage.
    Heater: fuel = flue + delivered + outdoors + dumped + change in its store.
    """
    house = _residual(total, GAINS, LOSSES)
    return house, _residual(total, (at.FUEL_J,), SPENT)


def _residual(
    total: Sequence[float] | np.ndarray, incoming: tuple[int, ...], outgoing: tuple[int, ...]
) -> float:
    """What does not close, over the larger of what moved in and what moved out (at least 1 J)."""
    came = moved_in = 0.0
    for i in incoming:
        came += total[i]
        moved_in += abs(total[i])
    went = moved_out = 0.0
    for i in outgoing:
        went += total[i]
        moved_out += abs(total[i])
    return float(abs(came - went) / max(moved_in, moved_out, 1.0))


def check_balance(total: Sequence[float] | np.ndarray, who: Identity) -> float:
    """Return the greenhouse's balance error, or refuse a season whose energy does not close.

    Raises
    ------
    BalanceError
        Either residual is over 1e-6 of what went in, or a number is not finite.
    """
    house, heater = balance_errors(total)
    finite = all(map(math.isfinite, total))
    if not (finite and house < BALANCE_LIMIT and heater < BALANCE_LIMIT):
        raise BalanceError(
            f"{who.heater}, {who.winter}: energy does not close (greenhouse {house:.2g}, "
            f"heater {heater:.2g} of what went in); this is our fault, please report it"
        )
    return house


def make_ledger(
    who: Identity,
    weather: Any,
    total: np.ndarray,
    month_kg: np.ndarray,
    need_kWh: float,
    damp: Damp | None = None,
) -> dict[str, Any]:
    """The ledger of a season, keys as the glossary has them.

    Parameters
    ----------
    who
        Heater, winter, site and fuel.
    weather
        The winter's weather, for dates.
    total
        The kernel's tally, shape (tally.SIZE,).
    month_kg
        Fuel by month from the season's first, kg, shape (tally.MONTHS,).
    need_kWh
        What ``ideal`` would have delivered.
    damp
        The winter's vapour; None where it is not followed.

    Raises
    ------
    BalanceError
        Energy does not close to 1e-6.
    """
    # plain floats: single numbers out of an array take several times as long
    tally: list[float] = total.tolist()
    error = check_balance(tally, who)
    labour = {task: tally[i] / 3600.0 for task, i in LABOUR.items()}
    labour["building the pile"] = who.build_h
    coldest = weather.start + timedelta(hours=int(tally[at.LOWEST_HOUR]))
    return {
        "heater": who.heater,
        "count": who.units,
        "winter": who.winter,
        "site": who.site,
        "hours": weather.hours,
        "cords": _cords(who.fuel, tally[at.FUEL_KG]),
        "fuel": who.fuel.name,
        "fuel_kg": _fuel_kg(who.fuel, tally),
        "fuel_energy_kWh": _kWh(tally, at.FUEL_J),
        "loads": int(tally[at.LOADS]),
        "fires_lit": int(tally[at.FIRES]),
        "self_ignitions": int(tally[at.IGNITIONS]),
        "visits": int(tally[at.VISITS]),
        "night_wakeups": int(tally[at.WAKEUPS]),
        "nights_with_wakeup": int(tally[at.NIGHTS_WOKEN]),
        "longest_sleep_h": tally[at.LONGEST_SLEEP_H],
        "hours_with_fire": tally[at.FIRE_H],
        "hours_below_setpoint": tally[at.COLD_H],
        "degree_hours_below_setpoint": tally[at.COLD_DEGREE_H],
        "cold_hours_by_cause": {cause: tally[i] for cause, i in CAUSES.items()},
        "hours_below_damage": tally[at.DAMAGE_H],
        "longest_below_damage_h": tally[at.LONGEST_DAMAGE_H],
        "nights_below_damage": int(tally[at.DAMAGE_NIGHTS]),
        "first_below_damage_at": _stamp(weather, tally[at.FIRST_DAMAGE_HOUR]),
        "lowest_crop_C": tally[at.LOWEST_CROP],
        "hours_below_freezing": tally[at.FROST_H],
        "lowest_air_C": tally[at.LOWEST_AIR],
        "lowest_air_at": coldest.isoformat(timespec="minutes"),
        "highest_air_C": tally[at.HOTTEST_AIR],
        "heat_need_kWh": need_kWh,
        "heat_delivered_kWh": _kWh(tally, at.HEAT_J),
        "delivered_share_of_fuel": _share(tally[at.HEAT_J], tally[at.FUEL_J]),
        "backup_kWh": _kWh(tally, at.BACKUP_J),
        "backup_fuel_kWh": _kWh(tally, at.BACKUP_FUEL_J),
        "electricity_kWh": _electricity_kWh(who.fuel, tally),
        "solar_kWh": _kWh(tally, at.SUN_J),
        "internal_gain_kWh": _kWh(tally, at.GAIN_J),
        "envelope_loss_kWh": _kWh(tally, at.ENVELOPE_J),
        "infiltration_loss_kWh": _kWh(tally, at.LEAK_J),
        "ground_loss_kWh": _kWh(tally, at.GROUND_J),
        "vent_loss_kWh": _kWh(tally, at.VENT_J),
        "vent_hours": tally[at.VENT_H],
        "latent_loss_kWh": _kWh(tally, at.LATENT_J),
        "storage_change_kWh": _kWh(tally, at.STORAGE_J),
        "hours_near_saturation": damp.hours_near_saturation if damp else None,
        "hours_covers_wet": damp.hours_wet if damp else None,
        "balance_error": error,
        "flue_loss_kWh": _kWh(tally, at.FLUE_J),
        "heater_outdoor_loss_kWh": _kWh(tally, at.OUTDOORS_J),
        "heater_dumped_kWh": _kWh(tally, at.DUMPED_J),
        "highest_store_C": tally[at.HIGHEST_STORE],
        "labour_hours": sum(labour.values()),
        "labour": labour,
        "fuel_by_month": _by_month(weather, month_kg, who.fuel, tally),
    }


def _stamp(weather: Any, hour: float) -> str | None:
    """The beginning of an hour of the season, or None for hour −1."""
    if hour < 0.0:
        return None
    moment: datetime = weather.start + timedelta(hours=int(hour))
    return moment.isoformat(timespec="minutes")


def _kWh(tally: Sequence[float], place: int) -> float:
    return tally[place] / KWH_J


def _electricity_kWh(fuel: Any, tally: Sequence[float]) -> float:
    """Fans, pumps, augers and igniters, and the heat itself where it is electric."""
    heat = _kWh(tally, at.FUEL_J) if fuel.kind == "electricity" else 0.0
    return _kWh(tally, at.ELECTRIC_J) + heat


def _share(part: float, whole: float) -> float | None:
    return part / whole if whole > 0.0 else None


def _cords(fuel: Any, burnt_kg: float) -> float | None:
    if fuel.kind != "wood" or fuel.cord_kg is None:
        return None
    return burnt_kg / float(fuel.cord_kg)


def _fuel_kg(fuel: Any, tally: Sequence[float]) -> float:
    """Fuel as fired; of compost the dry matter that decayed; of nothing, nothing."""
    if fuel.kind == "compost":
        return tally[at.DECAYED_KG]
    if fuel.kind in ("none", "electricity"):
        return 0.0
    return tally[at.FUEL_KG]


def _by_month(
    weather: Any, month_kg: np.ndarray, fuel: Any, tally: Sequence[float]
) -> dict[str, float]:
    """Fuel by month of this winter, kg, in order; the months share what the season used.

    A year that starts within a month ends within it: both parts go under their own year.
    """
    used = float(np.add.reduce(month_kg))
    scale = _fuel_kg(fuel, tally) / used if used > 0.0 else 0.0
    months = _months(weather.start, weather.hours)
    return {month: kg * scale for month, kg in zip(months, month_kg.tolist(), strict=False)}


@functools.lru_cache
def _months(start: datetime, hours: int) -> tuple[str, ...]:
    """The months that a season touches ("2021-10"); every heater asks for those of its winters."""
    first = np.datetime64(start, "M")
    last = np.datetime64(start + timedelta(hours=hours - 1), "M")
    return tuple(str(month) for month in np.arange(first, last + 1))


def numeric_keys(row: Mapping[str, Any]) -> list[str]:
    """Keys of a ledger whose values are plain numbers (null where there is none), in order."""
    texts = ("heater", "winter", "site", "fuel", "lowest_air_at", "first_below_damage_at")
    return [
        key
        for key, value in row.items()
        if key not in texts
        and (value is None or (isinstance(value, int | float) and not math.isnan(value)))
    ]
