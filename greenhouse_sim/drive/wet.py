"""When the cover is wet inside: over plants, as long as the house is heated.

Water settles where the inner face is under the dew point of the air. Of the resistance 1/U of
a cover the film of air inside is 1/8.3 m²K/W, so that the face lies U/8.3 of the way to
outdoors, and air of 80 % humidity (common over plants under film) has its dew point 3.4 K down at
10 °C. A single film (6.8 W/m²K) is wet from 4 K between inside and outside, a double one (4.0)
from 7 K: whenever the heater runs, by night and by day, since the sun warms the house before it
warms the film. An empty house counts as dry. As long as the humidity indoors is not followed, that
is the rule; what follows it puts another share of the film for each hour in its place.
"""

from __future__ import annotations

import numpy as np

Array = np.ndarray


def film_wetness(planted_share: float, hours: int) -> Array:
    """Share of the cover's inner face that is wet, 0 to 1, shape (hours,)."""
    return np.full(hours, float(planted_share > 0.0))
