"""The locks: every package by version and hash, no address, nothing that pyproject asks for left out."""

from __future__ import annotations

import re
import runpy
import tomllib
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
PROJECT = tomllib.loads((CHECKOUT / "pyproject.toml").read_text())
GROUPS = {"run": [], "test": ["test", "lint"], "bench": ["bench"]}
LOCKS = sorted((CHECKOUT / "locks").glob("*.lock"))


def name_of(requirement: str) -> str:
    return re.sub(r"[-_.]+", "-", re.match(r"[\w.-]+", requirement).group()).lower()  # type: ignore[union-attr]


def locked(lock: str) -> dict[str, str]:
    """Version by name."""
    text = (CHECKOUT / "locks" / f"{lock}.lock").read_text()
    return {name_of(name): version for name, version in re.findall(r"^([\w.-]+)==(\S+)", text, re.MULTILINE)}


def test_each_lock_is_looked_at() -> None:
    assert {lock.stem for lock in LOCKS} == {*GROUPS, "installer"}


@pytest.mark.parametrize("lock", LOCKS, ids=lambda lock: lock.stem)
def test_version_and_hash_and_no_address(lock: Path) -> None:
    text = lock.read_text()
    assert "://" not in text
    for requirement in text.replace("\\\n", " ").splitlines():
        assert re.fullmatch(r"[\w.-]+==\S+( ; [^-]+?)?\s+(--hash=sha256:[0-9a-f]{64}\s*)+", requirement), requirement


@pytest.mark.parametrize("lock", GROUPS)
def test_all_that_pyproject_asks_for_is_locked(lock: str) -> None:
    asked = [*PROJECT["project"]["dependencies"], *(r for g in GROUPS[lock] for r in PROJECT["dependency-groups"][g])]
    assert {name_of(requirement) for requirement in asked} <= locked(lock).keys()


@pytest.mark.parametrize("lock", ["test", "bench"])
def test_the_larger_locks_hold_the_versions_a_user_gets(lock: str) -> None:
    """They are installed over the first one, which must stay what it was."""
    assert locked("run").items() <= locked(lock).items()


def test_run_knows_the_pythons_of_pyproject() -> None:
    run = runpy.run_path(str(CHECKOUT / "run"))
    oldest, newest = run["OLDEST"], run["NEWEST"]
    assert PROJECT["project"]["requires-python"] == f">=3.{oldest[1]},<3.{newest[1] + 1}"
