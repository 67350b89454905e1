"""The whole check runs every step, and one that fails makes it fail."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
STEPS = ["lint", "test --strict"]


@pytest.mark.parametrize(("fails", "status"), [("nothing", 0), ("lint", 1), ("test", 1)])
def test_a_step_that_fails_stops_no_other_and_is_not_forgotten(tmp_path: Path, fails: str, status: int) -> None:
    (tmp_path / ".ci").mkdir()
    shutil.copy2(CHECKOUT / ".ci" / "run", tmp_path / ".ci" / "run")
    stand_in = tmp_path / "run"
    stand_in.write_text(f'#!/bin/sh\necho "step $*"\n[ "$1" != {fails} ]\n')
    stand_in.chmod(0o755)
    done = subprocess.run([tmp_path / ".ci" / "run"], cwd="/", env={"PATH": os.environ["PATH"]}, capture_output=True,
                          text=True, check=False)
    assert (done.returncode, done.stderr) == (status, "")
    assert [line.removeprefix("step ") for line in done.stdout.splitlines() if line.startswith("step ")] == STEPS
