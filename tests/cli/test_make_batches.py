"""rootcase make: batches from their start to a call back, loads, recall and trace; heaps told from the yard."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.make import make
from rootcase.fieldbook import fieldbook
from rootcase.fieldbook.made.batches import BatchStarted
from rootcase.ground.errors import RootcaseError
from rootcase.services import make_batch
from rootcase.services.heap import heap_named, start_heap
from rootcase.services.heap_figures import hold
from tests.web.batches import BACK, FIT, OPEN, REFUSED, Clock, yard
from tests.web.conftest import NOW


@pytest.fixture
def file(tmp_path: Path) -> Path:
    yard(tmp_path / "own.sqlite", NOW)
    return tmp_path / "own.sqlite"


@pytest.fixture
def clock(file: Path, monkeypatch: pytest.MonkeyPatch) -> Clock:
    """By which the command line goes, a quarter of an hour behind the fit batch."""
    clock = Clock(NOW)
    monkeypatch.setattr(fieldbook, "open_fieldbook", partial(fieldbook.open_fieldbook, now=clock))
    return clock


def run(file: Path, *words: str) -> Result:
    return CliRunner().invoke(make, [*words, "--fieldbook", str(file)])


def said(file: Path, *words: str) -> str:
    """What a command says, as one line."""
    return " ".join(run(file, *words).output.split())


def test_batches_and_one_of_them_are_shown_and_given_as_json(file: Path) -> None:
    lines = said(file, "batches")
    assert "Batch 1, open. 15 January 2016, 00:00, of heap 6; 0 loads." in lines
    assert "Batch 4 is over age: no load any more." in lines
    one = said(file, "batch", "4", "--units", "us")
    assert "Batch 4 was fit until 15 January 2016, 04:50" in one
    assert "no load any more" in one
    assert "compost by scale: weight 243 lb (110 kg)" in one
    assert "truck 1" in one
    assert "Oxygen 4.1 mg/L" in said(file, "batch", REFUSED)
    assert json.loads(run(file, "batch", "1", "--json").output)["number"] == 1


def test_a_batch_of_a_held_heap_is_shown_as_not_to_be_loaded(file: Path, clock: Clock) -> None:
    assert "Batch 4 is fit until 04:50." in said(file, "batches")
    with fieldbook.open_fieldbook(file) as book:
        hold(book, heap_named(book, "6"), "bad smell", by="rs", now=NOW)
    assert "Batch 4 is not loaded: its heap is held" in said(file, "batches")
    assert "Held: bad smell." in said(file, "batch", "4")


def test_a_load_over_its_age_is_refused_at_the_command_line_too(file: Path) -> None:
    done = run(file, "load", FIT, "300 gal", "--air-gap", "4 in", "--by", "rs")
    assert isinstance(done.exception, RootcaseError)
    assert "no load may be filled from it at that time" in str(done.exception)
    for words, wrong in (((FIT, "300 gal"), "Air gap not recorded"), ((FIT, "300 lb"), "cannot become"),
                         (("9", "300 gal"), "no such batch"), ((FIT, ""), "Liquid: nothing was typed"),
                         ((FIT, "5", "--oxygen", "9 gal"), "Oxygen in the tank: ")):
        done = run(file, "load", *words, "--by", "rs")
        assert wrong in str(done.exception)


@pytest.mark.parametrize(("words", "volume_l", "gap_m"), [
    (("50", "--air-gap", "2"), 189.27, 0.0508), (("50 gal", "--air-gap", "2"), 189.27, 0.0508),
    (("50", "--air-gap", "2 in"), 189.27, 0.0508), (("50", "--air-gap", "5", "--units", "metric"), 50.0, 0.05)])
def test_bare_numbers_are_in_the_units_that_were_asked_for(file: Path, monkeypatch: pytest.MonkeyPatch,
                                                           words: tuple[str, ...], volume_l: float,
                                                           gap_m: float) -> None:
    filled = []

    def fill(book: object, batch: str, volume: float, by: str, **told: object) -> None:
        filled.append((volume, told["air_gap_m"]))
        raise RootcaseError("enough")

    monkeypatch.setattr(make_batch, "fill_load", fill)
    run(file, "load", FIT, *words, "--by", "pat1")
    assert filled == [(pytest.approx(volume_l, abs=0.01), pytest.approx(gap_m))]


def test_a_recall_says_what_is_known_and_a_trace_where_it_went(file: Path) -> None:
    assert "E. coli 2,400 per 100 mL" in said(file, "recall", BACK)
    assert "oak 1" in said(file, "recall", BACK)
    assert "batch 3" in said(file, "trace", "3")
    assert json.loads(run(file, "trace", "3", "--json").output)[0]["batch_number"] == 3


def test_the_practice_sets_its_own_limits_at_the_command_line(file: Path) -> None:
    assert "the rule for extract without air" in " ".join(run(file, "limits").output.split())
    shown = run(file, "limits", "--floor", "7", "--holding", "4", "--height", "1200", "--by", "rs")
    lines = " ".join(shown.output.split())
    assert "Oxygen floor 7 mg/L." in lines
    assert "4 hours from the end of extraction: this practice's own limit" in lines
    assert "1,200 ft (366 m)" in lines
    assert "Oxygen floor 7 mg/L." in " ".join(run(file, "limits", "--holding", "none", "--by", "rs").output.split())
    for words, wrong in ((("--holding", "30 h", "--by", "rs"), "0.1 h"), (("--floor", "7"), "code")):
        refused = run(file, "limits", *words)
        assert wrong in str(refused.exception), words
    assert "this practice's own" not in run(file, "limits").output


def test_a_batch_is_made_from_the_command_line_alone(file: Path, clock: Clock) -> None:
    assert "Batch 5 is started." in said(file, "start", "6", "--by", "rs")
    for words in (("vat", "cleaned=yes"), ("water", "origin=mains", "volume_l=300 gal"),
                  ("chlorine", "strip=total", "total_chlorine_mg_l=0.05"), ("compost", "mass_kg=240 lb"),
                  ("start",), ("oxygen", "oxygen_mg_l=8.4", "temperature_c=68", "air=on")):
        assert "Batch 5" in said(file, "step", "5", *words, "--by", "rs"), words
    assert "ready to be judged" in said(file, "step", "5", "end", "volume_l=290", "--by", "rs")
    clock.on(3)
    judged = run(file, "judge", "5", "--by", "rs")
    assert (judged.exit_code, judged.output.startswith("Batch 5 is fit until 05:00")) == (0, True)
    assert "Loaded: 290 gal" in said(file, "load", "5", "290 gal", "--air-gap", "6 in", "--by", "rs")
    assert "It went out in 1 load" in said(file, "call-back", "5", "E. coli 2,400 per 100 mL", "--by", "rs")
    again = run(file, "call-back", "5", "again", "--by", "rs")
    assert isinstance(again.exception, RootcaseError)


def test_what_is_refused_at_the_command_line_says_why_and_leaves_by_three(file: Path, clock: Clock) -> None:
    judged = run(file, "judge", OPEN, "--by", "rs")
    assert judged.exit_code == 3
    assert "No compost was weighed in." in " ".join(judged.output.split())
    for words, wrong in ((("step", OPEN, "oxygen", "ph=7"), "ph=7"), (("step", "9", "vat"), "no such batch"),
                         (("start", "7"), "heap 7 may not be used"), (("call-back", FIT, " "), "why no further load"),
                         (("call-back", FIT, "x" * 401), "400"), (("heap-read", "6", "probe=1", "value=900"), "900")):
        refused = run(file, *words, "--by", "rs")
        assert isinstance(refused.exception, RootcaseError), words
        assert wrong in str(refused.exception), words


def test_a_heap_is_started_and_read_from_the_command_line(file: Path, clock: Clock) -> None:
    told = ("shape=windrow", "rule=cfr_503", "time_zone=America/Los_Angeles", "--by", "rs")
    assert run(file, "heap-start", "8", *told).exit_code == 0
    assert run(file, "heap-check", "8", "probes=1 2", "--by", "rs").exit_code == 0
    assert run(file, "heap-read", "8", "probe=1", "value=140", "--by", "rs").exit_code == 0
    assert run(file, "heap-turn", "8", "--by", "rs").exit_code == 0
    with fieldbook.open_fieldbook(file) as book:
        heap = heap_named(book, "8")
    assert [round(each.temperature_c) for each in heap.readings] == [60]
    assert (len(heap.turns), len(heap.checks)) == (1, 1)


def test_a_name_that_several_things_have_is_traced_through_all_of_them_or_the_one_asked_for(file: Path) -> None:
    with fieldbook.open_fieldbook(file, now=Clock(NOW)) as book:
        start = {"name": "3", "shape": "windrow", "rule": "cfr_503", "time_zone": "UTC"}
        told = start_heap(book, start, by="rs", now=NOW)
        book.making.tell(lambda _: [BatchStarted(slot="b", batch="b", number=5, heap=told.heap_id, by="rs",
                                                 at="2016-01-15T12:00:00.000Z")])
    found = {words: {way["batch_number"] for way in json.loads(run(file, "trace", "3", *words, "--json").output)}
             for words in ((), ("--batch",), ("--heap",))}
    assert found == {(): {3, 5}, ("--batch",): {3}, ("--heap",): {5}}
    assert isinstance(run(file, "trace", "3", "--tree").exception, RootcaseError)
