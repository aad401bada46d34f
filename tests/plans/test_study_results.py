"""A study's results: the seasons they stand for, whole parts, nothing lost and nothing twice."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from greenhouse_sim.errors import GreenhouseError, ScenarioError
from greenhouse_sim.plans import design_of_study, study_run
from greenhouse_sim.plans.design_of_study import Design
from greenhouse_sim.plans.ledgers import calendar_key
from greenhouse_sim.plans.study import read_study
from greenhouse_sim.plans.study_out import MANIFEST, Results, study_key
from greenhouse_sim.plans.study_part import Runner
from greenhouse_sim.plans.study_run import run_study
from greenhouse_sim.routine.calendar import calendar
from greenhouse_sim.season.run import run_seasons
from study_at_hand import SEASONS, STUDY, rows_of, write_study


@pytest.fixture(autouse=True)
def small_parts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(design_of_study, "ROWS", 20)


def opened(tmp_path: Path, text: str = STUDY) -> Results:
    study = read_study(write_study(tmp_path, text))
    results = Results(tmp_path / "r.parquet", Design(study), study_key(study))
    results.open()
    return results


def test_rows_are_the_seasons_that_run_gives(tmp_path: Path) -> None:
    """The last farm of the second place, every number, against the way of `run`."""
    design = Design(read_study(write_study(tmp_path)))
    part = list(design.parts())[-1]
    rows = [row for row in rows_of(Runner(design, "compiled").columns(part)) if row["point"] == 39]
    point = design.point(39)
    scenario = point.place.scenario(point.changes)
    assert scenario.fuel.moisture == 0.25
    assert scenario.greenhouse.tightness == "leaky"
    theirs = run_seasons(scenario, design.study.heaters, point.place.winters, engine="compiled")
    assert len(rows) == len(theirs) == 2
    for row, season in zip(rows, theirs, strict=True):
        for key, value in season.ledger.items():
            if key not in ("site", "fuel_by_month", "cold_hours_by_cause", "labour"):
                assert row[key] == value, key
        assert row["labour_loading"] == season.ledger["labour"]["loading"]
        assert row["greenhouse.tightness"] == "leaky"
        assert row["place"] == "Selkie Sound"


def test_whatever_a_part_ran_before_its_rows_are_the_same(tmp_path: Path) -> None:
    """A worker that remembers another house gives the answer of one that remembers none."""
    design = Design(read_study(write_study(tmp_path)))
    parts = list(design.parts())
    busy = Runner(design, "compiled")
    for part in (parts[0], parts[-1], parts[0], parts[2]):
        ours, theirs = busy.columns(part), Runner(design, "compiled").columns(part)
        assert rows_of(ours) == rows_of(theirs)


def test_farms_that_cannot_be_are_named(tmp_path: Path) -> None:
    """Each value is possible, together they are not: a side wall over the ridge."""
    text = STUDY.replace(
        "fuel.moisture = [0.15, 0.25]",
        'greenhouse.sidewall = ["5 ft", "9 ft"]\ngreenhouse.ridge = ["8 ft", "13 ft"]',
    )
    design = Design(read_study(write_study(tmp_path, text)))
    with pytest.raises(ScenarioError, match=r"greenhouse.sidewall = 9.0 ft.*do not go together"):
        for part in design.parts():
            Runner(design, "compiled").columns(part)


class TestParquet:
    """With pyarrow."""

    @pytest.fixture(autouse=True)
    def arrow(self) -> None:
        pytest.importorskip("pyarrow")

    def table(self, results: Results) -> list[dict[str, object]]:
        import pyarrow.parquet as pq

        return pq.read_table(results.folder).to_pylist()

    def test_one_table_of_every_season(self, tmp_path: Path) -> None:
        import pandas as pd

        results = opened(tmp_path)
        assert run_study(results, workers=1) == SEASONS
        table = pd.read_parquet(results.folder)
        assert len(table) == SEASONS
        keys = ["point", "heater", "winter"]
        assert not table.duplicated(keys).any()
        assert table["cords"].isna().sum() == SEASONS // 2
        assert table["routine.margin"].between(1.0, 1.4).all()
        assert sorted(table["place"].unique()) == ["Selkie Sound", "Tamarack Flats"]
        leaky = table[table["greenhouse.tightness"] == "leaky"]
        tight = table[table["greenhouse.tightness"] == "tight"]
        assert leaky["heat_need_kWh"].mean() > tight["heat_need_kWh"].mean()

    def test_processes_write_the_same_parts(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(study_run, "WORTH_SEASONS", 0)
        one = opened(tmp_path)
        run_study(one, workers=1)
        first = {path.name: path.read_bytes() for path in one.folder.glob("part-*")}
        for path in one.folder.glob("part-*"):
            path.unlink()
        again = opened(tmp_path)
        counted: list[int] = []
        run_study(again, workers=2, advance=counted.append)
        assert {path.name: path.read_bytes() for path in again.folder.glob("part-*")} == first
        assert sum(counted) == SEASONS

    def test_goes_on_where_it_was_cut(self, tmp_path: Path) -> None:
        """A part missing, one cut short, one half written: those are run, no other is touched."""
        results = opened(tmp_path)
        run_study(results, workers=1)
        whole = self.table(results)
        paths = sorted(results.folder.glob("part-*"))
        paths[1].unlink()
        os.truncate(paths[2], paths[2].stat().st_size - 3)
        (results.folder / ".part-0000004-x.parquet").write_bytes(b"PAR1 half")
        kept = paths[0].stat().st_mtime_ns
        again = opened(tmp_path)
        parts = list(again.design.parts())
        assert list(again.missing()) == parts[1:3]
        assert run_study(again, workers=1) == sum(map(again.design.seasons_of, parts[1:3]))
        assert self.table(again) == whole
        assert paths[0].stat().st_mtime_ns == kept
        assert not list(again.folder.glob(".part-*"))

    def test_a_full_disk_leaves_no_half_part(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        results = opened(tmp_path)

        def full(self: Path, data: bytes) -> int:
            with self.open("wb") as stream:
                stream.write(data[:50])
            raise OSError(28, "No space left on device", str(self))

        with monkeypatch.context() as patched:
            patched.setattr(Path, "write_bytes", full)
            with pytest.raises(OSError, match="No space left"):
                run_study(results, workers=1)
        assert [path.name for path in results.folder.iterdir()] == [MANIFEST]
        assert run_study(opened(tmp_path), workers=1) == SEASONS


def test_another_study_is_refused(tmp_path: Path) -> None:
    opened(tmp_path)
    for change in (("0.25]", "0.26]"), ("seed = 7", "seed = 8"), ("draws = 5", "draws = 6"),
                   ("pellet stove", "ideal"), ("flats_severe", "flats_mild")):  # fmt: skip
        with pytest.raises(GreenhouseError, match="holds the results of another study"):
            opened(tmp_path, STUDY.replace(*change))
    opened(tmp_path)


def test_a_changed_farm_is_another_study(tmp_path: Path) -> None:
    study = read_study(write_study(tmp_path))
    farm = tmp_path / "farm.toml"
    farm.write_text(farm.read_text().replace("42 degF", "43 degF"))
    assert study_key(read_study(study.file)) != study_key(study)


def test_folders_that_will_not_do(tmp_path: Path) -> None:
    study = read_study(write_study(tmp_path))
    design, key = Design(study), study_key(study)
    taken = tmp_path / "taken"
    taken.mkdir()
    (taken / "letter.txt").write_text("mine")
    with pytest.raises(GreenhouseError, match="other things in it; name a new folder"):
        Results(taken, design, key).open()
    with pytest.raises(GreenhouseError, match="is a file; name a new folder"):
        Results(taken / "letter.txt", design, key).open()
    with pytest.raises(GreenhouseError, match=r"cannot be written to .*; name another folder"):
        Results(taken / "letter.txt" / "r.parquet", design, key).open()
    with pytest.raises(GreenhouseError, match=r"cannot be written to .*; name another folder"):
        Results(Path("/proc/none/r.parquet"), design, key).open()
    assert [path.name for path in taken.iterdir()] == ["letter.txt"]


def test_every_hour_of_the_routine_is_in_the_calendars_key(tmp_path: Path) -> None:
    """What the key leaves out changes no calendar; what it holds does."""
    farm = read_study(write_study(tmp_path)).places[0].scenario({})
    weather = read_study(write_study(tmp_path)).places[0].winters[0]

    def days(**changes: object) -> tuple[str, list[list[float]]]:
        other = farm.with_(**{f"routine.{key}": value for key, value in changes.items()})
        found = calendar(other.routine, (), weather.start, weather.hours)
        return calendar_key(other), [array.tolist() for array in found]

    same = days(
        margin=1.4, load_for="6 h", gets_up_below="never", looks_ahead="habit", stays_by="1 h"
    )
    assert same == days()
    for change in ({"up": "07:00"}, {"bed": "23:00"}, {"chores": ["08:00"]}):
        key, found = days(**change)
        assert key != days()[0]
        assert found != days()[1]
