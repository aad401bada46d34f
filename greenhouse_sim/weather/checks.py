"""Refuse what cannot be weather, fill what is missing for a few hours."""

from __future__ import annotations

import numpy as np

from greenhouse_sim.errors import WeatherError
from greenhouse_sim.weather.limits import limits, number
from greenhouse_sim.weather.rows import Rows
from greenhouse_sim.weather.weather import PERHAPS, PLACE, YEARS, Gap

Array = np.ndarray
HOUR = np.timedelta64(3600, "s")
SUN = ("ghi_W", "dni_W", "dhi_W")
WORDS = {"cloud": "cloud", "ir_down_W": "infrared", "snow_m": "snow depth"}
MAY_BE_ASSUMED = "pressure_Pa"


def when(stamp: np.datetime64) -> str:
    """A stamp as a reader writes it: 2026-01-31 04:00."""
    return str(stamp.astype("datetime64[m]")).replace("T", " ")


def check_place(rows: Rows) -> None:
    """Refuse a latitude, longitude, elevation or time zone that no place on Earth has."""
    for key in PLACE:
        value, allowed = float(getattr(rows, key)), limits()[key]
        if not allowed.low <= value <= allowed.high:
            raise WeatherError(
                f"{rows.path}: {allowed.words} {value:g} is out of range; write a value between "
                f"{allowed.low:g} and {allowed.high:g} {allowed.unit}"
            )
    if abs((rows.longitude / 15.0 - rows.utc_offset_h + 12.0) % 24.0 - 12.0) > 4.0:
        raise WeatherError(
            f"{rows.path}: longitude {rows.longitude:g} and an offset of {rows.utc_offset_h:g} h "
            f"from universal time do not belong together; west is negative for both, "
            f"and standard time there is near {round(rows.longitude / 15.0)} h (utc_offset)"
        )


def check_values(rows: Rows) -> None:
    """Refuse impossible values with their row and column; night offsets of sun become zero."""
    for key, values in rows.columns.items():
        allowed = limits()[key]
        bad = (values < allowed.low) | (values > allowed.high)
        if bad.any():
            at = int(np.argmax(bad))
            raise WeatherError(
                f'{rows.path}, row {rows.file_row[at]}, column "{rows.labels.get(key, key)}": '
                f"{values[at]:g} {_unit(allowed.unit)}is impossible; {allowed.words} lies between "
                f"{allowed.low:g} and {allowed.high:g} {_unit(allowed.unit)}(check the column's "
                "unit, or leave the cell empty where it is missing)"
            )
        if key in SUN and (values < 0.0).any():
            rows.columns[key] = np.where(values < 0.0, 0.0, values)


def _unit(unit: str) -> str:
    return "" if unit == "dimensionless" else f"{unit} "


def check_order(rows: Rows) -> None:
    """Refuse rows out of order, hours that stand twice, and clocks that jump for summer."""
    years = rows.stamps.astype("datetime64[Y]").astype(int) + 1970
    strange = (years < YEARS[0]) | (years > YEARS[1])
    if strange.any():
        at = int(np.argmax(strange))
        raise WeatherError(
            f"{rows.path}, row {rows.file_row[at]}: the year {years[at]} is impossible; "
            f"write stamps between {YEARS[0]} and {YEARS[1]}"
        )
    steps = np.diff(rows.stamps)
    wrong = steps <= np.timedelta64(0, "s")
    if wrong.any():
        at = int(np.argmax(wrong))
        row, stamp = rows.file_row[at + 1], when(rows.stamps[at + 1])
        if (
            steps[at] == np.timedelta64(0, "s")
            or (rows.stamps[: at + 1] == rows.stamps[at + 1]).any()
        ):
            raise WeatherError(
                f"{rows.path}, row {row}: the hour {stamp} stands twice; remove one of the rows, "
                "or, if the clock went back from daylight-saving time there, write standard time "
                "all year (or stamps with their offset, such as 2026-01-31T04:00-06:00), or have "
                "the clock turned: greenhouse-sim weather map"
            )
        raise WeatherError(
            f"{rows.path}, row {row}: {stamp} comes after {when(rows.stamps[at])}; "
            "sort the rows by time"
        )
    _check_summer_jump(rows, steps)


def _check_summer_jump(rows: Rows, steps: Array) -> None:
    """A single hour missing in the small hours of a spring or autumn Sunday is a clock change."""
    for at in np.flatnonzero(steps == 2 * HOUR):
        missing = rows.stamps[at] + HOUR
        day = missing.astype("datetime64[D]")
        sunday = (day.astype(int) + 4) % 7 == 0
        hour = int((missing - day.astype("datetime64[s]")) / HOUR)
        month = int(day.astype("datetime64[M]").astype(int)) % 12 + 1
        if sunday and hour in (1, 2) and month in (3, 4, 9, 10):
            raise WeatherError(
                f"{rows.path}, row {rows.file_row[at + 1]}: the hour {when(missing)} is missing as "
                "if the clock went forward to daylight-saving time; write standard time all year, "
                "or stamps with their offset (2026-01-31T04:00-06:00), or have the clock turned "
                "(greenhouse-sim weather map), or, if it is only a gap, add a row with that time "
                "and empty cells"
            )


