"""rootcase apply week, give, move, replan."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli import options
from rootcase.cli.apply import apply
from rootcase.cli.applying import notice, week
from rootcase.fieldbook import fieldbook
from rootcase.ground.errors import RootcaseError
from tests.services.week_told import NOW, a_week


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    found = a_week(tmp_path)
    monkeypatch.setattr(fieldbook, "open_fieldbook", partial(fieldbook.open_fieldbook, now=lambda: NOW))
    for module in (options, week, notice):
        monkeypatch.setattr(module, "OWN_RESULTS", tmp_path / "results")
    return found


def run(file: Path, *words: str) -> Result:
    return CliRunner().invoke(apply, [*words, "--fieldbook", str(file)])


def said(file: Path, *words: str) -> str:
    done = run(file, *words)
    assert done.exit_code == 0, (words, done.output, done.exception)
    return " ".join(done.output.split())


def test_a_week_is_planned_given_moved_and_planned_anew(file: Path) -> None:
    lines = said(file, "week", "--units", "us")
    assert "Monday, 2 May 2016: crew 1 (proposed)" in lines
    assert "Fill at yard: extract" in lines
    assert "mulch at oak 4" in lines
    assert "air tillage" in lines
    assert "nobody told a locate number that holds then" in lines
    assert json.loads(run(file, "week", "--json").output)["rounds"]
    pdf = file.parent / "list.pdf"
    assert "wood chips: 5.23 yd³ (4 m³)" in said(file, "shopping", "--out", str(pdf))
    assert pdf.read_bytes().startswith(b"%PDF")
    assert json.loads(run(file, "shopping", "--json").output)["needs"]
    for what in ("day", "sheet"):
        said(file, what, "2016-05-02", "crew 1", "--out", str(pdf), "--units", "metric")
        assert pdf.read_bytes().startswith(b"%PDF")
    assert "Compost extract: at oak 4" in said(file, "notice", "2016-05-02", "Alder Bank", "--out", str(pdf))
    no_folder = run(file, "day", "2016-05-02", "crew 1", "--out", str(file.parent / "none" / "day.pdf"))
    assert no_folder.exit_code == 2
    refused = run(file, "give", "2016-05-02", "crew 1")
    assert isinstance(refused.exception, RootcaseError)
    assert "given to crew 1" in said(file, "give", "2016-05-02", "crew 1", "--by", "rs")
    assert "(given by rs)" in said(file, "week")
    moved = said(file, "move", "2016-05-02", "crew 1", "1", "--to-day", "2016-05-03", "--by", "rs")
    assert "Tuesday, 3 May 2016: crew 1 (arranged by hand, not given yet)" in moved
    rest = said(file, "replan", "--give", "--by", "rs")
    assert "(given by rs" in rest or "proposed" in rest
    no_round = run(file, "give", "2016-05-08", "crew 9", "--by", "rs")
    assert "there is no such round" in str(no_round.exception)
