"""Files of kept results: whole to the last bit or made anew, nobody else's to read, the oldest gone first."""

from __future__ import annotations

import errno
import json
import os
import shutil
import stat
import subprocess
import sys
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.records.estimate import Estimate
from rootcase.services import results
from rootcase.services.results import remembered
from tests.services.test_results import bits


@pytest.fixture(autouse=True)
def steady_sources(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever works on the formulas while the tests run does not disturb them."""
    monkeypatch.setattr(results, "sources_digest", lambda package: "these")
    monkeypatch.setattr(results, "_sources_met", lambda: "these")


ESTIMATE = Estimate(0.1, -0.0, float("nan"), float("inf"), 1e-310, 1e300)


def test_sources_that_change_while_they_are_loaded_keep_nothing(tmp_path: Path,
                                                                monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(results, "sources_digest", lambda package: "later")
    assert remembered(tmp_path, Estimate, (), lambda: ESTIMATE) == ESTIMATE
    assert list(tmp_path.iterdir()) == []


def failing() -> Estimate:
    raise AssertionError("it was kept")


def keep(folder: Path, estimate: Estimate = ESTIMATE, *name: object) -> Path:
    """The file this estimate is kept in."""
    before = set(folder.iterdir()) if folder.exists() else set()
    remembered(folder, Estimate, name, lambda: estimate)
    made, = set(folder.iterdir()) - before
    return made


@given(st.builds(Estimate, *[st.floats()] * 6))
def test_a_number_comes_back_to_the_last_bit(estimate: Estimate) -> None:
    written = results._written(estimate)
    back = results._typed(Estimate, json.loads(written))
    assert [np.isnan(x) or x.hex() for x in _numbers(back)] == [np.isnan(x) or x.hex() for x in _numbers(estimate)]


def _numbers(estimate: Estimate) -> list[float]:
    return [getattr(estimate, each.name) for each in fields(estimate)]


@pytest.mark.parametrize("broken", [
    b"", b"\n", b"{}", b"PK\x03\x04 another program's", "half", "flipped", "of another name", "a folder"])
def test_a_file_that_is_not_whole_is_made_anew(tmp_path: Path, broken: bytes | str) -> None:
    file = keep(tmp_path / "results")
    whole = file.read_bytes()
    if broken == "a folder":
        file.unlink()
        file.mkdir()
    elif broken == "of another name":
        shutil.copy(keep(tmp_path / "results", replace(ESTIMATE, mean=2.0), "another"), file)
    elif broken == "flipped":
        file.write_bytes(whole[:-3] + bytes([whole[-3] ^ 1]) + whole[-2:])
    else:
        file.write_bytes(whole[:-5] if isinstance(broken, str) else broken)
    assert bits(remembered(tmp_path / "results", Estimate, (), lambda: ESTIMATE)) == bits(ESTIMATE)
    if broken != "a folder":
        assert file.read_bytes() == whole
        assert bits(remembered(tmp_path / "results", Estimate, (), failing)) == bits(ESTIMATE)
    assert [each for each in (tmp_path / "results").iterdir() if len(each.name) != len(file.name)] == []


def test_kinds_do_not_meet(tmp_path: Path) -> None:
    keep(tmp_path / "results")
    assert remembered(tmp_path / "results", int, (), lambda: 5) == 5


def test_a_folder_that_cannot_be_is_no_error(tmp_path: Path) -> None:
    (tmp_path / "closed").write_text("in the way")
    for folder in (tmp_path / "closed", tmp_path / "closed" / "results"):
        assert remembered(folder, Estimate, (), lambda: ESTIMATE) is ESTIMATE


def test_a_folder_that_may_not_be_written_is_read_all_the_same(tmp_path: Path,
                                                               monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(**_: object) -> None:  # rights do not stop root
        raise PermissionError(errno.EACCES, "no")

    keep(tmp_path / "results")
    monkeypatch.setattr(results, "mkstemp", refuse)
    assert bits(remembered(tmp_path / "results", Estimate, (), failing)) == bits(ESTIMATE)
    assert remembered(tmp_path / "results", Estimate, ("another",), lambda: ESTIMATE) is ESTIMATE


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(part: str, path: Path) -> None:
        raise OSError(errno.ENOSPC, "no space")

    monkeypatch.setattr(os, "replace", full)
    assert remembered(tmp_path / "results", Estimate, (), lambda: ESTIMATE) is ESTIMATE
    assert list((tmp_path / "results").iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="no such rights")
def test_nobody_else_reads_it(tmp_path: Path) -> None:
    file = keep(tmp_path / "results")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


def test_the_oldest_go_when_there_are_too_many(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    files = [keep(tmp_path, ESTIMATE, number) for number in range(6)]
    for age, file in enumerate(reversed(files)):  # file 0 is the oldest
        os.utime(file, ns=(1, 10**9 * (100 - age)))
    size = files[0].stat().st_size
    monkeypatch.setattr(results, "MOST_BYTES", 4 * size)
    newest = keep(tmp_path, ESTIMATE, "newest")
    assert {newest, *files[3:]} == set(tmp_path.iterdir())


WRITER = """
import sys
from pathlib import Path
from rootcase.records.estimate import Estimate
from rootcase.services import results
results.MOST_BYTES = 1000
results.sources_digest = results.cache(results.sources_digest)
for turn in range(400):
    number = float(turn % 9)
    expected = Estimate(*[number] * 6)
    assert results.remembered(Path(sys.argv[1]), Estimate, (number,), lambda: expected) == expected
"""


def test_two_programs_write_at_once(tmp_path: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(results.PACKAGE.parent)}
    both = [subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path)], stderr=subprocess.PIPE, env=environment)
            for _ in range(2)]
    assert [(each.communicate()[1], each.returncode) for each in both] == [(b"", 0)] * 2
    assert {len(file.name) for file in tmp_path.iterdir()} == {64}
    for number in range(9):
        expected = Estimate(*[float(number)] * 6)
        assert remembered(tmp_path, Estimate, (float(number),), lambda: expected) == expected  # noqa: B023


def test_what_has_no_way_back_is_told(tmp_path: Path) -> None:
    def odd() -> Any:
        return replace(ESTIMATE, mean={1.0})

    with pytest.raises(TypeError, match="a result cannot hold a set"):
        remembered(tmp_path, Estimate, (), odd)
