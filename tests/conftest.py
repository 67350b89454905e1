"""What all tests share: --long, the four shelves, the same examples in every run; pytest's --strict lets none skip."""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Generator, Iterator
from functools import wraps
from importlib.util import find_spec
from pathlib import Path
from threading import Lock

import hypothesis
import pytest

if find_spec("rootcase") is None:
    sys.path.insert(0, str(Path(__file__).parent.parent / "src"))

from rootcase.cli.main import compiled_folder  # once it can be found

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as in rootcase.cli.main: small sums over threads take far longer
# Else a changed loop is tested as it was compiled before: see there.
os.environ.setdefault("NUMBA_CACHE_DIR", compiled_folder())

SHELVES = {
    "published": "figures from the outside world, each with its source",
    "reference": "what another program computes, with its version",
    "property": "truths that hold for any input",
    "pinned": "our own earlier output; notices change, proves nothing",
    "slow": "takes more than a few seconds",
    "full": "only with --long; not skipped otherwise but not there, so that --strict has nothing to tell",
}

# Same examples every time and no clock: a test that fails once in a while is a test nobody believes.
hypothesis.settings.register_profile("default", derandomize=True, deadline=None, database=None, max_examples=25)
hypothesis.settings.register_profile("long", parent=hypothesis.settings.get_profile("default"), max_examples=2000)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="run the expensive checks in full")


def pytest_configure(config: pytest.Config) -> None:
    for shelf, meaning in SHELVES.items():
        config.addinivalue_line("markers", f"{shelf}: {meaning}")
    config.addinivalue_line("markers", "crowded: draws labels on each other on purpose")
    hypothesis.settings.load_profile("long" if config.getoption("--long") else "default")
    config.pluginmanager.register(Skips(config.option.strict))


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """The tests themselves, thousands that stay, are left out when memory is cleared: each clearing took a second."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.freeze()
        gc.enable()


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """A test in a folder named like a shelf stands on that shelf."""
    for item in items:
        for shelf in SHELVES.keys() & set(item.path.parts):
            item.add_marker(shelf)
    if not config.getoption("--long"):
        config.hook.pytest_deselected(items=[item for item in items if item.get_closest_marker("full")])
        items[:] = [item for item in items if not item.get_closest_marker("full")]


@pytest.fixture(scope="session")
def long(request: pytest.FixtureRequest) -> bool:
    """Whether the expensive checks run in full."""
    return bool(request.config.getoption("--long"))


@pytest.fixture(scope="session", autouse=True)
def new_fieldbooks_are_copies(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """One new file goes through the migrations, its bytes go into the others; tests of the store do without."""
    from rootcase.fieldbook.store import open_store, store

    empty, turn, migrate = tmp_path_factory.mktemp("new") / "empty.sqlite", Lock(), store._migrate
    open_store(empty, "own").close()
    assert not Path(f"{empty}-wal").exists()
    made = empty.read_bytes()

    @wraps(migrate)
    def fill_and_migrate(engine: store.Engine, path: Path) -> None:
        with turn:
            if path.stat().st_size == 0 and not Path(f"{path}-wal").exists():
                path.write_bytes(made)
            migrate(engine, path)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(store, "_migrate", fill_and_migrate)
        yield


class Skips:
    """What was skipped, wherever it ran: reports of other processes come by here too."""

    def __init__(self, strict: bool) -> None:
        self.strict, self.found = strict, list[str]()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.skipped and not hasattr(report, "wasxfail"):
            self.found.append(f"{report.nodeid}: {report.longrepr[2]}")

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.skipped:
            self.found.append(f"{report.nodeid}: {report.longrepr[2]}")

    def pytest_sessionfinish(self, session: pytest.Session, exitstatus: int) -> None:
        if self.strict and self.found and exitstatus == pytest.ExitCode.OK:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        if self.strict and self.found:
            terminalreporter.section(f"--strict: {len(self.found)} skipped, so this run has failed", red=True)
            for line in self.found:
                terminalreporter.line(line)
