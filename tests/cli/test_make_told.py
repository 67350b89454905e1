"""rootcase make: what becomes of a batch, calls, and what is told of a heap or a slide; cautions beside each."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.make import make
from rootcase.fieldbook import fieldbook
from rootcase.ground.errors import RootcaseError
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.services.heap import heap_named
from rootcase.services.make_batch import batch_named
from rootcase.services.slides import slides
from tests.web.batches import BACK, FIT, OPEN, REFUSED, Clock, yard
from tests.web.conftest import NOW

CHAMBER = ("chamber", "counts=9 7 12 8 6 10", "square_mm2=0.0025 mm2", "depth_mm=20 um", "dilution=100",
           "counted=bacteria")


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    yard(tmp_path / "own.sqlite", NOW)
    monkeypatch.setattr(fieldbook, "open_fieldbook", partial(fieldbook.open_fieldbook, now=Clock(NOW)))
    return tmp_path / "own.sqlite"


def run(file: Path, *words: str) -> Result:
    return CliRunner().invoke(make, [*words, "--fieldbook", str(file)])


def said(file: Path, *words: str) -> str:
    """What a command says, as one line."""
    done = run(file, *words)
    assert done.exit_code == 0, (done.output, done.exception)
    return " ".join(done.output.split())


def refused(file: Path, *words: str) -> str:
    done = run(file, *words)
    assert isinstance(done.exception, RootcaseError), done.output
    return str(done.exception)


def caution(name: str) -> str:
    return " ".join(say(f"made.caution.{name}").split())


def test_a_step_a_load_a_verdict_and_an_end_print_the_caution_of_their_page(file: Path) -> None:
    dose = ("chemical=ascorbic_acid", "rule=field_guide", "mass_g=1")
    assert caution("neutraliser") in said(file, "step", OPEN, "neutraliser", *dose, "--by", "rs")
    assert caution("load") in said(file, "load", FIT, "50 gal", "--air-gap", "4 in", "--by", "rs")
    assert caution("end_batch") in " ".join(run(file, "judge", OPEN, "--by", "rs").output.split())
    told = said(file, "end", REFUSED, "poured_out", "yard, grass by the gate", "--by", "rs")
    assert told.startswith("Poured out: yard, grass by the gate.")
    assert caution("end_batch") in told


def test_a_call_is_logged_and_a_property_that_is_not_there_refused(file: Path) -> None:
    told = said(file, "ring", BACK, "Alder Bank", "told the caretaker", "--by", "rs")
    assert "told the caretaker" in told
    with fieldbook.open_fieldbook(file) as book:
        assert [ring.note for ring in batch_named(book, BACK).rung] == ["told the caretaker"]
    assert "Alder Bank" in refused(file, "ring", BACK, "Elm Row", "--by", "rs")


def test_a_heap_is_held_and_freed_with_a_reason(file: Path) -> None:
    said(file, "hold", "6", "bad smell", "--by", "rs")
    with fieldbook.open_fieldbook(file) as book:
        assert heap_named(book, "6").held.reason == "bad smell"
    said(file, "free", "6", "turned and aired", "--by", "rs")
    with fieldbook.open_fieldbook(file) as book:
        assert heap_named(book, "6").held is None
    assert refused(file, "hold", "6", " ", "--by", "rs").startswith("reason: ")


def test_figures_and_beans_of_a_heap_are_kept_and_wrong_ones_named_by_field(file: Path) -> None:
    said(file, "figure", "6", "quantity=moisture", "value=52", "lab=a laboratory", "--by", "rs")
    said(file, "beans", "6", "seeds=2", "heights=3 3.2 2.9 3", "control=3.1 3 3 3.3", "twisted=0", "control_twisted=0",
         "--by", "rs")
    with fieldbook.open_fieldbook(file) as book:
        heap = heap_named(book, "6")
    assert [(each.quantity, each.value, each.lab) for each in heap.figures] == [("moisture", 52.0, "a laboratory")]
    assert heap.beans[-1].height_mm[0] == pytest.approx(convert(3, "in", "mm"))
    assert refused(file, "figure", "6", "quantity=moisture", "value=x", "lab=a", "--by", "rs").startswith("value: ")
    assert "seeds" in refused(file, "beans", "6", "seeds=x", "--by", "rs")


def test_a_loggers_file_is_brought_once_and_what_it_leaves_open_is_asked(file: Path, tmp_path: Path) -> None:
    log = tmp_path / "log.csv"
    log.write_text("time,probe\n2015-12-25 10:00,60\n2015-12-25 11:00,61\n", encoding="utf-8")
    assert refused(file, "heap-file", "6", str(log), "--by", "rs").startswith("unit: ")
    words = ("heap-file", "6", str(log), "--degrees", "C", "--first-probe", "4", "--by", "rs")
    assert "2" in said(file, *words)
    said(file, *words)
    with fieldbook.open_fieldbook(file) as book:
        logs = heap_named(book, "6").logged
    assert [(each.probe, each.temperature_c) for each in logs] == [(4, (60.0, 61.0))]


def test_a_heap_is_started_with_its_materials(file: Path) -> None:
    words = ("heap-start", "8", "shape=windrow", "rule=cfr_503", "time_zone=UTC", "--by", "rs")
    said(file, *words, "--part", "straw_general=100 lb,bought_from=town yard,lot=7", "--part",
         "leaves=3 buckets,density=300 kg/m3", "--bucket", "10 gal")
    with fieldbook.open_fieldbook(file) as book:
        straw, leaves = heap_named(book, "8").parts
    assert (round(convert(straw.mass_kg, "kg", "lb")), straw.bought_from, straw.lot) == (100, "town yard", "7")
    assert leaves.mass_kg == pytest.approx(3 * convert(10, "gal", "m3") * 300)
    assert "straw_general" in refused(file, *words, "--part", "straw_general")


def test_a_slide_is_kept_and_stands_among_the_steps_of_its_batch(file: Path) -> None:
    told = said(file, "slide-keep", *CHAMBER, "source=batch", f"source_id={FIT}", "--by", "rs")
    assert "17.3 billion per mL" in told
    with fieldbook.open_fieldbook(file) as book:
        kept, batch = slides(book)[0], batch_named(book, FIT)
    assert kept.source_id == FIT
    assert kept.id in {step.words.get("slide") for step in batch.steps}
    assert "source_id" in refused(file, "slide-keep", *CHAMBER, "source=batch", "source_id=99", "--by", "rs")


def test_what_was_told_by_mistake_is_taken_back_by_name(file: Path) -> None:
    assert "it is not said what was wrong" in refused(file, "take-back", FIT, "oxygen", " ", "--by", "rs")
    told = said(file, "take-back", BACK, "lab", "of another batch", "--by", "rs")
    assert "Taken back" in told
    assert "of another batch" in told
    assert "is called back" in told, "no call back is lifted"
    assert "nothing of it is told that may be taken back" in refused(file, "take-back", BACK, "lab", "x", "--by", "rs")
    said(file, "figure", "6", "quantity=lead", "value=900", "lab=a laboratory", "--by", "rs")
    with fieldbook.open_fieldbook(file) as book:
        assert len(heap_named(book, "6").figures) == 1
    said(file, "take-back", "6", "lead", "typed 900 for 90", "--heap", "--by", "rs")
    with fieldbook.open_fieldbook(file) as book:
        heap = heap_named(book, "6")
        assert (heap.figures, [each.reason for each in heap.taken_back]) == ((), ["typed 900 for 90"])
    assert "no such entry" in refused(file, "take-back", "6", "lead", "x", "--heap", "--by", "rs")


def test_how_a_number_was_read_is_told(file: Path) -> None:
    told = said(file, "step", FIT, "oxygen", "oxygen_mg_l=8,400", "temperature_c=68", "air=on", "--by", "rs")
    assert told.startswith("8,400 can be 8.4 or 8,400")
