"""One invented desk for all tests of the app, its casework made once and kept."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from fcntl import LOCK_EX, flock
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.services.demo import DAY, SEED, demo_fieldbook
from rootcase.services.kept import make_casework
from rootcase.services.run import Run
from rootcase.web.app import create_app
from rootcase.web.desk import Desk

NOW = datetime(2016, 1, 15, 12, 0, tzinfo=UTC)
DRAWS = 100


@pytest.fixture(scope="session")
def desk_results(pytestconfig: pytest.Config) -> Path:
    """The program's own memory of what was computed, kept between runs of the tests: a changed source is seen there."""
    assert pytestconfig.cache is not None
    return pytestconfig.cache.mkdir("desk-results")


@pytest.fixture(scope="session")
def desk_folder(tmp_path_factory: pytest.TempPathFactory, desk_results: Path) -> Path:
    folder = tmp_path_factory.mktemp("desk")
    demo_fieldbook(folder / "demo.sqlite")
    with (desk_results / "computing").open("w") as turn, open_fieldbook(folder / "demo.sqlite") as book:
        flock(turn, LOCK_EX)  # of several processes one computes, the others find what it kept
        for ground in book.properties():
            make_casework(book, ground, Run(DAY, DRAWS, SEED, 2, results=desk_results))
    return folder


@pytest.fixture(scope="session")
def desk_app(desk_folder: Path, desk_results: Path) -> Iterator[TestClient]:
    """A client of the demo desk; whoever changes something in it makes a desk of their own."""
    desk = Desk(desk_folder / "demo.sqlite", lambda: NOW, desk_results, demo=True,
                own_path=desk_folder / "own.sqlite", first_run_key="first", draws=DRAWS)
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        yield client
