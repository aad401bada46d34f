"""The scenario: one farm, one winter's plan, validated and in SI."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Annotated, Any

from pydantic import BeforeValidator, PrivateAttr, ValidationError, model_validator

from greenhouse_sim.errors import ScenarioError
from greenhouse_sim.scenario.change import changed
from greenhouse_sim.scenario.crop import Crop, check_temperatures
from greenhouse_sim.scenario.defaults import fill
from greenhouse_sim.scenario.greenhouse import Greenhouse
from greenhouse_sim.scenario.heat import BackupChoice, Fuel, HeaterChoice
from greenhouse_sim.scenario.labour import Labour
from greenhouse_sim.scenario.lines import Path, line_of
from greenhouse_sim.scenario.messages import one_message
from greenhouse_sim.scenario.money import Money
from greenhouse_sim.scenario.root_zone import check_root_zone
from greenhouse_sim.scenario.routine import Routine
from greenhouse_sim.scenario.section import Section, none_or_table
from greenhouse_sim.scenario.site import Site


@dataclass(frozen=True)
class Written:
    """What stands in the file, as it was written, and where; with the changes since."""

    raw: Mapping[str, Any]
    path: str | None = None
    lines: Mapping[Path, int] = field(default_factory=dict)
    changes: frozenset[Path] = frozenset()

    def line(self, path: Path) -> int | None:
        """The line of a key; None where it was changed since or never stood in a file."""
        if self.is_changed(path):
            return None
        return line_of(self.lines, path)

    def is_changed(self, path: Path) -> bool:
        """Whether a key, or a table around it, was changed after reading."""
        return any(path[:end] in self.changes for end in range(1, len(path) + 1))


class Scenario(Section):
    """A scenario. Sections are attributes; everything in them is SI.

    Scenarios are equal where all their values and the file they came from are.
    """

    site: Site
    greenhouse: Greenhouse
    crop: Crop
    heater: HeaterChoice
    backup: Annotated[BackupChoice | None, BeforeValidator(none_or_table)]
    fuel: Fuel
    routine: Routine
    labour: Labour
    money: Money

    _written: Written = PrivateAttr()

    @classmethod
    def build(
        cls,
        written: Written,
        si: bool = False,
        known: Mapping[str, Section | None] = MappingProxyType({}),
    ) -> Scenario:
        """Fill in the defaults and check everything.

        Parameters
        ----------
        written
            The mapping of the file's sections and keys.
        si
            Whether bare numbers are allowed and mean SI.
        known
            Sections that were read before from the same keys, and are taken as they are.

        Raises
        ------
        ScenarioError
            With one message about the first problem.
        """
        new = {name: keys for name, keys in written.raw.items() if name not in known}
        filled, _ = fill(new, known)
        try:
            scenario = cls.model_validate({**filled, **known}, context={"si": si})
        except ValidationError as problem:
            file = written.path or "scenario"
            message = one_message(problem.errors(include_url=False), cls, file, written.line)
            raise ScenarioError(message) from None
        scenario._written = written
        return scenario

    @model_validator(mode="after")
    def _parts_fit(self) -> Scenario:
        check_temperatures(self.crop, self.greenhouse.ideal_cooling_above)
        check_root_zone(self.heater, self.greenhouse)
        return self

    @property
    def path(self) -> str | None:
        """The file it was read from."""
        return self._written.path

    @property
    def written(self) -> Written:
        """What the grower wrote (for `explain`)."""
        return self._written

    def with_(self, **changes: Any) -> Scenario:
        """A changed copy, checked like a file.

        Parameters
        ----------
        **changes
            A section or a dotted key each: ``heater="pellet stove"`` (the kind; fields of
            the old heater and its count are dropped), ``**{"crop.vent_at": "85 degF"}``,
            ``crop={"vent_at": "85 degF"}`` (other keys of the section stay). Bare numbers
            are SI. None takes a key out, so that its default holds.

        Raises
        ------
        ScenarioError
            As for a file.
        """
        raw, paths = changed(self._written.raw, changes)
        since = Written(raw, self._written.path, self._written.lines, self._written.changes | paths)
        return Scenario.build(since, si=True)

    def key(self) -> str:
        """All values in force as one stable JSON text (the same for the same values)."""
        return self.model_dump_json()

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Scenario):
            return NotImplemented
        return self.path == other.path and self.key() == other.key()

    def __hash__(self) -> int:
        return hash(self.key())
