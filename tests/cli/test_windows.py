"""rootcase apply windows, locate, permit, use: told on the command line, and the days that follow."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.apply import apply
from rootcase.ground.errors import ImpossibleValue
from tests.fieldbook.sheets import open_book
from tests.services.planned import planned


@pytest.fixture
def file(tmp_path: Path) -> Path:
    with open_book(tmp_path / "own.sqlite") as book:
        planned(book, tmp_path, ("air_tillage",))
    return tmp_path / "own.sqlite"


def run(file: Path, *words: str) -> Result:
    return CliRunner().invoke(apply, [*words, "--fieldbook", str(file)])


def days(file: Path) -> list[str]:
    return [line.strip() for line in run(file, "windows", "--day", "2016-05-02", "--days", "4").output.splitlines()
            if line.startswith("  ")]


def test_what_is_told_opens_and_closes_days(file: Path) -> None:
    assert days(file)[0] == "Mon 2 May: not known: no locate told"
    held = ("--first", "2016-05-02", "--last", "2016-05-04", "--by", "rs")
    for told in (("locate", "412", *held), ("use", "match", *held[:2], "--last", "2016-06-30", "--weekdays", "wed",
                                            "--by", "rs")):
        assert run(file, *told).exit_code == 0
    assert [line.partition(": ")[2].partition(",")[0] for line in days(file)] == [
        "fit", "fit", "not fit: in use", "not fit: no valid locate"]
    assert run(file, "permit", "street", *held).exit_code == 2  # for which work is asked
    assert run(file, "permit", "street", "--remedy", "all", *held).output.strip() == "Kept."
    assert "no permit" in days(file)[0]
    told = json.loads(run(file, "windows", "--day", "2016-05-02", "--days", "2", "--json").output)
    assert [day["state"] for day in told[0]["days"]] == ["not_fit", "not_fit"]


@pytest.mark.parametrize(("words", "why"), [
    (("locate", "412", "--first", "2016-05-04", "--last", "2016-05-02"), "comes before the first"),
    (("locate", "412", "--first", "soon", "--last", "2016-05-02"), "First day"),
    (("use", "match", "--first", "2016-05-04", "--last", "2016-05-04", "--weekdays", "someday"), "day of the week"),
    (("use", "match", "--first", "2016-05-04", "--last", "2018-05-04"), "more than a year"),
    (("use", "match", "--first", "2016-05-04", "--last", "2016-05-04", "--place", "pond"), "there are lawn, wood")])
def test_what_cannot_be_is_refused_in_one_line(file: Path, words: tuple[str, ...], why: str) -> None:
    refused = run(file, *words, "--by", "rs")
    assert isinstance(refused.exception, ImpossibleValue)
    assert why in str(refused.exception)
    assert str(refused.exception).count("(got ") <= 1


def test_where_nothing_is_planned_it_says_so(tmp_path: Path) -> None:
    with open_book(tmp_path / "empty.sqlite"):
        pass
    assert "No signed work waits" in run(tmp_path / "empty.sqlite", "windows").output
