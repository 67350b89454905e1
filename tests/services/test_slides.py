"""A slide of a batch is a step of it; everything that a form may bring is kept once, put right, or said to be wrong."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path

import pytest

from rootcase.ground.errors import Missing
from rootcase.services import make_batch
from rootcase.services.make_batch import batch_named, start_batch
from rootcase.services.slide_form import METHODS, cells_of, typed_slide
from rootcase.services.slides import (
    correct_slide,
    keep_slide,
    remembered,
    seen,
    slide_named,
    slides,
    sources_there,
    try_slide,
)
from tests.fieldbook.making.batch_world import Clock, Yard, usable_heap

DAY = date(2016, 5, 3)
SUSPENSION = {"suspension_ml": "50", "mass_g": "5"}
FORMS = {
    "chamber": {"counts": "9 7, 12; 8", "square_mm2": "0.0025", "depth_mm": "20 um", **SUSPENSION},
    "fields": {"counts": "9 7 12", "field_number_mm": "18", "objective": "40", "spread_mm2": "324", "drop_ul": "20",
               "constant": "fry_1990", "cell_um3": "0.2"},
    "smear": {"counts": "0-3 mm: 9 12 7\n3 - 6: 4 3 5", "field_number_mm": "18", "objective": "100", "drop_ul": "10"},
    "crossings": {"counts": "5 8 6", "square_mm2": "0.04", "mesh_mm": "0.02", "filter_mm2": "201",
                  "filtered_g": "0.0005"},
    "photos": {"spread_mm2": "324", "drop_ul": "20"},
    "tubes": {"counts": "0.1 3 2\n0.01 3 1", **SUSPENSION},
    "sieve": {"counts.bacterivore": "20 18", "counts.fungivore": "3 5", "aliquot_ml": "2", "extract_ml": "20",
              "mass_g": "39"},
}


def form(method: str, **other: str) -> dict[str, str]:
    return {"method": method, "source": "soil", "source_id": "bed", "counted": "bacteria", **FORMS[method], **other}


def test_a_slide_of_a_batch_is_a_step_of_it_and_else_stands_alone(tmp_path: Path,
                                                                       monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    clock = Clock()
    with Yard(tmp_path / "yard.sqlite", clock).open() as book:
        batch = start_batch(book, "h4", "rs")
        of_batch = form("chamber", source="batch", source_id=str(batch.number))
        told = keep_slide(book, of_batch, by="rs", today=DAY, system="us")
        assert told.slide is not None
        step = batch_named(book, batch.id).newest("slide")
        assert step is not None
        assert step.words["slide"] == told.slide.id
        second = keep_slide(book, {**of_batch, "mark": "0123456789"}, by="rs", today=DAY, system="us").slide
        keep_slide(book, {**of_batch, "mark": "0123456789"}, by="rs", today=DAY, system="us")
        assert second is not None
        assert {seen(book, each.id).batch for each in (told.slide, second)} == {batch.number}
        assert [each.words["slide"] for each in batch_named(book, batch.id).told("slide")] == [
            told.slide.id, second.id]
        clock.on(-60)
        alone = keep_slide(book, {**of_batch, "counts": "1 2"}, by="rs", today=DAY, system="us")
        assert alone.slide is not None
        assert "not as a step of that batch" in alone.said[0]
        assert seen(book, alone.slide.id).batch is None


def test_a_slide_that_was_of_another_batch_is_told_to_both(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    with Yard(tmp_path / "yard.sqlite", Clock()).open() as book:
        first, second = (start_batch(book, "h4", "rs") for _ in "12")
        kept = keep_slide(book, form("chamber", source="batch", source_id="1"), by="rs", today=DAY, system="us").slide
        assert kept is not None
        for source, name, gone in (("batch", "2", first), ("batch", "1", second), ("soil", "bed", first)):
            anew = form("chamber", source=source, source_id=name)
            assert correct_slide(book, slide_named(book, kept.id), anew, by="jk", today=DAY, system="us").said == ()
            left = batch_named(book, gone.id).told("slide")[-1]
            note = f"Slide {kept.id[-5:]} stood here by mistake; it is of {source} {name}."
            assert (dict(left.words), left.by) == ({"note": note}, "jk")
            of = {batch.number for batch in (first, second)
                  if kept.id in {step.words.get("slide") for step in batch_named(book, batch.id).told("slide")}}
            assert of == ({int(name)} if source == "batch" else set())
            assert seen(book, kept.id).batch == (int(name) if source == "batch" else None)


def test_a_slide_is_of_a_batch_that_there_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    with Yard(tmp_path / "yard.sqlite", Clock()).open() as book:
        number = str(start_batch(book, "h4", "rs").number)
        keep = partial(keep_slide, book, by="rs", today=DAY, system="us")
        assert sources_there(book) == [("batch", number)]
        for source, name in (("batch", "77"), ("batch", "<b>"), ("heap", number)):
            assert set(keep(form("chamber", source=source, source_id=name)).wrong) == {"source_id"}
        assert f"the newest are {number}" in keep(form("chamber", source="batch", source_id="77")).wrong["source_id"]
        kept = keep(form("chamber", source="batch", source_id=f" #{number}")).slide
        assert kept is not None
        assert kept.source_id == number
        put_right = partial(correct_slide, book, replace(kept, source_id="77"), by="rs", today=DAY, system="us")
        assert not put_right(form("chamber", source="batch", source_id="77")).wrong
        assert put_right(form("chamber", source="batch", source_id="78")).wrong


@pytest.mark.parametrize("method", METHODS)
def test_a_slide_comes_back_as_it_was_typed(method: str) -> None:
    first = try_slide(form(method), by="rs", today=DAY, system="us", slide_id="s")
    assert not first.wrong
    assert first.slide is not None
    again, wrong = typed_slide("s", cells_of(first.slide), by="rs", today=DAY, system="us", said=[])
    assert not wrong
    assert again == first.slide


def test_what_is_kept_is_remembered_by_its_operator_and_corrected_in_place(tmp_path: Path) -> None:
    with Yard(tmp_path / "yard.sqlite", Clock()).open() as book:
        kept = keep_slide(book, form("fields"), by="rs", today=DAY, system="us").slide
        assert kept is not None
        assert remembered(book, "fields", "rs")[0]["spread_mm2"] == "324 mm2"
        assert remembered(book, "fields", "jk") == ({}, None)
        correct_slide(book, kept, form("fields", counts="9 7 13"), by="jk", today=DAY, system="us")
        only, = slides(book)
        assert (only.rows[0].counts, only.corrected, only.by) == ((9, 7, 13), True, "rs")
        with pytest.raises(Missing, match="no such slide"):
            slide_named(book, "another")


@pytest.mark.parametrize(("method", "cell", "typed"), [
    ("chamber", "counts", ""), ("chamber", "counts", "3.5"), ("chamber", "counts", "-1"), ("chamber", "counts", "٣"),
    ("chamber", "counts", "1 " * 3000), ("chamber", "depth_mm", "6 in"), ("chamber", "day", "2030-01-01"),
    ("chamber", "constant", "harley_1971"), ("chamber", "source_id", " "), ("smear", "counts", "3-: 4"),
    ("tubes", "counts", "0.1 3"), ("tubes", "counts", "1e3 3 2"), ("chamber", "counted", "x" * 5000),
])
def test_what_cannot_be_is_said_beside_its_cell(method: str, cell: str, typed: str) -> None:
    assert set(try_slide(form(method, **{cell: typed}), by="rs", today=DAY, system="us").wrong) == {cell}
