"""``greenhouse-sim explain FILE``: every value in force, and where it comes from."""

from __future__ import annotations

from greenhouse_sim.cli.door import told_plainly
from greenhouse_sim.cli.options import (
    ScenarioFile,
    UnitsChoice,
    UnitsOption,
)


def explain_command(
    file: ScenarioFile,
    units: UnitsOption = UnitsChoice.us,
) -> None:
    """Show every value in force: from which line, default or table it comes."""
    with told_plainly():
        from greenhouse_sim.cli.show import console
        from greenhouse_sim.report.explain_table import explain_table
        from greenhouse_sim.report.words import Units
        from greenhouse_sim.scenario import explain, read_scenario

        scenario = read_scenario(file)
        words = Units(units is UnitsChoice.us)
        console().print(explain_table(explain(scenario), scenario.path, words))
