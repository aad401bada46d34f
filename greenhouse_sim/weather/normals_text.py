"""Write normals as the TOML file that the program reads."""

from __future__ import annotations

from greenhouse_sim.weather.normals import Months, Normals
from greenhouse_sim.weather.normals_variation import SHARES

HEAD = "# Monthly normals, January to December; made from {source}.\n"


def normals_toml(normals: Normals, source: str) -> str:
    """Text of a normals file in SI units.

    Parameters
    ----------
    source
        What they were made from, for the remark in the first line.
    """
    lines = [HEAD.format(source=source.replace("\n", " ")), "[place]"]
    lines.append(f"name = {_quoted(normals.site)}")
    lines.append(f"latitude = {normals.latitude:.4f}")
    lines.append(f"longitude = {normals.longitude:.4f}")
    lines.append(f'elevation = "{normals.elevation_m:.0f} m"')
    lines.append(f"utc_offset = {normals.utc_offset_h:g}")
    lines += ["", "[normals]"]
    rain = normals.precipitation_mm
    rows = (
        ("mean_max", "degC", normals.mean_max_C, 2),
        ("mean_min", "degC", normals.mean_min_C, 2),
        ("record_low", "degC", normals.record_low_C, 1),
        ("radiation", "W/m^2", normals.radiation_W, 1),
        ("sun_hours", "h/day", normals.sun_h, 2),
        ("cloud", "0-1", normals.cloud, 2),
        ("wind", "m/s", normals.wind_m_s, 2),
        ("dew_point", "degC", normals.t_dew_C, 2),
        ("precipitation", "mm", rain, 0),
    )
    lines += [_row(key, unit, months, d) for key, unit, months, d in rows if months is not None]
    if normals.record_years is not None:
        lines.append(f"record_years = {normals.record_years:g}")
    lines += ["", "[variation]", *_variation(normals)]
    lines += ["", "[winters]", f"count = {normals.count}", f"seed = {normals.seed}"]
    return "\n".join(lines) + "\n"


def _variation(normals: Normals) -> list[str]:
    chosen = normals.variation
    lines = []
    if chosen.daily_sd_K is not None:
        lines.append(_row("daily_sd", "K", chosen.daily_sd_K, 2))
    if chosen.swing_sd_K is not None:
        lines.append(_row("swing_sd", "K", chosen.swing_sd_K, 2))
    if chosen.lags is not None:
        lines.append(f"lags = [{', '.join(f'{r:.3f}' for r in chosen.lags)}]")
    for key in SHARES:
        value = getattr(chosen, key)
        if value is not None:
            lines.append(f"{key} = {value:.3f}")
    return lines


def _row(key: str, unit: str, months: Months, decimals: int) -> str:
    numbers = ", ".join(f"{value + 0.0:.{decimals}f}" for value in months)
    return f'{key} = {{ unit = "{unit}", months = [{numbers}] }}'


def _quoted(text: str) -> str:
    plain = "".join(sign for sign in text if sign.isprintable())
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'
