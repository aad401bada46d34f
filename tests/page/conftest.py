"""One server for all tests of the page."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from page_at_hand import Client, Pairs, served

pytest.importorskip("flask", reason="the page needs its extra packages: greenhouse-sim[page]")
pytest.importorskip("tomlkit", reason="the page needs its extra packages: greenhouse-sim[page]")
pytest.importorskip("waitress", reason="the page needs its extra packages: greenhouse-sim[page]")


@pytest.fixture(scope="session")
def client(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    """The page, served from an empty folder."""
    with served(tmp_path_factory.mktemp("kitchen")) as one:
        yield one


@pytest.fixture(scope="session")
def short(client: Client) -> Pairs:
    """The demo farm through a month of one winter."""
    return client.filled(
        site__season__start="12-20", site__season__end="01-20",
        **{"site.weather": ["tamarack_flats_typical.csv"]},
    )  # fmt: skip