def fill(rows: Rows) -> None:
    """Put the rows on every hour and fill gaps of up to three hours.

    Linear between the neighbours; sun is zero where both the day before and the
    day after have none at that clock hour. What was filled goes into the notes.
    A longer gap in a quantity that must be known gets stand-ins (the same clock
    hour of the days around it) and is told in ``rows.gaps``: no winter is cut from it.

    Raises
    ------
    WeatherError
        More hours are missing than are known.
    """
    longest = int(number("longest_filled_gap"))
    steps = np.diff(rows.stamps)
    hours = int((rows.stamps[-1] - rows.stamps[0]) / HOUR) + 1
    if hours > 2 * len(rows.stamps) + longest:
        at = np.flatnonzero(steps > HOUR)
        spans = [(rows.stamps[g] + HOUR, rows.stamps[g + 1] - HOUR) for g in at]
        raise WeatherError(
            f"{rows.path}: no rows {_spans(spans)}: more hours are missing than there are; "
            "give one row an hour (or an even step of minutes, or of days through a mapping: "
            "greenhouse-sim weather map)"
        )
    if len(steps) and (steps != HOUR).any():
        _on_every_hour(rows)
    whole = _row_gaps(rows.stamps, steps, longest)
    rows.gaps += [Gap(a, b, "rows") for a, b in whole]
    for key in list(rows.columns):
        _fill_column(rows, key, longest, whole)


def _row_gaps(stamps: Array, steps: Array, longest: int) -> list[tuple[int, int]]:
    """Stretches without rows that are too long to fill, as places on every hour."""
    ends = np.cumsum((steps / HOUR).astype(int))
    return [
        (int(end - step + 1), int(end))
        for end, step in zip(ends, (steps / HOUR).astype(int), strict=True)
        if step > longest + 1
    ]


def gap_words(gap: Gap, start: np.datetime64) -> str:
    """A gap in words: 't_air [degC] has no values from 2026-01-31 04:00 to ... (9 h)'."""
    span = _spans([(start + gap.first * HOUR, start + (gap.stop - 1) * HOUR)])
    return f"no rows {span}" if gap.what == "rows" else f'column "{gap.what}": no values {span}'


def gap_remedy() -> str:
    """What to do about a gap."""
    return (
        f"gaps of up to {int(number('longest_filled_gap'))} hours are filled, longer ones are not: "
        "fill them from a neighbouring station, or choose a season that leaves them out"
    )


def _on_every_hour(rows: Rows) -> None:
    where = ((rows.stamps - rows.stamps[0]) / HOUR).astype(int)
    hours = int(where[-1]) + 1
    for key, values in rows.columns.items():
        full = np.full(hours, np.nan)
        full[where] = values
        rows.columns[key] = full
    rows.stamps = rows.stamps[0] + np.arange(hours) * HOUR


def _fill_column(rows: Rows, key: str, longest: int, whole: list[tuple[int, int]]) -> None:
    values = rows.columns[key]
    missing = np.isnan(values)
    if not missing.any():
        return
    label = rows.labels.get(key, key)
    if missing.all():
        del rows.columns[key]
        return
    runs = _runs(missing)
    long = [run for run in runs if run[1] - run[0] > longest]
    own = [run for run in long if run not in whole]
    if own and key == MAY_BE_ASSUMED:
        rows.notes.append(f"{label}: {_hours(own)} unknown, the whole column left out")
        del rows.columns[key]
        return
    hours = np.arange(len(values))
    filled = np.interp(hours, hours[~missing], values[~missing])
    if key in SUN:
        filled = np.where(missing & _dark(values), 0.0, filled)
    if key in PERHAPS:
        for a, b in long:
            filled[a:b] = np.nan
        if own:
            spans = [(rows.stamps[a], rows.stamps[b - 1]) for a, b in own]
            rows.notes.append(f"{label}: unknown {_spans(spans)}")
    elif long:
        stand_ins = _same_hour_of_other_days(values, missing, filled)
        for a, b in long:
            filled[a:b] = stand_ins[a:b]
        rows.gaps += [Gap(a, b, label) for a, b in own]
    short = [run for run in runs if run[1] - run[0] <= longest]
    if short:
        first = when(rows.stamps[short[0][0]])
        rows.notes.append(f"{label}: {_hours(short)} filled from neighbours, first {first}")
    rows.columns[key] = filled


def _same_hour_of_other_days(values: Array, missing: Array, otherwise: Array) -> Array:
    """Each clock hour interpolated over the days; ``otherwise`` where it is never known."""
    made = otherwise.copy()
    for clock in range(24):
        known = np.flatnonzero(~missing[clock::24])
        if len(known):
            days = np.arange(len(made[clock::24]))
            made[clock::24] = np.interp(days, known, values[clock::24][known])
    return made


def _dark(values: Array) -> Array:
    """True where the same clock hour a day before or after is known and has no sun in either."""
    before = np.concatenate([np.full(24, np.nan), values])[: len(values)]
    after = np.concatenate([values, np.full(24, np.nan)])[24:]
    some = ~np.isnan(before) | ~np.isnan(after)
    return some & (np.nan_to_num(before) <= 0.0) & (np.nan_to_num(after) <= 0.0)


def _runs(missing: Array) -> list[tuple[int, int]]:
    """Stretches of True as (first, one past the last)."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], missing, [False]]).astype(int)))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _hours(runs: list[tuple[int, int]]) -> str:
    count = sum(b - a for a, b in runs)
    return f"{count} hour" if count == 1 else f"{count} hours"


def _spans(spans: list[tuple[np.datetime64, np.datetime64]]) -> str:
    texts = [f"from {when(a)} to {when(b)} ({int((b - a) / HOUR) + 1} h)" for a, b in spans[:3]]
    rest = f" and in {len(spans) - 3} more places" if len(spans) > 3 else ""
    return ", ".join(texts) + rest
