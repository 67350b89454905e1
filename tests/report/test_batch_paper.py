"""A batch's sheet and label: tagged, the same bytes for the same batch, all that was told, and no promise."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from functools import cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from click.testing import CliRunner

from rootcase.cli.making.sheet import sheet
from rootcase.fieldbook import fieldbook
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.ground.quantity import System
from rootcase.records.make.paper import BatchPaper
from rootcase.records.make.trace import Applied, Traced
from rootcase.report.pdf.batch import batch_label_pdf, batch_sheet_pdf
from rootcase.report.text.batch import (
    batch_finding,
    batch_lede,
    batches_listed,
    load_named,
    load_told,
    step_told,
    zone_of,
)
from rootcase.report.text.claims import claim_lines, client_claims
from rootcase.services.batch_sheet import batch_paper
from rootcase.services.heap import heap_named
from rootcase.services.heap_figures import hold
from rootcase.services.make_batch import call_back, tell_step
from rootcase.services.slides import keep_slide, take_slide_back
from rootcase.services.taken_back import take_step_back, told_step
from tests.report.test_pdf import opened, pages
from tests.web.batches import FIT, OPEN, REFUSED, Clock, twist_beans, yard
from tests.web.conftest import NOW


@cache
def paper(number: str, system: System = "us", back: str = "", *, held: str = "", late: int = 0,
          twisted: bool = False) -> BatchPaper:
    with TemporaryDirectory() as folder:
        path = Path(folder, "own.sqlite")
        yard(path, NOW)
        with open_fieldbook(path, now=Clock(NOW + timedelta(minutes=late))) as book:
            if held:
                hold(book, heap_named(book, "6"), held, by="rs", now=NOW)
            if twisted:
                twist_beans(book, "6", NOW)
            if back:
                call_back(book, batch_paper(book, number, system).seen.batch.id, back, "rs")
            return batch_paper(book, number, system)


@pytest.mark.parametrize("number", [OPEN, REFUSED, FIT])
def test_sheet_and_label_are_tagged_and_the_same_for_the_same_batch(number: str) -> None:
    for make in (batch_sheet_pdf, batch_label_pdf):
        made = make(paper(number))
        assert made == make(paper(number))
        root = opened(made).trailer["/Root"]
        assert "/StructTreeRoot" in root
        assert "pdfuaid" in root["/Metadata"].get_object().get_data().decode()


@pytest.mark.parametrize("system", ["us", "metric"])
def test_a_usual_sheet_is_one_page(system: System) -> None:
    assert [len(pages(batch_sheet_pdf(paper(number, system)))) for number in (FIT, REFUSED)] == [1, 1]


def test_a_refused_sheet_holds_every_step_and_why() -> None:
    text = " ".join(pages(batch_sheet_pdf(paper(REFUSED))))
    assert "REFUSED. Do not load." in text
    assert "Oxygen 4.1 mg/L" in text
    assert "Smell sour." in text
    assert "Use by" not in text
    for step in ("Clean vat", "Water source", "Total chlorine", "Neutralizer", "Compost by scale",
                 "Start of extraction", "Oxygen", "End and screen", "Smell"):
        assert step in text
    assert "tank/holding" in text
    assert "Scharenbroch and Watson 2014" in text


def test_a_sheet_holds_what_was_taken_back_with_its_reason(tmp_path: Path) -> None:
    yard(tmp_path / "own.sqlite", NOW)
    with open_fieldbook(tmp_path / "own.sqlite", now=Clock(NOW)) as book:
        batch = batch_paper(book, REFUSED, "us").seen.batch
        take_step_back(book, batch, told_step(batch, "oxygen").id, "typed 4.1 for 8.1", "rs")
        text = " ".join(pages(batch_sheet_pdf(batch_paper(book, REFUSED, "us"))))
    assert "Taken back" in text
    assert "oxygen 4.1 mg/L" in text
    assert "typed 4.1 for 8.1" in text
    assert "REFUSED. Do not load." in text


def test_a_fit_sheet_has_its_hour_its_loads_and_both_systems() -> None:
    text = " ".join(pages(batch_sheet_pdf(paper(FIT))))
    assert "Fit. Use by 15 January 2016, 04:50" in text
    assert "truck 1" in text
    assert "300 gal (1140 L)" in text
    assert "No trial with landscape trees has shown growth from it." in text
    assert "1140 L (300 gal)" in " ".join(pages(batch_sheet_pdf(paper(FIT, "metric"))))


def test_a_sheet_names_each_tree_that_got_what_was_not_fit() -> None:
    way = Traced(heap_id="h", heap_name="6", time_zone="UTC", parts=(), applied=Applied(
        id="e", property_id="p", property_name="Alder Bank", tree_id="t", tree_label="oak 1", remedy="extract",
        day="2016-01-14", by="rs", amount_typed="24 gal", area_typed="", number=2, flags=("late",)))
    text = " ".join(" ".join(pages(batch_sheet_pdf(replace(paper(FIT), went=(way,))))).split())
    unfit = text[text.index("Put on, and not fit"):]
    assert "oak 1, Alder Bank: 14 January 2016, 24 gal" in unfit
    assert "It went out after its batch was good for: late." in unfit
    fine = replace(way, applied=replace(way.applied, flags=()))  # type: ignore[type-var]
    assert "Put on, and not fit" not in " ".join(pages(batch_sheet_pdf(replace(paper(FIT), went=(fine,)))))


def test_a_time_of_another_day_than_the_batchs_stands_with_its_day() -> None:
    seen, zone = paper(FIT).seen, zone_of(paper(FIT).seen)
    told, load = seen.batch.steps[-1], seen.batch.loads[0]
    assert re.search(r" \d\d:\d\d by rs|\d\d:\d\d, rs", step_told(told, seen, "us"))
    for begun, day in ((seen.batch.started_at, False), (seen.batch.started_at - timedelta(days=1), True)):
        batch = replace(seen.batch, started_at=begun)
        lines = (step_told(told, replace(seen, batch=batch), "us"), load_told(batch, load, "us", zone)[0],
                 load_named(batch, load, "us", zone))
        assert [line.count("15 January 2016") for line in lines] == ([1, 1, 2] if day else [0, 0, 0])


def test_no_paper_promises_or_certifies() -> None:
    text = " ".join(page for number in (OPEN, REFUSED, FIT) for make in (batch_sheet_pdf, batch_label_pdf)
                    for page in pages(make(paper(number))))
    assert not re.search(r"certif|feeds|cures?\b|boost|guarant", text, re.IGNORECASE)


@pytest.mark.parametrize("number", [REFUSED, FIT])
def test_sheet_and_label_of_an_invented_heap_say_so_and_no_others(number: str) -> None:
    invented = paper(number)
    real = replace(invented, seen=replace(invented.seen, heap=replace(invented.seen.heap, invented=False)))
    for make in (batch_sheet_pdf, batch_label_pdf):
        assert "Invented data." in " ".join(pages(make(invented)))
        assert "Invented data." not in " ".join(pages(make(real)))


def test_only_a_fit_label_says_until_when() -> None:
    fit, refused = (" ".join(pages(batch_label_pdf(paper(number)))) for number in (FIT, REFUSED))
    assert "Use by 15 January 2016, 04:50" in fit
    assert "America/Los_Angeles" in fit
    assert "Use by" not in refused
    assert "Do not load" in refused
    back = " ".join(pages(batch_label_pdf(paper(FIT, back="E. coli 2,400 per 100 mL"))))
    assert "CALLED BACK. Do not load." in back
    assert "E. coli 2,400 per 100 mL" in back
    assert "Use by" not in back


def test_a_paper_of_what_is_over_age_or_held_says_so() -> None:
    for late, held, says in ((51, "", "OVER AGE. Do not load."), (0, "bad smell", "HEAP HELD. Do not load.")):
        for make in (batch_sheet_pdf, batch_label_pdf):
            text = " ".join(pages(make(paper(FIT, held=held, late=late))))
            assert says in text
            assert "Use by" not in text
            assert held in text


def test_beans_that_twist_after_the_verdict_take_fit_away_on_every_paper_and_list() -> None:
    made, line = paper(FIT, twisted=True), "weedkiller is likely in heap 6"
    for make in (batch_sheet_pdf, batch_label_pdf):
        text = " ".join(pages(make(made))).replace("\n", " ")
        assert "HEAP MAY NOT BE USED. Do not load." in text
        assert line in text
        assert "Use by" not in text
    assert batch_finding(made.seen, NOW) == "Batch 4 is not loaded: its heap may not be used"
    assert line in batch_lede(made.seen, NOW).lower()
    listed = batches_listed([made.seen.batch], {made.seen.batch.heap_id: made.seen.heap}, NOW)
    assert listed[0][1:3] == ("barred", "Batch 4 is not loaded: its heap may not be used")


def test_only_slides_of_the_batch_itself_count_as_its_own(tmp_path: Path) -> None:
    yard(tmp_path / "own.sqlite", NOW)
    typed = {"method": "fields", "source": "batch", "source_id": FIT, "counted": "Bacteria, all", "counts": "40 42 44",
             "field_number_mm": "18", "objective": "40", "spread_mm2": "324", "drop_ul": "20"}
    with open_fieldbook(tmp_path / "own.sqlite", now=Clock(NOW)) as book:
        own = keep_slide(book, typed, by="rs", today=NOW.date(), system="us")
        soil = {**typed, "source": "soil", "source_id": "bed"}
        other = keep_slide(book, soil, by="rs", today=NOW.date(), system="us")
        assert own.slide is not None, own.wrong
        assert other.slide is not None, other.wrong
        tell_step(book, batch_paper(book, FIT, "us").seen.batch.id, "slide", {}, {"slide": other.slide.id}, "rs")
        made = batch_paper(book, FIT, "us")
        assert [slide.id for slide, _ in made.slides] == [own.slide.id]
        assert made.claims.organisms.counted
        take_slide_back(book, own.slide, "wrong batch", by="rs")
        assert batch_paper(book, FIT, "us").slides == ()


def test_the_command_writes_the_same_bytes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    yard(tmp_path / "own.sqlite", NOW)
    monkeypatch.setattr(fieldbook, "open_fieldbook", partial(open_fieldbook, now=Clock(NOW)))
    told = [REFUSED, "--fieldbook", str(tmp_path / "own.sqlite")]
    for extra, name in (([], "sheet.pdf"), (["--label"], "label.pdf")):
        done = CliRunner().invoke(sheet, [*told, "--out", str(tmp_path / name), *extra])
        assert done.exit_code == 0, done.output
    assert (tmp_path / "label.pdf").read_bytes() == batch_label_pdf(paper(REFUSED))
    assert "Printed" in " ".join(pages((tmp_path / "label.pdf").read_bytes()))
    assert "REFUSED" in " ".join(pages((tmp_path / "sheet.pdf").read_bytes()))
    missing = CliRunner().invoke(sheet, ["99", *told[1:], "--out", str(tmp_path / "x.pdf")])
    assert "there is no such batch" in str(missing.exception)


def test_what_trials_found_is_said_as_their_rows_say() -> None:
    claims = paper(FIT).claims
    lines = claim_lines(claims, "us")
    assert "No trial with landscape trees has shown growth from it." in lines
    assert any(line.startswith("5 years in the field") and "no significant effect was found on soil and growth" in line
               for line in lines)
    grew = replace(claims, trials=tuple(replace(trial, differs=True) if trial.growth else trial
                                        for trial in claims.trials))
    for said in (claim_lines(grew, "us"), client_claims(grew, "us")):
        assert not any("has shown growth" in line or "no significant effect" in line for line in said)
        assert any("found a difference from water in soil and growth" in line for line in said)
