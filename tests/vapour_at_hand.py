"""Greenhouses for the tests of their vapour, and the vapour's equation written again."""

from __future__ import annotations

from typing import Any, NamedTuple

import greenhouse_sim as gs
from greenhouse_sim.greenhouse.leak import air_heat
from greenhouse_sim.greenhouse.shape import shell
from greenhouse_sim.greenhouse.skin import skins
from greenhouse_sim.greenhouse.vapour import build_vapour, saturated
from greenhouse_sim.greenhouse.vapour_numbers import Vapour
from greenhouse_sim.season import vapour as kernel

LATENT = 2.45e6


class Moist(NamedTuple):
    """A greenhouse as vapour sees it."""

    v: Vapour
    loss_w_k: float
    """Of its shell at the covers' reference wind, W/K."""
    floor_m2: float

    def settle_at(
        self, air_t: float, t_out: float, *, outside: float = 0.8, changes_h: float = 0.6,
        sun_w: float = 0.0, hours: int = 48,
    ) -> kernel.Hour:  # fmt: skip
        """The last of some hours that are all alike; ``outside`` is the relative humidity there."""
        chi_out = outside * saturated(t_out) * (t_out + 273.15) / 288.15
        flow = changes_h * self.v.volume_m3 / 3600.0
        chi = self.v.start_chi
        for _ in range(hours):
            hour = kernel.vapour_hour(
                self.v, chi, air_t, t_out, chi_out, sun_w, flow, self.loss_w_k, 0.0
            )
            chi = hour.chi
        return hour


def moist(scenario: gs.Scenario | None = None, **change: Any) -> Moist:
    """The demo farm (or another scenario) with keys changed."""
    base = scenario if scenario is not None else gs.read_scenario(gs.demo_path())
    changed = base.with_(**{key.replace("__", "."): value for key, value in change.items()})
    walls = shell(changed)
    light = [skin for skin in skins(changed, walls) if skin.capacity <= 0.0]
    loss = sum(skin.part.area_m2 * skin.u_value for skin in light)
    return Moist(build_vapour(changed, walls, 270.0), loss, walls.floor_m2)


def any_vapour(**change: float) -> Vapour:
    """A plain house of 200 m² with numbers changed."""
    given = {
        "volume_m3": 650.0, "moist_m3_s": 0.48, "sun_scale": 1.0, "sun_half": 0.0,
        "cover_m3_s": 1.2, "cover_drop": 3.2e-4,
        "film_warms": 917.0, "air_heat": air_heat(270.0), "vent_w_k": 8600.0,
        "near_saturation": 0.93, "start_chi": 0.0056, "magnus_pa": 610.94, "magnus_a": 17.625,
        "magnus_b": 243.04,
    }  # fmt: skip
    return Vapour(**(given | change))


def left_over_w(hour: kernel.Hour) -> float:
    """What the hour's latent heat does not account for, W."""
    spent = hour.returned_w + hour.cover_w + hour.out_w + hour.stored_w
    return hour.transpired_w - spent
