"""Heaters side by side over the same winters."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from greenhouse_sim.heater.catalogue import heater_names, heater_table
from greenhouse_sim.season.ledger import numeric_keys
from greenhouse_sim.season.many import Advance, Tell
from greenhouse_sim.season.run import Season, run_seasons
from greenhouse_sim.weather import Weather

if TYPE_CHECKING:
    import pandas as pd

    from greenhouse_sim.scenario import Scenario

LOW, HIGH = 10.0, 90.0
"""Percentiles over winters."""


@dataclass(frozen=True, eq=False)
class Comparison:
    """Heaters by winters."""

    seasons: tuple[Season, ...]
    """Heater by heater, winters in order."""

    @functools.cached_property
    def summary(self) -> tuple[dict[str, Any], ...]:
        """A row a heater: median, 10th and 90th percentile over winters of each numeric key."""
        return tuple(summarise(self.of(heater)) for heater in self.heaters)

    @property
    def heaters(self) -> tuple[str, ...]:
        """Heaters in order."""
        return tuple(dict.fromkeys(season.heater for season in self.seasons))

    @property
    def winters(self) -> tuple[str, ...]:
        """Winters in order."""
        return tuple(dict.fromkeys(season.winter for season in self.seasons))

    def of(self, heater: str) -> tuple[Season, ...]:
        """The seasons of one heater."""
        return tuple(season for season in self.seasons if season.heater == heater)

    @functools.cached_property
    def table(self) -> pd.DataFrame:
        """One row a heater, the median over winters of each numeric key."""
        import pandas as pd

        rows = [
            {"heater": row["heater"], "winters": row["winters"]}
            | {key: value["median"] for key, value in row.items() if isinstance(value, dict)}
            for row in self.summary
        ]
        return pd.DataFrame(rows).set_index("heater")

    @functools.cached_property
    def season_table(self) -> pd.DataFrame:
        """One row a season, as the ledger has it."""
        import pandas as pd

        return pd.DataFrame([dict(season.ledger) for season in self.seasons])


def summarise(seasons: Sequence[Season]) -> dict[str, Any]:
    """Median and 10th to 90th percentile over winters of every numeric key of the ledger."""
    rows = [season.ledger for season in seasons]
    summary: dict[str, Any] = {"heater": rows[0]["heater"], "winters": len(rows)}
    whole: list[str] = []
    for key in numeric_keys(rows[0]):
        summary[key] = {"median": None, "low": None, "high": None}
        if all(row[key] is not None for row in rows):
            whole.append(key)
    # all keys at once: each by itself would take a tenth of a second for eight heaters
    table = np.array([[row[key] for row in rows] for key in whole], dtype=float)
    for key, values in zip(whole, np.percentile(table, [LOW, 50.0, HIGH], axis=1).T, strict=True):
        low, median, high = (float(value) for value in values)
        summary[key] = {"median": median, "low": low, "high": high}
    return summary


def all_heaters() -> tuple[str, ...]:
    """The catalogue in the order in which tables show it: wood first, back-ups and ideal last."""
    kinds = ("wood", "pellets", "compost", "propane", "electricity", "none")
    tables = {name: heater_table(name) for name in heater_names()}

    def place(name: str) -> tuple[int, str, float]:
        table = tables[name]
        size = table["output_max"].number if "output_max" in table else 0.0
        family = name.split(",")[0]
        return kinds.index(table["fuel"].value), family, size

    return tuple(sorted(tables, key=place))


def compare(
    scenario: Scenario,
    heaters: Sequence[str] | None = None,
    weather: Sequence[Weather] | None = None,
    *,
    traced: bool = False,
    engine: str = "auto",
    workers: int | None = None,
    tell: Tell | None = None,
    advance: Advance | None = None,
) -> Comparison:
    """Run heaters (the whole catalogue where none are named) over the scenario's winters.

    Every heater stands in the same greenhouse, burns the scenario's wood where it burns
    wood, and is tended by the same routine; as many of each as the scenario's ``count``.
    """
    named = [heater_table(name)["name"].value for name in heaters] if heaters else all_heaters()
    chosen = list(dict.fromkeys(named))
    seasons = run_seasons(
        scenario,
        chosen,
        weather,
        traced=traced,
        engine=engine,
        workers=workers,
        tell=tell,
        advance=advance,
    )
    return Comparison(tuple(seasons))
