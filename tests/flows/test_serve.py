"""The app as a stranger starts it: it opens on the invented fieldbook, says where, and ends at Ctrl-C."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

import pytest

from rootcase.fieldbook.fieldbook import open_fieldbook

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C reaches a child of a test otherwise on Windows")


@contextmanager
def served(home: Path, *arguments: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    env = os.environ | {"HOME": str(home), "XDG_DATA_HOME": str(home / "data"), "XDG_CACHE_HOME": str(home / "cache"),
                        "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen([sys.executable, "-m", "rootcase.cli", "serve", *arguments], env=env, text=True,
                          stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        try:
            assert process.stdout is not None
            yield process, process.stdout.readline()
        finally:
            process.kill()


def test_it_opens_and_ends(tmp_path: Path) -> None:
    with served(tmp_path, "--port", "0") as (process, first):
        address = re.search(r"http://127\.0\.0\.1:\d+/", first)
        assert address, process.stderr.read() if process.stderr else ""
        assert process.stdout is not None
        assert process.stdout.readline() == "It shows invented data.\n"
        assert "/first-run?key=" in process.stdout.readline()
        with urlopen(address[0], timeout=60) as answer:
            assert answer.status == 200
            page = answer.read().decode()
        assert "This is rootcase" in page
        assert "are invented" in page
        process.send_signal(signal.SIGINT)
        told, wrong = process.communicate(timeout=60)
    assert (process.returncode, wrong) == (0, "")
    assert told.strip() == "Ended."
    assert not (tmp_path / "data" / "rootcase" / "fieldbook.sqlite").exists(), "the person's own is not made by looking"


def test_the_own_one_says_how_to_see_the_demonstration(tmp_path: Path) -> None:
    with open_fieldbook(tmp_path / "own.sqlite"):
        pass
    with served(tmp_path, "--port", "0", "--fieldbook", str(tmp_path / "own.sqlite")) as (process, _):
        assert process.stdout is not None
        assert "add --demo" in process.stdout.readline()


def test_the_first_page_takes_no_compiler_along(tmp_path: Path) -> None:
    """It takes two seconds of everybody's first look."""
    looked = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from fastapi.testclient import TestClient
from rootcase.services.demo import demo_fieldbook
from rootcase.web.app import create_app
from rootcase.web.desk import Desk
folder = Path(sys.argv[1])
demo_fieldbook(folder / "demo.sqlite")
app = create_app(Desk(folder / "demo.sqlite", lambda: datetime.now(UTC), folder, demo=True))
assert TestClient(app, base_url="http://127.0.0.1").get("/").status_code == 200
print("numba" in sys.modules)
"""
    done = subprocess.run([sys.executable, "-c", looked, str(tmp_path)], check=True, capture_output=True, text=True)
    assert done.stdout == "False\n"


def test_a_taken_port_is_told(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        with served(tmp_path, "--port", str(port)) as (process, _):
            _, wrong = process.communicate(timeout=60)
    assert process.returncode == 3
    assert wrong.count("\n") == 1
    assert "another with --port" in wrong
