"""One invented desk for all tests of the app, its casework made once and kept."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from rootcase.services.demo import demo_fieldbook
from rootcase.web.app import create_app
from rootcase.web.desk import Desk

NOW = datetime(2016, 1, 15, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def desk_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("desk")
    demo_fieldbook(folder / "demo.sqlite")
    return folder


@pytest.fixture(scope="session")
def desk_app(desk_folder: Path) -> Iterator[TestClient]:
    """A client of the demo desk; whoever changes something in it makes a desk of their own."""
    desk = Desk(desk_folder / "demo.sqlite", lambda: NOW, desk_folder / "results", demo=True,
                own_path=desk_folder / "own.sqlite", first_run_key="first")
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        yield client
