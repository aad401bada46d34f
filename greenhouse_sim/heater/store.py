"""KERNEL: the heater's store of heat (iron, masonry, water, a compost pile) and its release.

Core and skin, each with a capacity, joined by a conductance; the skin gives to the
greenhouse air, the core loses to the outdoor air and feeds a pump and coil. Where
the skin has no capacity of its own the two are one. Stepped by the θ-method like
the slow parts of the greenhouse (`greenhouse_sim.season.modes`), with the release
eliminated into a conductance and a source that the air sees, so store and air are
solved together.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from greenhouse_sim.heater.numbers import Heater
from greenhouse_sim.substep import PER_STEP_S, STEP_S


class Store(NamedTuple):
    """The store's state."""

    core: float
    """Core temperature, °C."""
    skin: float
    """Skin temperature, °C."""
    dry_kg: float
    """Dry matter left to decay, kg (compost)."""


class Release(NamedTuple):
    """The store eliminated for the present conductances.

    It sends ``push_w − pull_w_k·t_air`` to the air; ``push_w`` depends on its temperatures
    and on the fire (`release_push`), the rest is constant until the skin's conductance changes.
    """

    pull_w_k: float
    per_theta: float
    skin_w_k: float
    core_cap: float
    core_inverse: float
    skin_cap: float
    skin_inverse: float
    skin_at: float
    """Skin temperature for which the conductance was taken, °C."""
    charge_at: float
    """Charge for which it was taken, W."""


class Stored(NamedTuple):
    """What the store did in a sub-step: mean powers, W."""

    store: Store
    to_air_w: float
    outdoors_w: float
    over_limit_w: float
    """Heat dumped because the store stood at its limit (boiling, relief)."""
    change_w: float


def skin_conductance(heater: Heater, skin_t: float, air_t: float) -> float:
    """Skin to air, W/K: grows with the excess temperature because radiation does."""
    return heater.skin_w_k * (1.0 + heater.skin_slope * max(0.0, skin_t - air_t))


def coil_most(heater: Heater, store: Store, air_t: float, power: float) -> float:
    """Most heat that pump and coil can carry now, W.

    Never more than half of what the core holds above the air within one sub-step.
    """
    excess = store.core - air_t
    if heater.coil_w_k <= 0.0 or excess <= 0.0 or store.core < heater.coil_above:
        return 0.0
    if heater.needs_power > 0.5 and power < 0.5:
        return 0.0
    return min(heater.coil_w_k * excess, 0.5 * heater.store_c * excess * PER_STEP_S)


def pipe_loss(
    heater: Heater, store: Store, ground_t: float, coil_w: float, coil_most_w: float
) -> float:
    """Heat lost by the buried pipe, W: for the share of the time that the pump runs."""
    if coil_most_w <= 0.0:
        return 0.0
    return heater.pipe_w_k * max(0.0, store.core - ground_t) * min(1.0, coil_w / coil_most_w)


def no_release() -> Release:
    """The release of a heater without a store."""
    return Release(0.0, 1.0, 0.0, 1.0, 0.0, 0.0, 0.0, 0.0, 0.0)


def coming_skin(
    heater: Heater, skin_t: float, charge_w: float, air_t: float, t_out: float
) -> float:
    """Skin temperature at the end of the sub-step of a store without a skin of its own, °C.

    A light iron store is fast: it may go from cold to glowing within the sub-step, so its
    conductance is taken where it ends. With x the excess over the air, C/Δt = c,
    c·(x − x₀) + g·(1 + s·x)·x + o·(x + t_air − t_out) = charge is quadratic in x.
    """
    cap = heater.store_c * PER_STEP_S
    linear = cap + heater.skin_w_k + heater.out_w_k
    right = cap * (skin_t - air_t) + charge_w + heater.out_w_k * (t_out - air_t)
    if right <= 0.0:
        return air_t
    square = heater.skin_w_k * heater.skin_slope
    return air_t + 2.0 * right / (linear + math.sqrt(linear * linear + 4.0 * square * right))


