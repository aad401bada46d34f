"""``greenhouse-sim study`` as a user runs it: killed and taken up, and on a cluster."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

import pytest

from asked import Ask
from greenhouse_sim.season.many import cores
from study_at_hand import SEASONS, STUDY, write_study

MANY = STUDY.replace("draws = 5", "draws = 200")
"""4,800 seasons in all: more than are run while the test looks."""
SOME = STUDY.replace("draws = 5", "draws = 100")
PATIENCE_S = 240.0
needs_arrow = pytest.mark.skipif(find_spec("pyarrow") is None, reason="needs pyarrow")
needs_cluster = pytest.mark.skipif(
    find_spec("pyarrow") is None or find_spec("distributed") is None,
    reason="needs pyarrow and dask.distributed",
)


def command(file: Path, out: Path, *more: str) -> list[str]:
    return [sys.executable, "-m", "greenhouse_sim", "study", str(file), "--out", str(out), *more]


def await_a_part(out: Path, process: subprocess.Popen) -> None:
    """Until a running study has written its first part."""
    until = time.monotonic() + PATIENCE_S
    while not list(out.glob("part-*")):
        assert process.poll() is None, "it ended"
        assert time.monotonic() < until, "no parts in time"
        time.sleep(0.05)


def rows(out: Path) -> list[tuple[object, ...]]:
    """Which seasons stand in a study's results."""
    import pyarrow.parquet as pq

    table = pq.read_table(out, columns=["point", "heater", "winter"])
    return list(zip(*(table[name].to_pylist() for name in table.column_names), strict=True))


@needs_arrow
def test_study_and_its_summary(ask: Ask, tmp_path: Path) -> None:
    out = tmp_path / "r.parquet"
    said = ask("study", write_study(tmp_path), "--out", out)
    assert said.status == 0, said.err
    assert f"{SEASONS} seasons: the middle" in said.out
    assert "wood stove, large" in said.out
    assert "40 farms, 120 seasons in 2 parts" in said.err
    again = ask("study", tmp_path / "study.toml", "--out", out, "--json")
    assert again.status == 0, again.err
    assert json.loads(again.out)["seasons"] == SEASONS
    assert "120 seasons are there already" in again.err


def children(process: int) -> list[str]:
    """Ids of the processes that a process has started (Linux)."""
    return Path(f"/proc/{process}/task/{process}/children").read_text().split()


@needs_arrow
@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="looks for workers in /proc")
@pytest.mark.skipif(cores() < 2, reason="one core runs a study without workers")
def test_killed_and_taken_up(tmp_path: Path) -> None:
    """SIGKILL in the middle: the same command again completes it, nothing lost, nothing twice."""
    file, out = write_study(tmp_path, MANY), tmp_path / "r.parquet"
    begun = subprocess.Popen(
        command(file, out), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    await_a_part(out, begun)
    workers = children(begun.pid)
    assert len(workers) >= cores()
    begun.send_signal(signal.SIGKILL)
    begun.wait()
    until = time.monotonic() + 30.0
    while any(Path(f"/proc/{worker}").exists() for worker in workers):
        assert time.monotonic() < until, "workers outlive their study"
        time.sleep(0.1)
    kept = {path: path.read_bytes() for path in out.glob("part-*")}
    ran = subprocess.run(command(file, out, "--json"), capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    assert "are there already" in ran.stderr
    found = rows(out)
    assert len(found) == len(set(found)) == 40 * SEASONS
    assert all(path.read_bytes() == data for path, data in kept.items())


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen]]]:
    """A scheduler and two workers, as processes of their own."""
    where = tmp_path / "scheduler.json"
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    base = [sys.executable, "-m", "distributed.cli"]
    at = ["--host", "127.0.0.1"]
    scheduler = [f"{base[2]}.dask_scheduler", *at, "--port", "0", "--no-dashboard",
                 "--scheduler-file", str(where)]  # fmt: skip
    worker = [f"{base[2]}.dask_worker", *at, "--no-nanny", "--nthreads", "1", "--no-dashboard",
              "--scheduler-file", str(where), "--local-directory", str(tmp_path)]  # fmt: skip
    started = [subprocess.Popen([*base[:2], *scheduler], **quiet)]  # type: ignore[call-overload]
    try:
        until = time.monotonic() + 60.0
        while not where.exists():
            assert time.monotonic() < until, "no scheduler in time"
            time.sleep(0.05)
        started += [subprocess.Popen([*base[:2], *worker], **quiet) for _ in range(2)]  # type: ignore[call-overload]
        yield json.loads(where.read_text())["address"], started[1:]
    finally:
        for one in started:
            one.kill()
            one.wait()


@needs_cluster
def test_a_worker_of_the_cluster_is_killed(
    tmp_path: Path, cluster: tuple[str, list[subprocess.Popen]]
) -> None:
    """Two workers, one killed after the first part: the other does the rest."""
    address, workers = cluster
    file, out = write_study(tmp_path, SOME), tmp_path / "r.parquet"
    with subprocess.Popen(
        command(file, out, "--json", "--scheduler", address),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    ) as begun:  # fmt: skip
        try:
            await_a_part(out, begun)
            workers[0].kill()
            said, noise = begun.communicate(timeout=PATIENCE_S)
        finally:
            begun.kill()
    assert begun.returncode == 0, noise
    assert json.loads(said)["seasons"] == 20 * SEASONS
    found = rows(out)
    assert len(found) == len(set(found)) == 20 * SEASONS
    assert workers[1].poll() is None


@needs_cluster
def test_no_scheduler_there(ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("greenhouse_sim.plans.study_cluster.CONNECT_S", 1)
    said = ask("study", write_study(tmp_path), "--out", tmp_path / "r.parquet",
               "--scheduler", "tcp://127.0.0.1:1")  # fmt: skip
    assert said.status == 2
    assert "no scheduler answers" in said.err


@pytest.mark.parametrize(
    ("missing", "more", "extra"),
    [("pyarrow", (), "study"), ("distributed", ("--scheduler", "tcp://127.0.0.1:1"), "cluster")],
)
def test_without_its_libraries(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, missing: str, more: tuple[str, ...],
    extra: str,
) -> None:  # fmt: skip
    if missing == "distributed":
        pytest.importorskip("pyarrow")
    monkeypatch.setitem(sys.modules, missing, None)
    said = ask("study", write_study(tmp_path), "--out", tmp_path / "r.parquet", *more)
    assert said.status == 2
    assert f"greenhouse-sim[{extra}]" in said.err
    assert "Traceback" not in said.err


@needs_arrow
def test_bad_input_is_told_in_one_message(ask: Ask, tmp_path: Path) -> None:
    file = write_study(tmp_path, STUDY.replace("fuel.moisture", "fuel.moistre"))
    said = ask("study", file, "--out", tmp_path / "r.parquet")
    assert said.status == 2
    assert "study.toml: [grid] fuel.moistre" in said.err
    assert "did you mean moisture" in said.err
    assert not (tmp_path / "r.parquet").exists()


@needs_arrow
@pytest.mark.skipif(os.name != "posix", reason="needs permissions")
def test_unwritable_folder(ask: Ask, tmp_path: Path) -> None:
    said = ask("study", write_study(tmp_path), "--out", "/proc/1/r.parquet")
    assert said.status == 2
    assert "cannot be written to" in said.err
