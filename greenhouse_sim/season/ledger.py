"""What a season is worth knowing for: the tally in the units and words of the ledger.

Every key has its unit and meaning in ``tables/glossary.csv``, which the reports and the
JSON share.
"""

from __future__ import annotations

import functools
import math
import operator
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
COUNTS = (
    at.LOADS,
    at.FIRES,
    at.IGNITIONS,
    at.VISITS,
    at.WAKEUPS,
    at.NIGHTS_WOKEN,
    at.DAMAGE_NIGHTS,
)
"""Whole numbers."""
PERHAPS = ("cords", "delivered_share_of_fuel")
"""Keys that not every season has a number for."""
MOST_STAMPS = 4096
"""Hours whose text is kept: the coldest is the same for most heaters of a winter."""


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


class Weighed(NamedTuple):
    """How a season's fuel is weighed: of one season, or in columns of many."""

    cord_kg: Any
    """Mass of a cord; nan for what is not stacked wood."""
    fired: Any
    """1 where it is weighed as fired."""
    decayed: Any
    """1 where it is the dry matter that decayed."""
    electric: Any
    """1 where the heat itself is electric."""


class Beside(NamedTuple):
    """What a ledger tells beside its tally: of one season, or in columns of many."""

    heater: Any
    units: Any
    winter: Any
    site: Any
    hours: Any
    fuel: Any
    """Its name."""
    weighed: Weighed
    build_h: Any
    damage_at: Any
    coldest_at: Any
    need_kWh: Any
    damp_h: Any
    error: Any


def balance_errors(total: Sequence[Any] | np.ndarray) -> tuple[Any, Any]:
    """Residuals of the greenhouse's and the heater's energy, as shares of what moved.

    Greenhouse: sun + internal gains + heater + back-up = losses by path + change in storage.
    Heater: fuel = flue + delivered + outdoors + dumped + change in its store.

    ``total`` is a season's tally, or a column for each of its places.
    """
    house = _residual(total, GAINS, LOSSES)
    return house, _residual(total, (at.FUEL_J,), SPENT)


def _residual(
    total: Sequence[Any] | np.ndarray, incoming: tuple[int, ...], outgoing: tuple[int, ...]
) -> Any:
    """What does not close, over the larger of what moved in and what moved out (at least 1 J)."""
    came = moved_in = 0.0
    for i in incoming:
        came = came + total[i]
        moved_in = moved_in + abs(total[i])
    went = moved_out = 0.0
    for i in outgoing:
        went = went + total[i]
        moved_out = moved_out + abs(total[i])
    return abs(came - went) / np.maximum(np.maximum(moved_in, moved_out), 1.0)


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
    return float(house)


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
    beside = Beside(
        who.heater,
        who.units,
        who.winter,
        who.site,
        weather.hours,
        who.fuel.name,
        weighed(who.fuel),
        who.build_h,
        stamp(weather.start, tally[at.FIRST_DAMAGE_HOUR]),
        stamp(weather.start, tally[at.LOWEST_HOUR]),
        need_kWh,
        damp_hours(damp),
        check_balance(tally, who),
    )
    for place in COUNTS:
        tally[place] = int(tally[place])
    ledger = told(tally, beside)
    for key in PERHAPS:
        ledger[key] = None if math.isnan(ledger[key]) else float(ledger[key])
    ledger["fuel_by_month"] = _by_month(weather, month_kg, ledger["fuel_kg"])
    return ledger


def damp_hours(damp: Damp | None) -> tuple[float | None, float | None]:
    """Hours near saturation and with wet covers; None where vapour is not followed."""
    return (damp.hours_near_saturation, damp.hours_wet) if damp else (None, None)


