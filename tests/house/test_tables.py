"""Every table has its twin, a unit for each column, a source that can be followed, and somebody who reads it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from rootcase.tables.load import table

PACKAGE = Path(__file__).parents[2] / "src" / "rootcase"
TABLES = PACKAGE / "tables"
KNOWN = re.compile(r"seen|computed|memory|JUDGEMENT|common practice, no source")
ELSEWHERE = re.compile(r"(?<!docs/)\b(practice|rootzone|extract|oracles|readings|model)\.md\b")


def names(ending: str) -> list[str]:
    return sorted(str(file.relative_to(TABLES).with_suffix("")) for file in TABLES.rglob(f"*.{ending}"))


def test_every_twin_has_its_table() -> None:
    assert names("toml") == names("csv")


@pytest.mark.parametrize("name", names("csv"))
def test_a_table_says_its_units_and_how_its_source_is_known(name: str) -> None:
    loaded = table(name)  # refuses a missing twin, unit or source
    assert loaded.rows, "no rows"
    told = [loaded.how_known] if loaded.how_known else [row["how_known"] for row in loaded.rows]
    assert [words for words in told if not KNOWN.search(words)] == []


@pytest.mark.parametrize("name", names("csv"))
def test_a_source_is_a_work_not_a_note_of_ours(name: str) -> None:
    text = "".join((TABLES / f"{name}.{ending}").read_text(encoding="utf-8") for ending in ("csv", "toml"))
    assert sorted({hit.group() for hit in ELSEWHERE.finditer(text)}) == []


@pytest.mark.parametrize("name", names("csv"))
def test_a_table_is_read_by_somebody(name: str) -> None:
    assert any(name in file.read_text(encoding="utf-8") for file in PACKAGE.rglob("*.py"))
