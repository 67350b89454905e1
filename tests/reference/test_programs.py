"""The kept figures are what the programs say, their versions those of the locks, their sources and licences named."""

from __future__ import annotations

import re
from importlib.metadata import version
from pathlib import Path

import pytest

from tests.reference.programs import FIGURES, MAKERS, installed, read

LOCKS = Path(__file__).parents[2] / "locks"


def told() -> dict[str, list[str]]:
    rows = (FIGURES / "README.md").read_text(encoding="utf-8").splitlines()
    cells = [row.strip("| ").split(" | ") for row in rows if row.startswith("| ")]
    return {row[0]: row for row in cells if row[0].endswith(".csv")}


@pytest.mark.parametrize("file", installed())
def test_the_program_itself_still_says_so(file: str) -> None:
    assert list(MAKERS[file][1]()) == read(file)


@pytest.mark.parametrize("file", MAKERS)
def test_the_version_kept_is_the_version_locked(file: str) -> None:
    name, kept = told()[file][2].split()
    locked = re.search(rf"^{name}==(\S+)", (LOCKS / "test.lock").read_text() + (LOCKS / "bench.lock").read_text(),
                       re.MULTILINE)
    assert name == MAKERS[file][0]
    assert locked is not None
    assert kept == locked[1]
    if file in installed():
        assert kept == version(name)


def test_each_file_has_a_source_and_a_licence() -> None:
    rows = told()
    assert rows.keys() == MAKERS.keys() == {file.name for file in FIGURES.glob("*.csv")}
    assert {len(row) for row in rows.values()} == {5}
    assert all("CC0-1.0" in row[4] for row in rows.values())
