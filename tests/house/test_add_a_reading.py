"""docs/add-a-reading.md is true: what it says is done to a copy, and the new reading goes all the way."""

from __future__ import annotations

import csv
import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import openpyxl
import pytest

CHECKOUT = Path(__file__).parents[2]
PAGE = (CHECKOUT / "docs" / "add-a-reading.md").read_text(encoding="utf-8")
STEPS = re.split(r"^(?=\d\. )", PAGE, flags=re.MULTILINE)[1:]

SHEET = {
    "property": [["key", "value"], ["name", "Test green"], ["latitude", "47"], ["longitude", "8"],
                 ["elevation", "400 m"], ["time_zone", "Europe/Zurich"], ["currency", "CHF"], ["system", "metric"],
                 ["invented", "yes"]],
    "places": [["place", "place_kind"], ["lawn", "lawn"]],
    "visits": [["visit", "date", "observer"], ["autumn", "2015-11-05", "reader 1"]],
    "trees": [["tree", "place", "visit", "yardstick", "compare_with", "species", "terminal bud"],
              ["oak 1", "lawn", "autumn", "good oaks", "", "Quercus rubra", "8 mm"],
              ["oak 2", "lawn", "autumn", "", "good oaks", "Quercus rubra", "4 mm"],
              ["oak 3", "lawn", "autumn", "", "good oaks", "Quercus rubra", "81 mm"]],
}


def follow_the_page(copy: Path) -> None:
    for step in STEPS:
        place = re.search(r"`((?:src|docs)/[^`]+)`", step)
        added = re.search(r"```(csv|words)\n(.*?)```", step, re.DOTALL)
        if place and added:
            file = copy / place[1]
            text, line = file.read_text(encoding="utf-8"), added[2].strip()
            if added[1] == "csv":
                text = text.rstrip("\n") + f"\n{line}\n"
            else:
                text, times = re.subn(r'^(kind_words = ".*)"$', rf'\g<1>{line}"', text, flags=re.MULTILINE)
                assert times == 1
            file.write_text(text, encoding="utf-8")


def start(copy: Path, *arguments: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "rootcase.cli.main", *map(str, arguments)], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(copy / "src"), "PYTHONSAFEPATH": "1"}, cwd=copy)


def rows_with(found: object, kind: str) -> list[dict[str, Any]]:
    """Every object of a JSON answer that is of this kind, however deep."""
    if isinstance(found, dict):
        own = [found] if found.get("kind") == kind else []
        return own + [row for part in found.values() for row in rows_with(part, kind)]
    return [row for part in found for row in rows_with(part, kind)] if isinstance(found, list) else []


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    copy = tmp_path_factory.mktemp("copy")
    shutil.copytree(CHECKOUT / "src", copy / "src", ignore=shutil.ignore_patterns("__pycache__"))
    follow_the_page(copy)
    (copy / "sheet").mkdir()
    for page, rows in SHEET.items():
        with open(copy / "sheet" / f"{page}.csv", "w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows(rows)
    return copy


def test_at_most_five_places() -> None:
    assert [step[:2] for step in STEPS] == [f"{n}." for n in range(1, len(STEPS) + 1)]
    assert 1 <= len(STEPS) <= 5
    for path in re.findall(r"`((?:src|docs)/[^`]+)`", PAGE):
        assert (CHECKOUT / path).exists(), path


def test_the_field_sheet_asks_for_it(copy: Path) -> None:
    done = start(copy, "observe", "template", copy / "empty.xlsx")
    assert done.returncode == 0, done.stderr
    cells = [cell for page in openpyxl.load_workbook(copy / "empty.xlsx") for row in page.values for cell in row]
    assert "bud_length" in cells


def test_it_goes_from_the_sheet_to_the_answer(copy: Path) -> None:
    book = ("--fieldbook", copy / "book.sqlite")
    taken = start(copy, "observe", "import", copy / "sheet", *book)
    assert taken.returncode == 1, taken.stdout + taken.stderr  # one value cannot be, and is named
    told = " ".join(taken.stdout.split())
    assert "trees, row 4, terminal bud: End bud length: 81 mm is not possible (0.5 to 80 mm)" in told

    listed = start(copy, "observe", "list", *book, "--json")
    assert listed.returncode == 0, listed.stderr
    assert sorted(row["value"] for row in rows_with(json.loads(listed.stdout), "bud_length")) == [4.0, 8.0]
    assert "End bud length" in start(copy, "observe", "list", *book).stdout

    compared = start(copy, "compare", *book, "--day", "2016-01-15", "--json")
    assert compared.returncode == 0, compared.stderr
    shares = [row["share"] for row in rows_with(json.loads(compared.stdout), "bud_length") if row["share"]]
    assert [round(share["median"], 1) for share in shares] == [0.5]
    assert "End bud length" in start(copy, "compare", *book, "--day", "2016-01-15").stdout
