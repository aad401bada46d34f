"""What to do for the greenhouse tonight: loads, air, whether to get up, and how sure that is.

Four ways to spend the night are run on the real simulation from the present state: nobody touches
anything any more; the routine goes on, with its get-up rule; the load at the last look-in is the
least that holds the setpoint, and nobody gets up; and, where that is not enough, one visit in the
night besides. Load and hour are chosen on the careful forecast (`tonight_search`); each way is
then run under the forecast and under an ensemble of perturbed ones (`tonight_error`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from greenhouse_sim.plans.foreseen import Work, foreseen
from greenhouse_sim.plans.night_rules import alarm_C
from greenhouse_sim.plans.tonight_checks import check_reaches
from greenhouse_sim.plans.tonight_error import as_forecast, band_of, careful, members
from greenhouse_sim.plans.tonight_fire import Present
from greenhouse_sim.plans.tonight_forecast import Forecast
from greenhouse_sim.plans.tonight_journal import Noted
from greenhouse_sim.plans.tonight_night import (
    BACKUP,
    CROP,
    FUEL,
    LOADED,
    WOKEN,
    Act,
    Here,
    Night,
    Ran,
    books,
    night_of,
    spend,
    up_to,
    walk_for,
)
from greenhouse_sim.plans.tonight_past import Past, arrive
from greenhouse_sim.plans.tonight_search import bedtime, visit
from greenhouse_sim.plans.tonight_weather import lay
from greenhouse_sim.season import numbers as places
from greenhouse_sim.season.branch import fire_is_out
from greenhouse_sim.season.ledger import Identity, check_balance
from greenhouse_sim.season.modes import Walk
from greenhouse_sim.season.run import Winter, task

if TYPE_CHECKING:
    from greenhouse_sim.scenario import Scenario

Array = np.ndarray
HOUR = timedelta(hours=1)
NOTHING, ROUTINE, BEST, VISIT = "nobody touches it", "as the routine", "best load", "one visit"
LOW, HIGH = 0.1, 0.9
"""The range that is told: one night in ten lies under it, one over it."""


class Spread(NamedTuple):
    """A number under the forecast, and where eight of ten perturbed ones have it."""

    forecast: float
    low: float
    high: float


class Way(NamedTuple):
    """A way to spend the night, and what comes of it."""

    name: str
    loads: tuple[tuple[int, float], ...]
    """Hour and kg put in, under the forecast."""
    loaded_kg: float
    lowest: Spread
    """Coldest hour at the plants, °C."""
    lowest_at: int
    """Its hour, under the forecast."""
    under_limit: float
    """Share of perturbed forecasts in which the plants get colder than the get-up limit."""
    hurt: float
    """Share in which they get colder than the crop stands."""
    fire_out_at: int | None
    """Hour in which the fire dies, under the forecast; None where it burns or there is none."""
    woken: int
    """Times that somebody gets up."""
    backup_kWh: float
    left_kg: float
    """In the box in the morning."""
    crop: Array
    """At the plants hour by hour under the forecast, °C."""
    band: Array
    """Shape (2, hours): low and high."""


@dataclass(frozen=True, eq=False)
class Tonight:
    """The whole answer. Hours count from ``start``, a midnight."""

    scenario: Scenario
    forecast: Forecast
    at: datetime
    start: datetime
    night: Night
    present: Present
    here: Here
    """Where the loop stands now."""
    best: Act
    """The last look-in."""
    held: bool
    """Whether that holds the setpoint on the careful forecast."""
    up: Act | None
    """The visit in the night that is needed, if one is."""
    helpless: bool
    """Whether the plants get colder than the limit on the careful forecast, visit or not."""
    limit: float
    """Air at the plants for which somebody gets up, °C."""
    damage: float
    ways: tuple[Way, ...]
    out: Array
    """Outdoor air from now to morning, °C."""
    out_band: Array
    notes: tuple[str, ...]
    past: Past
    """The same with as little and as much in the box as the journal allows."""
    noted: Noted | None = None
    """What the journal says; None without one."""
    poorest: float | None = None
    """Coldest hour at the plants with the advised loads and as little in the box now as the
    journal allows, under the forecast, °C; None where nothing is in doubt."""

    def way(self, name: str) -> Way:
        """One of the ways by its name."""
        return next(one for one in self.ways if one.name == name)

    @property
    def plan(self) -> Way:
        """What is advised."""
        return self.way(VISIT if self.up is not None else BEST)

    @property
    def now_kg(self) -> float:
        """Fuel in the box now, kg."""
        return float(self.here.state[places.FUEL])

    @property
    def now_range_kg(self) -> tuple[float, float]:
        """As little and as much as may be in the box now, kg."""
        low, high = (float(one.state[places.FUEL]) for one in (self.past.least, self.past.most))
        return min(low, self.now_kg), max(high, self.now_kg)

    def burns(self, act: Act) -> bool:
        """Whether there is a fire after an act, whose air can be set."""
        return act.level_kg > 0.0 and not fire_is_out(self.night.task.heater, act.level_kg)

    def moment(self, hour: int) -> datetime:
        """The beginning of an hour."""
        return self.start + hour * HOUR


def tonight(
    scenario: Scenario,
    winter: Winter,
    forecast: Forecast,
    recent: Forecast | None,
    at: datetime,
    see: Present,
    told: Noted | None = None,
) -> Tonight:
    """The answer.

    Parameters
    ----------
    scenario
        The farm.
    winter
        A winter of it, prepared (`greenhouse_sim.season.run.ready`): the state of soil and store
        comes from its days before tonight, and the sun.
    forecast, recent
        What is expected, and what has been in the last days where that is known.
    at
        The present, local standard time.
    see
        What the grower sees.
    told
        What the journal says; its loads stand for the fire where the grower does not say.

    Raises
    ------
    ScenarioError, WeatherError
        Tonight is not in the season, or the forecast does not reach the morning.
    """
    parts = [forecast] if recent is None else [recent, forecast]
    laid = lay(scenario, winter, parts, at, f"tonight under {forecast.name}")
    (made,) = foreseen(scenario, [laid.winter], Work(engine="python"))
    laid = laid._replace(winter=made)
    own = task(scenario, made, scenario.heater.kind, False)
    start = at.replace(hour=0, minute=0, second=0, microsecond=0)
    hours = made.weather.hours - laid.dawn
    lead_h = np.maximum(np.arange(hours) + (start - forecast.issued) / HOUR, 0.0)
    night = night_of(laid, own, lead_h)
    check_reaches(forecast, start + night.morning * HOUR)
    past = arrive(laid, own, see, () if told is None else told.puts(at))
    here = past.here
    limit = get_up_limit(scenario, night)
    side = walk_for(night, careful(lead_h))
    _, bed_here = up_to(night, side, here, night.bed)
    bed = bedtime(night, side, bed_here)
    up = visit(night, side, bed_here, bed, limit)
    crowd = [walk_for(night, one) for one in members(lead_h)]
    plain = walk_for(night, as_forecast(hours))
    plans: list[tuple[str, tuple[Act, ...], int | None]] = [
        (NOTHING, (), night.now),
        (ROUTINE, (), None),
        (BEST, (bed.act,), night.bed),
    ]
    if up is not None:
        plans.append((VISIT, (up[0].act, up[1].act), night.bed))
    damage = float(made.house.damage_below)
    # all but the first begin with the evening by the routine, which is run once a forecast
    still = [(walk, here, np.zeros(0)) for walk in crowd]
    evenings = [(walk, *_evening(night, walk, here)) for walk in crowd]
    ways = tuple(
        _way(night, here, plain, still if name == NOTHING else evenings, name, acts, alone,
             (limit, damage))
        for name, acts, alone in plans
    )  # fmt: skip
    part = slice(night.now, night.morning)
    outs = np.array([walk.hours.t_out[part] for walk in crowd])
    return Tonight(
        scenario, forecast, at, start, night, see, here,
        bed.act if up is None else up[0].act, bed.holds, None if up is None else up[1].act,
        bed.lowest < limit and (up is None or up[1].lowest < limit), limit, damage, ways,
        plain.hours.t_out[part], band_of(outs, LOW, HIGH), laid.notes, past, told,
        _poorest(night, plain, past, plans[-1], ways[-1]),
    )  # fmt: skip


def _poorest(
    night: Night, plain: Walk, past: Past, plan: tuple[str, tuple[Act, ...], int | None], way: Way
) -> float | None:
    """Coldest hour at the plants if the box holds the least that it may, and the grower puts in
    what the advice says; None where the box is known."""
    if past.least is past.here:
        return None
    _, acts, alone = plan
    loads = dict(way.loads)
    just = tuple(act._replace(put_kg=loads.get(act.hour, 0.0)) for act in acts)
    ran = spend(night, plain, past.least, just, alone)
    check_balance(books(night, past.least, ran), Identity("least fuel", 1, "tonight", "", None))
    return float(ran.trace[:, CROP].min())


def get_up_limit(scenario: Scenario, night: Night) -> float:
    """Air at the plants for which somebody gets up, °C: the scenario's, never over what the
    night is to be held at."""
    return min(alarm_C(scenario), night.hold)


def _evening(night: Night, walk: Walk, here: Here) -> tuple[Here, Array]:
    """Where the routine's evening leaves off at the last look-in, and the plants until then."""
    ran, there = up_to(night, walk, here, night.bed)
    return there, ran.trace[:, CROP]


