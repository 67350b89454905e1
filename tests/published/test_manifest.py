"""Published figures stay as they were copied, none is forgotten, and the page about them is true."""

from __future__ import annotations

import hashlib
import tomllib

from tests.published.page import FILES, PAGE, page
from tests.published.vectors import HERE, read


def test_the_expected_values_are_as_copied() -> None:
    written = tomllib.loads((HERE / "manifest.toml").read_text(encoding="utf-8"))["sha256"]
    assert {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in HERE.glob("*.csv")} == written


def test_every_collected_figure_is_asserted_told_or_waiting_with_a_reason() -> None:
    about = tomllib.loads((HERE / "left.toml").read_text(encoding="utf-8"))
    waiting = sum(sum(group["topics"].values()) for group in about["left"])
    assert all(group["reason"] for group in about["left"])
    assert sum(len(read(file)) for file in FILES) + waiting == about["collected"]


def test_every_figure_has_a_source_and_says_how_it_is_known() -> None:
    assert [row.name for file in FILES for row in read(file) if not (row.source and row.how_known)] == []


def test_the_page_is_as_generated() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python -m tests.published.page"
