"""Pests as the demonstration shows them, on the screen and as JSON; and without weather."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.pests import pests
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.services.demo import DAY, import_demo
from tests.fieldbook.sheets import SHEET, write_sheet


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo")
    (folder / "files").mkdir()
    with open_fieldbook(folder / "book.sqlite") as fieldbook:
        import_demo(fieldbook, folder / "files")
    return folder / "book.sqlite"


def asked(path: Path, *arguments: str) -> Result:
    return CliRunner().invoke(pests, ["--fieldbook", str(path), "--day", DAY.isoformat(), *arguments],
                              catch_exceptions=False)


def test_not_enough_to_act_on_is_seen_at_the_healthy_oak(book: Path) -> None:
    text = " ".join(asked(book, "--property", "Alder Bank school ground").output.split())
    assert "Oak 1: leaf eaters: not enough to act on." in text
    assert "Helpers were found with it, and they go first." in text
    assert "Oak 6: looked for and not there:" in text


def test_the_json_holds_looks_at_hosts_that_stand_there_alone(book: Path) -> None:
    found = json.loads(asked(book, "--property", "Cedar Lane", "--json").output)
    assert {look["state"] for look in found["looks"]} == {"coming"}
    named = {look["pest"] for look in found["looks"]}
    assert "honeylocust plant bug" in named
    assert not named & {"emerald ash borer", "bronze birch borer", "beech scale"}
    assert found["trees"][0]["findings"][0]["verdict"] == "watch"


def test_without_weather_it_is_no_error_but_not_known(tmp_path: Path) -> None:
    with open_fieldbook(tmp_path / "book.sqlite") as fieldbook:
        fieldbook.import_sheet(write_sheet(tmp_path / "in", SHEET))
    done = asked(tmp_path / "book.sqlite")
    assert done.exit_code == 0
    assert "no look can be told by its day" in " ".join(done.output.split())
