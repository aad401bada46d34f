"""Run the parts of a study on the workers of a dask.distributed scheduler."""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Iterator
from typing import Any

from greenhouse_sim.errors import GreenhouseError
from greenhouse_sim.plans.design_of_study import Design, Part
from greenhouse_sim.plans.study_part import run_part
from greenhouse_sim.season.many import Tell, engine_name

CONNECT_S = 10
LEAST_AHEAD = 4


def on_cluster(
    address: str, key: str, design: Design, todo: Iterator[Part], tell: Tell | None = None
) -> Iterator[tuple[Part, bytes]]:
    """Run parts on a cluster; they come as they are done.

    A part whose worker dies is given to another by the scheduler. The study itself travels as a
    task of the graph, so that a worker that has lost it can be given it again.

    Raises
    ------
    GreenhouseError
        No dask.distributed here, no scheduler there, no workers, or a part that no worker lives
        through.
    """
    distributed = _library()
    client = _client(distributed, address)
    try:
        threads = sum(client.nthreads().values())
        if threads == 0 and tell is not None:
            tell(f"{address} has no workers yet; waiting for one ...")
        design_there = _sent(client, design, key)
        engine = engine_name("auto", design.seasons)
        under_way: dict[Any, Part] = {}

        def submit(part: Part) -> Any:
            future = client.submit(
                run_part, key, design_there, engine, part,
                key=f"study-part-{key}-{part.number}", retries=1,
            )  # fmt: skip
            under_way[future] = part
            return future

        first = list(itertools.islice(todo, max(2 * threads, LEAST_AHEAD)))
        done = distributed.as_completed([submit(part) for part in first], loop=client.loop)
        for future in done:
            part = under_way.pop(future)
            yield part, _result(distributed, future, address)
            for following in itertools.islice(todo, 1):
                done.add(submit(following))
    finally:
        client.close()


def _sent(client: Any, design: Design, key: str) -> Any:
    """The study on its way to a worker; some megabytes of weather, sent once, are no mistake."""
    with warnings.catch_warnings():
        warnings.filterwarnings("ignore", "Sending large graph", UserWarning)
        return client.submit(_unchanged, design, key=f"study-{key}")


def _unchanged(design: Design) -> Design:
    return design


def _library() -> Any:
    try:
        import distributed
    except ImportError:
        raise GreenhouseError(
            "--scheduler needs dask.distributed; install it with "
            '"pip install greenhouse-sim[cluster]"'
        ) from None
    return distributed


def _client(distributed: Any, address: str) -> Any:
    try:
        return distributed.Client(address, timeout=CONNECT_S, set_as_default=False)
    except (OSError, ValueError) as problem:
        raise GreenhouseError(
            f"--scheduler {address}: no scheduler answers ({problem or 'time-out'}); start one "
            'with "dask scheduler" and write the address that it shows, such as tcp://10.0.0.5:8786'
        ) from None


def _result(distributed: Any, future: Any, address: str) -> bytes:
    try:
        return bytes(future.result())
    except distributed.KilledWorker as problem:
        raise GreenhouseError(
            f"--scheduler {address}: a part of the study took down every worker that it was given "
            f"({problem}); give the workers more memory and run the same command again: it goes on "
            "where it stopped"
        ) from None
    except ModuleNotFoundError as problem:
        raise GreenhouseError(
            f"--scheduler {address}: its workers lack {problem.name}; install the same "
            "version of greenhouse-sim[study] on them"
        ) from None