def told(tally: Sequence[Any] | np.ndarray, beside: Beside) -> dict[str, Any]:
    """The ledger: a number or word under each key, or a column of them.

    Parameters
    ----------
    tally
        Of a season, its numbers; of many seasons, for each place an array of all.
    beside
        What the tally does not hold, in the same form.

    Returns
    -------
    dict
        nan where a key has no number; without the fuel by month.
    """
    labour = {task: tally[i] / 3600.0 for task, i in LABOUR.items()}
    labour["building the pile"] = beside.build_h
    fuel = beside.weighed
    near_saturation_h, wet_h = beside.damp_h
    return {
        "heater": beside.heater,
        "count": beside.units,
        "winter": beside.winter,
        "site": beside.site,
        "hours": beside.hours,
        "cords": tally[at.FUEL_KG] / fuel.cord_kg,
        "fuel": beside.fuel,
        "fuel_kg": tally[at.FUEL_KG] * fuel.fired + tally[at.DECAYED_KG] * fuel.decayed,
        "fuel_energy_kWh": _kWh(tally, at.FUEL_J),
        "loads": tally[at.LOADS],
        "fires_lit": tally[at.FIRES],
        "self_ignitions": tally[at.IGNITIONS],
        "visits": tally[at.VISITS],
        "night_wakeups": tally[at.WAKEUPS],
        "nights_with_wakeup": tally[at.NIGHTS_WOKEN],
        "longest_sleep_h": tally[at.LONGEST_SLEEP_H],
        "hours_with_fire": tally[at.FIRE_H],
        "hours_below_setpoint": tally[at.COLD_H],
        "degree_hours_below_setpoint": tally[at.COLD_DEGREE_H],
        "cold_hours_by_cause": {cause: tally[i] for cause, i in CAUSES.items()},
        "hours_below_damage": tally[at.DAMAGE_H],
        "longest_below_damage_h": tally[at.LONGEST_DAMAGE_H],
        "nights_below_damage": tally[at.DAMAGE_NIGHTS],
        "first_below_damage_at": beside.damage_at,
        "lowest_crop_C": tally[at.LOWEST_CROP],
        "hours_below_freezing": tally[at.FROST_H],
        "lowest_air_C": tally[at.LOWEST_AIR],
        "lowest_air_at": beside.coldest_at,
        "highest_air_C": tally[at.HOTTEST_AIR],
        "heat_need_kWh": beside.need_kWh,
        "heat_delivered_kWh": _kWh(tally, at.HEAT_J),
        "delivered_share_of_fuel": _share(tally[at.HEAT_J], tally[at.FUEL_J]),
        "backup_kWh": _kWh(tally, at.BACKUP_J),
        "backup_fuel_kWh": _kWh(tally, at.BACKUP_FUEL_J),
        # fans, pumps, augers and igniters, and the heat itself where it is electric
        "electricity_kWh": _kWh(tally, at.ELECTRIC_J) + _kWh(tally, at.FUEL_J) * fuel.electric,
        "solar_kWh": _kWh(tally, at.SUN_J),
        "internal_gain_kWh": _kWh(tally, at.GAIN_J),
        "envelope_loss_kWh": _kWh(tally, at.ENVELOPE_J),
        "infiltration_loss_kWh": _kWh(tally, at.LEAK_J),
        "ground_loss_kWh": _kWh(tally, at.GROUND_J),
        "vent_loss_kWh": _kWh(tally, at.VENT_J),
        "vent_hours": tally[at.VENT_H],
        "latent_loss_kWh": _kWh(tally, at.LATENT_J),
        "storage_change_kWh": _kWh(tally, at.STORAGE_J),
        "hours_near_saturation": near_saturation_h,
        "hours_covers_wet": wet_h,
        "balance_error": beside.error,
        "flue_loss_kWh": _kWh(tally, at.FLUE_J),
        "heater_outdoor_loss_kWh": _kWh(tally, at.OUTDOORS_J),
        "heater_dumped_kWh": _kWh(tally, at.DUMPED_J),
        "highest_store_C": tally[at.HIGHEST_STORE],
        # added one by one: `sum` rounds floats otherwise than arrays
        "labour_hours": functools.reduce(operator.add, labour.values()),
        "labour": labour,
    }


@functools.lru_cache(maxsize=MOST_STAMPS)
def stamp(start: datetime, hour: float) -> str | None:
    """The beginning of an hour of the season, or None for hour −1."""
    if hour < 0.0:
        return None
    moment = start + timedelta(hours=int(hour))
    return moment.isoformat(timespec="minutes")


def _kWh(tally: Sequence[Any] | np.ndarray, place: int) -> Any:
    return tally[place] / KWH_J


def _share(part: Any, whole: Any) -> Any:
    """Part of a whole; nan where there is no whole."""
    return part / np.where(whole > 0.0, whole, math.nan)


def weighed(fuel: Any) -> Weighed:
    """Fuel is weighed as fired, compost as the dry matter that decayed, nothing as nothing."""
    stacked = fuel.kind == "wood" and fuel.cord_kg is not None
    return Weighed(
        float(fuel.cord_kg) if stacked else math.nan,
        0.0 if fuel.kind in ("compost", "none", "electricity") else 1.0,
        1.0 if fuel.kind == "compost" else 0.0,
        1.0 if fuel.kind == "electricity" else 0.0,
    )


def _by_month(weather: Any, month_kg: np.ndarray, fuel_kg: float) -> dict[str, float]:
    """Fuel by month of this winter, kg, in order; the months share what the season used.

    A year that starts within a month ends within it: both parts go under their own year.
    """
    used = float(np.add.reduce(month_kg))
    scale = fuel_kg / used if used > 0.0 else 0.0
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
