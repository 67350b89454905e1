"""One invented desk for all tests of the app, its casework made once and kept."""

from __future__ import annotations

import pickle
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from fcntl import LOCK_EX, flock
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.errors import RootcaseError
from rootcase.services.demo import DAY, SEED, demo_fieldbook
from rootcase.services.demo_trials import GROUNDS as TRIAL_GROUNDS
from rootcase.services.kept import make_casework
from rootcase.services.run import Run, silent
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from rootcase.web.photo_work import make_ready, ready_mark

NOW = datetime(2016, 1, 15, 12, 0, tzinfo=UTC)
DRAWS = 100
BEGIN = Desk.begin
"""As it is: both folders of tests that know this fixture have one of their own."""


@pytest.fixture(scope="session")
def desk_results(pytestconfig: pytest.Config, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program's own memory of what was computed, kept between runs of the tests: a changed source is seen there."""
    cache = getattr(pytestconfig, "cache", None)  # a checkout that nobody may write to has none
    return cache.mkdir("desk-results") if cache else tmp_path_factory.mktemp("desk-results")


@pytest.fixture(scope="session", autouse=True)
def begins() -> Iterator[Callable[[Desk], None]]:
    """Desk.begin as it is; the desks of tests do without, or each would compute beside all tests what none looks at."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(Desk, "begin", lambda desk: None)
        yield BEGIN


@pytest.fixture(scope="session")
def desk_folder(tmp_path_factory: pytest.TempPathFactory, desk_results: Path) -> Path:
    folder = tmp_path_factory.mktemp("desk")
    demo_fieldbook(folder / "demo.sqlite")
    think(folder / "demo.sqlite", desk_results)
    if (mark := ready_mark()) is not None and not mark.exists():
        make_ready(silent)  # else the first look at a photo is sent to a page that waits
    return folder


@contextmanager
def opened(path: Path, results: Path) -> Iterator[TestClient]:
    """A client of a demo desk on this file."""
    desk = Desk(path, lambda: NOW, results, demo=True, own_path=path.with_name("own.sqlite"), first_run_key="first",
                draws=DRAWS)
    desk.jobs.call = at_once  # type: ignore[method-assign]
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        yield client


def at_once(function: Callable[..., Any], *arguments: Any) -> Any:
    """Jobs.call without the process, which takes seconds to begin; what could not be sent there breaks here too."""
    function, arguments = pickle.loads(pickle.dumps((function, arguments)))
    try:
        return pickle.loads(pickle.dumps(function(*arguments)))
    except RootcaseError as error:
        raise pickle.loads(pickle.dumps(error)) from None


def think(path: Path, results: Path) -> None:
    """Have the casework of every property made and kept, from what was computed before where that is there.

    Grounds of the trials are left unthought: nobody read their soil, and many trees take long.
    """
    with (results / "computing").open("w") as turn, open_fieldbook(path) as book:
        flock(turn, LOCK_EX)  # of several processes one computes, the others find what it kept
        for ground in (each for each in book.properties() if each.name.lower().replace(" ", "-") not in TRIAL_GROUNDS):
            make_casework(book, ground, Run(DAY, DRAWS, SEED, 2, results=results))


@pytest.fixture(scope="session")
def desk_app(desk_folder: Path, desk_results: Path) -> Iterator[TestClient]:
    """A client of the demo desk; whoever changes something in it makes a desk of their own."""
    with opened(desk_folder / "demo.sqlite", desk_results) as client:
        yield client


@pytest.fixture(scope="module")
def app_to_change(tmp_path_factory: pytest.TempPathFactory, desk_folder: Path, desk_results: Path) -> Iterator[
        TestClient]:
    """A client of a copy of the demo desk that a file of tests has to itself."""
    path = tmp_path_factory.mktemp("changed") / "demo.sqlite"
    shutil.copy(desk_folder / "demo.sqlite", path)
    think(path, desk_results)
    with opened(path, desk_results) as client:
        yield client