def _way(
    night: Night, here: Here, plain: Walk, crowd: Sequence[tuple[Walk, Here, Array]], name: str,
    acts: tuple[Act, ...], alone: int | None, limits: tuple[float, float],
) -> Way:  # fmt: skip
    """Run a way under the forecast and, on from where they stand, under the perturbed ones."""
    ran = spend(night, plain, here, acts, alone)
    check_balance(books(night, here, ran), Identity(name, 1, "tonight", "", None))
    crop = ran.trace[:, CROP]
    others = np.array(
        [
            np.concatenate([so_far, spend(night, walk, there, acts, alone).trace[:, CROP]])
            for walk, there, so_far in crowd
        ]
    )
    lows = others.min(axis=1)
    low, high = (float(q) for q in band_of(lows, LOW, HIGH))
    loads = tuple(
        (night.now + int(h), float(ran.trace[h, LOADED]))
        for h in np.flatnonzero(ran.trace[:, LOADED] > 0.0)
    )
    woken = int(ran.trace[:, WOKEN].sum()) + sum(act.hour > night.bed for act in acts)
    return Way(
        name, loads, sum(kg for _, kg in loads), Spread(float(crop.min()), low, high),
        night.now + int(crop.argmin()), float(np.mean(lows < limits[0])),
        float(np.mean(lows < limits[1])), _dies(night, here, ran), woken,
        float(ran.trace[:, BACKUP].sum()) / 1000.0, float(ran.trace[-1, FUEL]), crop,
        band_of(others, LOW, HIGH),
    )  # fmt: skip


def _dies(night: Night, here: Here, ran: Ran) -> int | None:
    """Hour in which the fire goes out for good; None where it burns on, or is out already."""
    heater = night.task.heater
    out = np.array([fire_is_out(heater, kg) for kg in ran.trace[:, FUEL]])
    begun = fire_is_out(heater, float(here.state[places.FUEL]))
    if not out[-1] or (begun and out.all()):
        return None
    return night.now + int(np.flatnonzero(~out)[-1]) + 1 if not out.all() else night.now
