"""An invented lab sheet, from the page of samples to the sentences a person reads."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.fieldbook.sheets import SHEET, write_sheet

SRC = Path(__file__).parents[2] / "src"
PAGE = (SRC.parent / "docs" / "lab-sheets.md").read_text(encoding="utf-8")
SAMPLES = [
    ["sample", "tree", "place", "visit", "soil_ph", "soil_ph.method", "phosphorus", "phosphorus.extractant", "ece",
     "ece.extract", "calcium", "calcium.extractant", "magnesium", "magnesium.extractant", "nitrate_n", "leaf_n"],
    ["units", "", "", "", "pH", "", "ppm", "", "dS/m", "", "ppm", "", "ppm", "", "ppm", "%"],
    ["lawn soil", "oak 4", "", "autumn", "7.6", "water_1_1", "<5", "mehlich_3", "0.2", "1_5", "1400", "mehlich_3",
     "90", "mehlich_3", "12", "1.3"],
    ["wood soil", "oak 1", "", "autumn", "5.6", "water_1_1", "12", "olsen", "", "", "", "", "", "", "", "2.1"]]


def rootcase(folder: Path, *words: str) -> str:
    command = [sys.executable, "-m", "rootcase.cli.main", *words, "--fieldbook", str(folder / "book.sqlite")]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=folder,
                          env={**os.environ, "PYTHONPATH": str(SRC), "XDG_CACHE_HOME": str(folder), "COLUMNS": "200"})
    assert done.returncode == 0, done.stderr[-2000:] + done.stdout[-2000:]
    return done.stdout


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    found: Path = tmp_path_factory.mktemp("lab")
    write_sheet(found / "sheet", {**SHEET, "samples": SAMPLES})
    rootcase(found, "observe", "import", "sheet")
    return found


def test_the_sheet_s_sentences_reach_the_screen(folder: Path) -> None:
    said = " ".join(rootcase(folder, "compare", "--day", "2016-01-15").split())
    for words in (
            "under 5 ppm",
            "Below the range of Rutgers Soil Testing Laboratory: 35.5 to 68.5 ppm, high, any crop.",
            "Above the range of Michigan State University Extension on chlorosis: up to 7.2",
            "Not comparable: read by 1:5, ranges by saturated paste and 1:2.",
            "Below the range of ICP Forests foliar survey", "Nothing is diagnosed from one date",
            "Nothing is diagnosed from the ratios of calcium, magnesium and potassium"):
        assert words in said, words
    assert re.search(r"Leaf nitrogen 1\.3 % \([^)]*\) 2\.1 %; here 63 % \(49 to", said)


def test_the_same_lines_are_in_the_json(folder: Path) -> None:
    lines: list[dict[str, Any]] = json.loads(rootcase(folder, "compare", "--json", "--day", "2016-01-15"))["laboratory"]
    limit = next(line for line in lines if line["kind"] == "phosphorus" and line["sign"] == "<")
    assert (limit["value"], limit["interval"], limit["method"]) == (5.0, None, "mehlich_3")
    assert (limit["note"], limit["share"]) == ("yardstick_other_method", None)
    assert {each["verdict"] for each in limit["ranges"]} == {"below"}
    assert all(each["source"] and each["how_known"] for line in lines for each in line["ranges"])


def test_the_page_names_the_columns_and_methods_there_are() -> None:
    from rootcase.tables.readings import kinds

    rows = re.findall(r"^\| `(\w+)` \| (.+) \|$", PAGE.partition("its method column may say")[2].partition("\n\n")[0],
                      re.MULTILINE)
    assert len(rows) == 5
    for kind, methods in rows:
        (allowed,) = kinds()[kind].required.values()
        assert tuple(re.findall("`([^`]+)`", methods)) == allowed, kind
