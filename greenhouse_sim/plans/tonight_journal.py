"""What the journal says of the present: the last reading, the last loads, and the pile.

What was noted is used while it is fresh enough to say something (table ``tonight``); what is older
is told and not used.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from greenhouse_sim.errors import JournalError
from greenhouse_sim.journal.entry import LOAD, Entry
from greenhouse_sim.plans.tonight_error import number
from greenhouse_sim.plans.tonight_past import Put

if TYPE_CHECKING:
    from greenhouse_sim.heater.numbers import Heater
    from greenhouse_sim.journal.stand import Left
    from greenhouse_sim.scenario import Scenario

HOUR = timedelta(hours=1)


class Noted(NamedTuple):
    """What was noted up to now."""

    at: datetime
    """The present, to the minute."""
    reading: Entry | None
    """The last one of the air inside, however old."""
    loads: tuple[Entry, ...]
    """Of the last hours, oldest first: those that may still be in the fire."""
    before: Entry | None
    """The last load that is too old to count; None where there is none or newer ones are there."""
    overfull: Entry | None
    """A load of more than the heater holds."""
    left: Left | None
    """Of the pile; None where it was never counted."""

    def age_h(self, entry: Entry) -> float:
        """Hours since an entry."""
        return (self.at - entry.at) / HOUR

    @property
    def is_fresh(self) -> bool:
        """Whether the last reading still says what the air is now."""
        return self.reading is not None and self.age_h(self.reading) <= number("reading_good")

    def puts(self, at: datetime) -> tuple[Put, ...]:
        """The loads by whole hours before ``at``, the full hour that is taken for now."""
        ago = (max(0, round((at - one.at) / HOUR)) for one in self.loads)
        return tuple(Put(hours, one.kg or 0.0) for hours, one in zip(ago, self.loads, strict=True))


def noted(
    entries: Sequence[Entry], scenario: Scenario, heater: Heater, at: datetime
) -> Noted | None:
    """What the journal says of the present; None where it says nothing up to now.

    Parameters
    ----------
    entries
        The whole journal, by time; what was noted after ``at`` is left out.
    scenario, heater
        The farm and its heater.
    at
        The present, local standard time, to the minute.
    """
    from greenhouse_sim.plans.journal_review import left_now

    past = [one for one in entries if one.at <= at]
    if not past:
        return None
    read = [one for one in past if one.indoor_C is not None]
    loads = [one for one in past if one.kind == LOAD] if heater.hand_fed > 0.5 else []
    reach = number("load_good") * HOUR
    recent = tuple(one for one in loads if at - one.at <= reach)
    most = heater.charge_kg * (1.0 + number("overfull"))
    return Noted(
        at,
        read[-1] if read else None,
        recent,
        loads[-1] if loads and not recent else None,
        next((one for one in reversed(recent) if (one.kg or 0.0) > most), None),
        left_now(past, scenario, at.date()),
    )


def air_now(told: Noted | None, book: Path | None) -> float:
    """The air inside by the journal, °C.

    Parameters
    ----------
    told
        What it says; None where there is nothing in it.
    book
        The journal; None where there is none.

    Raises
    ------
    JournalError
        It does not say, or only of hours ago.
    """
    remedy = (
        'write the air inside now, such as --now "48 degF", or note it: greenhouse-sim log FILE '
        '--indoor "48 degF"'
    )
    if book is None:
        raise JournalError(f"--now is missing, and no journal lies beside the scenario; {remedy}")
    if told is None or told.reading is None:
        raise JournalError(f"--now is missing, and {book} holds no reading up to now; {remedy}")
    if not told.is_fresh:
        raise JournalError(
            f"--now is missing, and the last reading in {book} is of "
            f"{told.reading.at:%Y-%m-%d %H:%M}, {told.age_h(told.reading):.0f} h ago; {remedy}"
        )
    return float(told.reading.indoor_C or 0.0)
