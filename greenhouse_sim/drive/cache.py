"""Keep prepared winters on disk: a second run needs neither the sun nor the libraries for it.

The key is a hash of the weather, of the scenario's site, greenhouse and crop, and of the
source of everything that makes a winter (so an edited table or file never meets an old answer).
A folder that cannot be written or a file that cannot be read costs time, never an answer.
"""

from __future__ import annotations

import hashlib
import json
from typing import TYPE_CHECKING, Any

import numpy as np

from greenhouse_sim import kept
from greenhouse_sim.greenhouse.numbers import Drive, House
from greenhouse_sim.greenhouse.vapour_numbers import Moisture, Vapour

if TYPE_CHECKING:
    from greenhouse_sim.drive.outdoors import Outdoors

SOURCES = ("greenhouse_sim.greenhouse", "greenhouse_sim.drive", "greenhouse_sim.tables")
NOT_PHYSICS = {"name", "weather", "season", "power_cuts"}
"""Keys of the site that change no array here."""
WEATHER_ARRAYS = (
    "t_out_C", "t_dew_C", "pressure_Pa", "wind_m_s", "ghi_W", "dni_W", "dhi_W", "cloud",
    "ir_down_W", "snow_m",
)  # fmt: skip
WEATHER_PLACE = ("start", "utc_offset_h", "latitude", "longitude", "elevation_m")


def prepare(scenario: Any, weather: Any) -> tuple[House, Drive, Moisture]:
    """The greenhouse, its winter and its vapour, from disk where they were prepared before."""
    name = key(scenario, weather)
    found = kept.find("winters", name)
    if found is not None:
        return _bundles(found)
    house, drive, moisture = made(scenario, weather)
    arrays: dict[str, Any] = {f"house_{n}": np.asarray(v) for n, v in house._asdict().items()}
    arrays |= {f"drive_{n}": v for n, v in drive._asdict().items()}
    arrays |= {f"vapour_{n}": np.asarray(v) for n, v in moisture.vapour._asdict().items()}
    arrays["moisture_outdoor"] = moisture.outdoor
    kept.keep("winters", name, arrays)
    return house, drive, moisture


def made(
    scenario: Any, weather: Any, outdoors: Outdoors | None = None
) -> tuple[House, Drive, Moisture]:
    """As `prepare`, made anew and not kept: for greenhouses that are only tried.

    ``outdoors`` is the weather's, shared by the greenhouses that are tried in it.
    """
    from greenhouse_sim.drive.drive import make_drive, make_house
    from greenhouse_sim.drive.outdoors import Outdoors
    from greenhouse_sim.drive.vapour import make_moisture

    seen = outdoors or Outdoors(weather)
    house = make_house(scenario, weather, seen)
    drive = make_drive(scenario, weather, house, seen)
    return house, drive, make_moisture(scenario, weather, seen.vapour, seen.shell(scenario))


def _bundles(found: dict[str, np.ndarray]) -> tuple[House, Drive, Moisture]:
    house: dict[str, Any] = {}
    for name in House._fields:
        value = found[f"house_{name}"]
        house[name] = float(value) if value.ndim == 0 else value
    drive = Drive(**{name: found[f"drive_{name}"] for name in Drive._fields})
    vapour = Vapour(**{name: float(found[f"vapour_{name}"]) for name in Vapour._fields})
    return House(**house), drive, Moisture(vapour, found["moisture_outdoor"])


def key(scenario: Any, weather: Any) -> str:
    """Hash of all that a prepared winter depends on, 32 hexadecimal digits."""
    total = hashlib.sha256()  # half the time of others where the processor knows it
    total.update(kept.makers_hash(*SOURCES))
    for name in ("site", "greenhouse", "crop"):
        total.update(_section_text(getattr(scenario, name)).encode())
    for name in WEATHER_PLACE:
        total.update(repr(getattr(weather, name)).encode())
    for name in WEATHER_ARRAYS:
        total.update(np.ascontiguousarray(getattr(weather, name), dtype=float).data)
    return total.hexdigest()[:32]


def _section_text(section: Any) -> str:
    """A section of the scenario as text that is the same for the same values."""
    dump = getattr(section, "model_dump", None)
    values = dump(mode="json") if dump is not None else vars(section)
    kept = {name: value for name, value in values.items() if name not in NOT_PHYSICS}
    return json.dumps(kept, sort_keys=True, default=repr)
