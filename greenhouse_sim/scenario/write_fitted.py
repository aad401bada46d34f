"""Write fitted factors into the text of a scenario file; all else stays as it was written."""

from __future__ import annotations

import re
from collections.abc import Mapping

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario.model import Scenario
from greenhouse_sim.scenario.read import scenario_from_text

_HEADER = re.compile(r"\s*\[")
DIGITS = 3


def fitted_line(factors: Mapping[str, float]) -> str:
    """The line for ``[greenhouse]``."""
    inside = ", ".join(f"{name} = {value:.{DIGITS}f}" for name, value in factors.items())
    return f"fitted = {{ {inside} }}"


def with_fitted(
    text: str, file: str, factors: Mapping[str, float], heater: Mapping[str, float]
) -> str:
    """The text with these factors in ``[greenhouse]`` and these fields in ``[heater]``.

    Parameters
    ----------
    text, file
        The scenario file's text and name.
    factors
        Keys of `greenhouse_sim.scenario.fitted.Fitted`.
    heater
        Fields of the catalogue, dimensionless.

    Raises
    ------
    ScenarioError
        The file is written in a way that lines cannot simply be put into.
    """
    lines = text.splitlines()
    _replace(lines, "greenhouse", {"fitted": fitted_line(factors)})
    if heater:
        own = {key: f"{key} = {value:.{DIGITS}f}" for key, value in heater.items()}
        _replace(lines, "heater", own)
    written = "\n".join(lines) + "\n"
    problem: object = ""
    try:
        if _holds(scenario_from_text(written, file), factors, heater):
            return written
    except ScenarioError as refused:
        problem = f" ({refused})"
    raise ScenarioError(
        f"{file}: the fitted values cannot be put into it{problem}; write this under [greenhouse] "
        f"yourself: {fitted_line(factors)}"
    )


def _replace(lines: list[str], section: str, own: Mapping[str, str]) -> None:
    """Take keys out of a section and write them anew under its header."""
    _drop_table(lines, f"{section}.fitted")
    at = _header(lines, section)
    if at is None:
        return
    stop = next((i for i in range(at + 1, len(lines)) if _HEADER.match(lines[i])), len(lines))
    kept = [
        line
        for line in lines[at + 1 : stop]
        if not any(re.match(rf"\s*{key}\s*=", line) for key in own)
    ]
    lines[at + 1 : stop] = [*own.values(), *kept]


def _header(lines: list[str], section: str) -> int | None:
    pattern = re.compile(rf"\s*\[\s*{re.escape(section)}\s*\]\s*(#.*)?$")
    return next((i for i, line in enumerate(lines) if pattern.match(line)), None)


def _drop_table(lines: list[str], section: str) -> None:
    at = _header(lines, section)
    if at is not None:
        stop = next((i for i in range(at + 1, len(lines)) if _HEADER.match(lines[i])), len(lines))
        del lines[at:stop]


def _holds(scenario: Scenario, factors: Mapping[str, float], heater: Mapping[str, float]) -> bool:
    near = 0.6 * 10.0**-DIGITS
    fitted = scenario.greenhouse.fitted
    own = scenario.heater.overrides
    return fitted is not None and (
        all(abs(getattr(fitted, key) - value) < near for key, value in factors.items())
        and all(abs(float(own.get(key, -9.0)) - value) < near for key, value in heater.items())
    )
