"""Entries as CSV, and what they come to."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from greenhouse_sim.errors import JournalError
from greenhouse_sim.journal.entry import CARRIED, LOAD, PILE, READING, Entry, check
from greenhouse_sim.journal.stand import Left, left_of, nights_up, used_kg
from greenhouse_sim.journal.texts import read_csv, to_csv

AT = datetime(2025, 12, 1, 21, 30)
TEMPERATURE = st.none() | st.floats(-60.0, 60.0)
ENTRY = st.builds(
    lambda minute, kind, kg, temperatures, minutes, woken, note: Entry(
        AT + timedelta(minutes=minute),
        kind,
        kg if kind in (LOAD, CARRIED, PILE) else None,
        *(temperatures if kind != READING else (3.0, temperatures[1])),
        minutes,
        woken,
        AT + timedelta(minutes=minute + 5) if kind == "cut" else None,
        note,
    ),
    st.integers(0, 200_000),
    st.sampled_from([LOAD, CARRIED, PILE, READING, "visit", "cut"]),
    st.floats(0.001, 1e5),
    st.tuples(TEMPERATURE, TEMPERATURE),
    st.none() | st.floats(0.0, 1440.0),
    st.booleans(),
    st.text(st.characters(exclude_categories=("Cs", "Cc", "Zs", "Zl", "Zp")), max_size=30),
)


@settings(max_examples=60, deadline=None)
@given(entries=st.lists(ENTRY, max_size=8))
def test_written_and_read_again(
    tmp_path_factory: pytest.TempPathFactory, entries: list[Entry]
) -> None:
    path = tmp_path_factory.mktemp("texts") / "journal.csv"
    kept = [check(one, "here") for one in entries]
    path.write_text(to_csv(kept), encoding="utf-8", newline="")
    assert read_csv(path, None) == kept


def test_units_of_headings_and_cells(tmp_path: Path) -> None:
    path = tmp_path / "j.csv"
    path.write_text(
        "time,kind,fuel [lb],indoor [degF],woken\n"
        "2025-12-01 21:30,load,40,48,yes\n"
        "2025-12-02 06:30,carried,0.5 cord,9 degC,\n"
        ",,,,\n"
    )
    load, carried = read_csv(path, 500.0)
    # 1 lb = 0.45359237 kg; 48 °F = 80/9 °C; 1 cord = 128 ft³ = 3.62456 m³ (definitions)
    assert load.kg == pytest.approx(18.1436948)
    assert load.indoor_C == pytest.approx(80.0 / 9.0)
    assert load.woken
    assert carried.kg == pytest.approx(0.5 * 3.624556363776 * 500.0)
    assert carried.indoor_C == pytest.approx(9.0)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "empty"),
        ("when,kind\n", "row 1: column 'when' is not known"),
        ("time\n2025-12-01 21:30\n", "no column 'kind'"),
        ("time,kind,time\n", "stands twice"),
        ("time,kind\nyesterday,visit\n", "row 2, column time"),
        ("time,kind\n2025-12-01 21:30+01:00,visit\n", "without an offset"),
        ("time,kind,fuel\n2025-12-01 21:30,load,40\n", "row 2, column fuel.*no unit"),
        ("time,kind,indoor\n2025-12-01 21:30,reading,forty\n", "column indoor"),
        ("time,kind,woken\n2025-12-01 21:30,visit,perhaps\n", "column woken"),
        ("time,kind,minutes\n2025-12-01 21:30,visit,long\n", "column minutes"),
        ("time,kind\n2025-12-01 21:30,visit,1,2\n", "more cells"),
    ],
)
def test_bad_files_are_refused(tmp_path: Path, text: str, told: str) -> None:
    path = tmp_path / "j.csv"
    path.write_text(text)
    with pytest.raises(JournalError, match=told):
        read_csv(path, None)


def test_nights_and_fuel() -> None:
    entries = [
        Entry(AT.replace(day=1, hour=23), LOAD, 20.0, woken=True),
        Entry(AT.replace(day=2, hour=3), "visit", woken=True),  # the same night
        Entry(AT.replace(day=3, hour=2), "visit", woken=True),
        Entry(AT.replace(day=3, hour=6), LOAD, 30.0),
        Entry(AT.replace(day=3, hour=9), CARRIED, 45.0),
    ]
    assert nights_up(entries) == 2
    assert used_kg(entries) == 50.0
    begun = (date(2025, 10, 1), 1000.0)
    assert left_of(entries, begun, date(2025, 12, 2)) == Left(
        980.0, date(2025, 10, 1), 1000.0, 20.0
    )
    counted = [*entries, Entry(AT.replace(day=2, hour=12), PILE, 600.0)]
    assert left_of(counted, begun, date(2025, 12, 4)) == Left(555.0, date(2025, 12, 2), 600.0, 45.0)
    assert left_of(entries, None, date(2025, 12, 4)) is None
