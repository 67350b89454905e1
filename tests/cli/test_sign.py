"""Signing on the command line: what is needed is asked for in one line, and a correction names the plans it touches."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from rootcase.records.offer import Input
from tests.cli.starting import rootcase
from tests.fieldbook.sheets import SHEET, open_book, write_sheet
from tests.fieldbook.test_signed import DAY, SIGNING


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_sheet(tmp_path_factory.mktemp("sign") / "in", dict(SHEET))


@pytest.fixture
def book(sheet: Path, tmp_path: Path) -> tuple[Path, str]:
    """A fieldbook with a plan signed on the first reading, and the id of that reading."""
    with open_book(tmp_path / "f.sqlite") as found:
        owner = found.import_sheet(sheet).property_id
        first = next(r for r in found.record(owner).readings if r.kind == "dbh")
        rests = Input("reading", first.kind, first.id, first.typed, first.of)
        found.sign(owner, replace(SIGNING, inputs=(rests,)), by="rs", day=DAY)
    return tmp_path / "f.sqlite", first.id


def one_line(said: str) -> str:
    return " ".join(said.split())


@pytest.mark.parametrize(("words", "code", "says"), [
    (["sign"], 2, "Missing option '--by'"),
    (["withdraw", "--by", "rs"], 2, "Missing option '--reason'"),
    (["sign", "--by", "rs", "--lot", "-1"], 2, "0<=x<=2147483648"),
    (["--day", "2016-01-15", "signed"], 2, "options go after the word signed"),
])
def test_wrong_use_is_one_line(words: list[str], code: int, says: str, tmp_path: Path) -> None:
    done = rootcase("prescribe", *words, cwd=tmp_path)
    line, = done.stderr.splitlines()
    assert done.returncode == code
    assert says in line


def test_where_nothing_was_signed_it_says_so(sheet: Path, tmp_path: Path) -> None:
    with open_book(tmp_path / "f.sqlite") as found:
        found.import_sheet(sheet)
    done = rootcase("prescribe", "signed", "--fieldbook", tmp_path / "f.sqlite")
    assert "No plan was ever signed here." in done.stdout
    done = rootcase("prescribe", "withdraw", "--by", "rs", "--reason", "x", "--fieldbook", tmp_path / "f.sqlite")
    assert done.returncode == 3
    assert done.stderr.strip() == (
        "rootcase: no plan of this property stands signed; sign one first")


def test_a_correction_and_a_taking_back_name_the_plan_they_touch(book: tuple[Path, str]) -> None:
    path, reading = book
    done = rootcase("observe", "correct", reading, "18 in", "--reason", "looked again", "--fieldbook", path)
    assert done.returncode == 0, done.stderr
    assert "It stands in a plan. Signed on 20 January 2016 by rs. Mark" in one_line(done.stdout)
    assert "nothing changes until you sign anew" in one_line(done.stdout)
    new = done.stdout.split()[1]
    done = rootcase("observe", "take-back", new, "--reason", "wrong tree", "--fieldbook", path)
    assert "It stands in a plan" not in done.stdout, "the plan rests on the reading as it was, not on this one"


def test_an_undo_is_refused_until_the_plan_is_withdrawn(book: tuple[Path, str]) -> None:
    path, _ = book
    done = rootcase("observe", "undo", "--fieldbook", path)
    assert done.returncode == 3
    assert "a signed plan rests on its readings (got plan signed on 20 January 2016" in done.stderr
    done = rootcase("prescribe", "withdraw", "--by", "rs", "--reason", "wrong file", "--day", "2016-02-01",
                    "--fieldbook", path)
    assert one_line(done.stdout).startswith("Withdrawn: Signed on 20 January 2016 by rs. Mark ")
    done = rootcase("prescribe", "signed", "--json", "--fieldbook", path)
    plans = json.loads(done.stdout)["plans"]
    assert [(plan["standing"], plan["withdrawn_because"], plan["by"]) for plan in plans] == [
        ("withdrawn", "wrong file", "rs")]
    assert rootcase("observe", "undo", "--fieldbook", path).returncode == 0
