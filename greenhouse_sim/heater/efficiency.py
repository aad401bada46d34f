"""Efficiency on its basis: a share of the gross or of the net heat of the fuel.

North American certificates (CSA B415.1) divide by gross heat, European ones (EN) by
net heat; 75 % net is 68 % gross at 20 % water. The kernel counts gross heat, so
every efficiency is brought to gross at the moisture of the wood that is burnt.
"""

from __future__ import annotations

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.heater.fuel import Fuel, constant

BASES = ("gross", "net")
FLAMELESS = ("electricity", "compost", "none")
"""Fuels without a flue, whose efficiency may well be 1."""


def check_efficiency(value: float, basis: str, fuel: Fuel, where: str) -> tuple[str, ...]:
    """Refuse an efficiency that energy conservation forbids; note one that is hard to believe.

    Parameters
    ----------
    value
        Useful heat over the fuel's heat on ``basis``.
    basis
        ``"gross"`` or ``"net"``.
    fuel
        The fuel, at the moisture that ``value`` was measured with.
    where
        The place to name in a message.

    Returns
    -------
    tuple of str
        Notes: an efficiency of a fire over 90 % gross is implausible.

    Raises
    ------
    ScenarioError
        Not above 0, over 100 % on its basis, or an unknown basis.
    """
    if basis not in BASES:
        raise ScenarioError(f'{where}: basis {basis!r} is unknown; write "gross" or "net"')
    if not value > 0.0:
        raise ScenarioError(
            f"{where}: efficiency {value:g} must be above 0; write one such as 0.70"
        )
    if value > 1.0:
        raise ScenarioError(
            f"{where}: {value:.0%} of the fuel's {basis} heat is more than there is in it; "
            "write a share of at most 1, such as 0.70"
        )
    if fuel.kind in FLAMELESS:
        return ()
    gross = to_gross(value, basis, fuel)
    if gross > constant("implausible_above"):
        return (
            f"{where}: {gross:.0%} of gross heat is more than stoves and boilers reach in tests "
            "(71 to 78 % for stoves); is it measured, and on which basis?",
        )
    return ()


def efficiency_of_claim(useful_J: float, mass_kg: float, fuel: Fuel, where: str) -> float:
    """Gross efficiency of a claim "so much heat from so much fuel"; refuses one over 100 %."""
    value = useful_J / (mass_kg * fuel.gross_J_kg)
    check_efficiency(value, "gross", fuel, where)
    return value


def to_net(value: float, basis: str, fuel: Fuel) -> float:
    """An efficiency as a share of net heat, for this fuel at its moisture."""
    return value / fuel.net_per_gross if basis == "gross" else value


def to_gross(value: float, basis: str, fuel: Fuel) -> float:
    """An efficiency as a share of gross heat, for this fuel at its moisture."""
    return value * fuel.net_per_gross if basis == "net" else value


def wet_factor(moisture: float) -> float:
    """What wet wood leaves of the net efficiency: 1 up to 25 % water, then falling.

    Beyond the water's own heat (which net heat holds already) a wet fire is cooler and
    burns its smoke badly. One hundredth for each percent of water over 25 % (wet
    basis): common practice, no source.
    """
    excess = max(0.0, moisture - constant("wet_above"))
    return max(constant("wet_floor"), 1.0 - constant("wet_penalty") * excess)


def gross_efficiency(value: float, basis: str, test_fuel: Fuel, fuel: Fuel) -> float:
    """Gross efficiency with ``fuel`` of an appliance tested with ``test_fuel``.

    The share of *net* heat that an appliance makes useful is taken as the same at any
    moisture (the flue's dry losses go with it), so gross efficiency falls with water as
    net over gross heat does; beyond 25 % `wet_factor` comes on top.
    """
    net = to_net(value, basis, test_fuel)
    burnt = to_gross(net, "net", fuel)
    if fuel.kind == "wood":
        burnt *= wet_factor(fuel.moisture)
    return min(1.0, burnt)
