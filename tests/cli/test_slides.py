"""Counting on the command line, with and without a fieldbook."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from rootcase.cli.making.count import count
from rootcase.cli.making.slide import slide
from rootcase.cli.making.slides import slides
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.errors import RootcaseError
from rootcase.services.slides import keep_slide

NOW = datetime(2016, 5, 3, 12, tzinfo=UTC)
CHAMBER = ["chamber", "counts=9 7 12 8 6 10", "square_mm2=0.0025 mm2", "depth_mm=20 um", "dilution=100"]


def run(command: Any, *typed: str) -> str:
    done = CliRunner().invoke(command, list(typed))
    assert done.exit_code == 0, (done.output, done.exception)
    return done.output if "--json" in typed else " ".join(done.output.split())


def test_a_count_needs_no_fieldbook() -> None:
    told = run(count, *CHAMBER)
    assert told.startswith("6 more fields for ±20 %.")
    assert "17.3 billion per mL (12.9 billion to 22.7 billion)" in told
    assert "Not shown by this count: whether a cell lives" in told
    found = json.loads(run(count, *CHAMBER, "--json"))
    assert found["numbers"][0]["value"] == pytest.approx(52 / 6 / 5e-8 * 100)
    assert found["still_needed"] == 6


def test_rings_tubes_and_nematodes_are_typed_in_one_line() -> None:
    rings = run(count, "smear", "counts=0-3 mm: 9 12 7; 3-6 mm: 4 3 5", "field_number_mm=18", "objective=100",
                "drop_ul=10")
    assert "Weighed by the areas of the rings: 5.33 a field; the fields as they come would give 6.67." in rings
    assert "fewer than" in run(count, "tubes", "counts=0.1 3 0; 0.01 3 0")
    worms = run(count, "sieve", "counts.bacterivore=20 18", "counts.fungivore=3 5", "aliquot_ml=2", "extract_ml=20",
                "mass_g=39")
    assert "590 per 100 dry g" in worms
    assert "Eat bacteria: 38, 83 %" in worms


@pytest.mark.parametrize(("typed", "line"), [
    (["scale"], "there is no such way to count (got scale)"),
    (["chamber", "depth=1"], "this method asks for no such thing (got depth=1)"),
    (["chamber", "counts=3 x", "square_mm2=1", "depth_mm=0.1"], 'counts: this is no count (got "x")'),
    (["chamber", "counts=3 4", "square_mm2=1"], "depth_mm: nothing was typed"),
    (["sieve", "counts.bacterivore=3 4", "counts.fungivore=3", "aliquot_ml=2", "extract_ml=20", "mass_g=39"],
     "counts: the feeding groups have unlike numbers of aliquots"),
    (["tubes", "counts=0.1 3 4"], "more positive than tubes"),
])
def test_what_cannot_be_read_is_refused_in_one_line(typed: list[str], line: str) -> None:
    done = CliRunner().invoke(count, typed)
    assert isinstance(done.exception, RootcaseError)
    assert line in str(done.exception)


def test_kept_slides_are_listed_and_told(tmp_path: Path) -> None:
    path = tmp_path / "book.sqlite"
    cells = {"method": "chamber", "counted": "cells", "counts": "9 7 12", "square_mm2": "0.0025", "depth_mm": "0.02"}
    with open_fieldbook(path, now=lambda: NOW) as book:
        kept = [keep_slide(book, {**cells, "source": source, "source_id": "31"}, by=by, today=date(2016, 5, 3),
                           system="us")
                for source, by in (("soil", "rs"), ("yardstick", "rs"), ("yardstick", "jk"))]
    at, first = ("--fieldbook", str(path)), kept[0].slide
    assert run(slides, *at).count("Counting chamber") == 3
    assert first is not None
    told = run(slide, first.id[-8:], *at)
    assert "Beside it: " in told
    assert "Not beside it, another observer: " in told
    assert json.loads(run(slide, first.id, *at, "--json"))["slide"]["counted"] == "cells"
