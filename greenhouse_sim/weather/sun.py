"""Sun on the horizontal: split into direct and diffuse, and its clock against the real sun."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.limits import limits, number
from greenhouse_sim.weather.rows import Rows

Array = np.ndarray
HORIZON = 87.0
"""Zenith angle beyond which direct sun on the horizontal is too small to divide by, degrees."""


def zenith_deg(stamps: Array, latitude: float, longitude: float, utc_offset_h: float) -> Array:
    """True zenith angle of the sun in the middle of each hour, degrees.

    Parameters
    ----------
    stamps
        Beginnings of the hours, local standard time, datetime64[s].
    """
    import pandas as pd
    from pvlib import solarposition

    middle = stamps + np.timedelta64(1800, "s") - np.timedelta64(round(utc_offset_h * 3600), "s")
    times = pd.DatetimeIndex(middle, tz="UTC")
    return solarposition.get_solarposition(times, latitude, longitude)["zenith"].to_numpy()


def complete(rows: Rows) -> None:
    """Give rows all of global, direct and diffuse, and remark on a clock that is off."""
    have = [key for key in ("ghi_W", "dni_W", "dhi_W") if key in rows.columns]
    if "ghi_W" not in have and len(have) < 2:
        raise WeatherError(
            f"{rows.path}: has no sun; add a column such as ghi [W/m2] (global sun on the "
            "horizontal, mean of the hour), or have it estimated: a line # sun: temperature range "
            "above the header row"
        )
    if len(have) < 3:
        zenith = zenith_deg(rows.stamps, rows.latitude, rows.longitude, rows.utc_offset_h)
        _third(rows, zenith)
    late = hours_late(rows)
    if abs(late) > number("sun_late"):
        rows.notes.append(
            f"the sun of this file stands {abs(late):.1f} h {'after' if late > 0 else 'before'} "
            "solar noon: check utc_offset, and whether stamps are hour-starting or hour-ending"
        )


def _third(rows: Rows, zenith: Array) -> None:
    """Direct and diffuse from global alone, or the one of the three that is missing."""
    columns = rows.columns
    upright = np.cos(np.radians(zenith))
    high = zenith < HORIZON
    if "ghi_W" not in columns:
        columns["ghi_W"] = columns["dhi_W"] + columns["dni_W"] * np.clip(upright, 0.0, None)
        rows.notes.append("no global sun: made from direct and diffuse")
    elif "dhi_W" in columns:
        columns["dhi_W"] = np.minimum(columns["dhi_W"], columns["ghi_W"])
        beam = (columns["ghi_W"] - columns["dhi_W"]) / np.where(high, upright, 1.0)
        columns["dni_W"] = np.clip(np.where(high, beam, 0.0), 0.0, limits()["dni_W"].high)
        rows.notes.append("no direct sun: made from global and diffuse")
    elif "dni_W" in columns:
        beam = columns["dni_W"] * np.clip(upright, 0.0, None)
        columns["dhi_W"] = np.clip(columns["ghi_W"] - beam, 0.0, limits()["dhi_W"].high)
        rows.notes.append("no diffuse sun: made from global and direct")
    else:
        columns["dni_W"], columns["dhi_W"] = erbs_split(columns["ghi_W"], zenith, rows.stamps)
        rows.notes.append("direct and diffuse sun split from global (Erbs et al. 1982, by pvlib)")


def erbs_split(ghi_W: Array, zenith: Array, stamps: Array) -> tuple[Array, Array]:
    """Direct normal and diffuse horizontal sun from global, W/m².

    Erbs, Klein and Duffie 1982 (Solar Energy 28:293) through pvlib; below 3
    degrees of sun height all of it is diffuse.
    """
    import pandas as pd
    from pvlib import irradiance

    split = irradiance.erbs(ghi_W, zenith, pd.DatetimeIndex(stamps), max_zenith=HORIZON)
    most = limits()["dni_W"].high
    dni = np.clip(np.nan_to_num(np.asarray(split["dni"], dtype=float)), 0.0, most)
    dni = np.where(zenith < HORIZON, dni, 0.0)
    dhi = ghi_W - dni * np.clip(np.cos(np.radians(zenith)), 0.0, None)
    return dni, np.clip(dhi, 0.0, limits()["dhi_W"].high)


def solar_noon_h(stamps: Array, longitude: float, utc_offset_h: float) -> Array:
    """Clock hour of solar noon on each stamp's day, local standard time.

    The equation of time as a series in the day angle (Spencer 1971), good to
    about half a minute.
    """
    day = stamps.astype("datetime64[D]") - stamps.astype("datetime64[Y]").astype("datetime64[D]")
    angle = 2.0 * np.pi * day.astype(float) / 365.0
    equation_min = 229.18 * (
        0.0000075
        + 0.001868 * np.cos(angle)
        - 0.032077 * np.sin(angle)
        - 0.014615 * np.cos(2.0 * angle)
        - 0.040849 * np.sin(2.0 * angle)
    )
    return 12.0 + utc_offset_h - longitude / 15.0 - equation_min / 60.0


def hours_late(rows: Rows) -> float:
    """Hours that the middle of the file's global sun comes after solar noon, over all days."""
    ghi = rows.columns["ghi_W"]
    total = float(ghi.sum())
    if total <= 0.0:
        return 0.0
    noon = solar_noon_h(rows.stamps, rows.longitude, rows.utc_offset_h)
    seconds = (rows.stamps - rows.stamps.astype("datetime64[D]")).astype(float)
    off = (seconds / 3600.0 + 0.5 - noon + 12.0) % 24.0 - 12.0
    return float((ghi * off).sum() / total)