def store_release(
    heater: Heater, store: Store, charge_w: float, air_t: float, t_out: float
) -> Release:
    """Eliminate the store for the conductance that its skin has now (or will have: see above)."""
    skin_t = store.skin
    if heater.skin_c <= 0.0 and heater.skin_slope > 0.0:
        skin_t = coming_skin(heater, store.skin, charge_w, air_t, t_out)
    skin_w_k = skin_conductance(heater, skin_t, air_t)
    joined = heater.core_skin_w_k
    if heater.skin_c <= 0.0:
        per_theta = per_theta_for((skin_w_k + heater.out_w_k) * STEP_S, heater.store_c)
        cap = heater.store_c * per_theta * PER_STEP_S
        inverse = 1.0 / (cap + skin_w_k + heater.out_w_k)
        pull = skin_w_k * (1.0 - skin_w_k * inverse)
        return Release(pull, per_theta, skin_w_k, cap, inverse, 0.0, 0.0, store.skin, charge_w)
    per_theta = min(
        per_theta_for((2.0 * joined + heater.out_w_k) * STEP_S, heater.store_c),
        per_theta_for((2.0 * joined + skin_w_k) * STEP_S, heater.skin_c),
    )
    core_cap = heater.store_c * per_theta * PER_STEP_S
    skin_cap = heater.skin_c * per_theta * PER_STEP_S
    core_inverse = 1.0 / (core_cap + joined + heater.out_w_k)
    skin_inverse = 1.0 / (skin_cap + skin_w_k + joined * (1.0 - joined * core_inverse))
    pull = skin_w_k * (1.0 - skin_w_k * skin_inverse)
    return Release(
        pull,
        per_theta,
        skin_w_k,
        core_cap,
        core_inverse,
        skin_cap,
        skin_inverse,
        store.skin,
        charge_w,
    )


def per_theta_for(swing_j_k: float, capacity: float) -> float:
    """1/θ for a node that exchanges ``swing_j_k`` J/K in a sub-step: 2, or less if fast."""
    if swing_j_k <= 2.0 * capacity:
        return 2.0
    return swing_j_k / (swing_j_k - capacity)


def core_right(
    heater: Heater, store: Store, release: Release, charge_w: float, t_out: float
) -> float:
    """What the core brings into the sub-step, W."""
    return release.core_cap * store.core + charge_w + heater.out_w_k * t_out


def release_push(
    heater: Heater, store: Store, release: Release, charge_w: float, t_out: float
) -> float:
    """Heat that the store would send to air at 0 °C, W."""
    right = core_right(heater, store, release, charge_w, t_out)
    if heater.skin_c <= 0.0:
        return release.skin_w_k * right * release.core_inverse
    skin_right = release.skin_cap * store.skin + heater.core_skin_w_k * right * release.core_inverse
    return release.skin_w_k * skin_right * release.skin_inverse


def store_step(
    heater: Heater,
    store: Store,
    release: Release,
    charge_w: float,
    mean_air: float,
    taken_w: float,
    t_out: float,
    dry_left_kg: float,
) -> Stored:
    """Step the store with the air's mean and the coil's draw (``taken_w``) known.

    The draw is taken at the end of the sub-step: the air was solved without knowing it.
    """
    right = core_right(heater, store, release, charge_w, t_out)
    drawn_k = taken_w * STEP_S / heater.store_c if taken_w > 0.0 else 0.0
    if heater.skin_c <= 0.0:
        core_mid = (right + release.skin_w_k * mean_air) * release.core_inverse
        skin_mid = core_mid
        core = store.core + (core_mid - store.core) * release.per_theta - drawn_k
        skin = core
    else:
        joined = heater.core_skin_w_k
        skin_right = release.skin_cap * store.skin + joined * right * release.core_inverse
        skin_mid = (skin_right + release.skin_w_k * mean_air) * release.skin_inverse
        core_mid = (right + joined * skin_mid) * release.core_inverse
        core = store.core + (core_mid - store.core) * release.per_theta - drawn_k
        skin = store.skin + (skin_mid - store.skin) * release.per_theta
    over = 0.0
    if core > heater.store_limit:
        over = (core - heater.store_limit) * heater.store_c * PER_STEP_S
        core = heater.store_limit
        if heater.skin_c <= 0.0:
            skin = core
    change = heater.store_c * (core - store.core) + heater.skin_c * (skin - store.skin)
    return Stored(
        Store(core, skin, dry_left_kg),
        release.skin_w_k * (skin_mid - mean_air),
        heater.out_w_k * (core_mid - t_out),
        over,
        change * PER_STEP_S,
    )
