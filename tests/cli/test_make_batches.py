"""rootcase make batches, batch, load, recall, trace."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.make import make
from rootcase.ground.errors import RootcaseError
from rootcase.services import make_batch
from rootcase.services.make_batch import call_back
from tests.fieldbook.making.batch_world import Clock, Yard, fit, made, usable_heap


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    clock = Clock(datetime(2016, 5, 3, 8, tzinfo=UTC))
    with Yard(tmp_path / "book.sqlite", clock).open() as book:
        fit(book, clock)
        made(book, clock, until="water")
    return tmp_path / "book.sqlite"


def run(file: Path, *words: str) -> Result:
    return CliRunner().invoke(make, [*words, "--fieldbook", str(file)])


def test_batches_and_one_of_them_are_shown_and_given_as_json(file: Path) -> None:
    lines = run(file, "batches").output
    assert "Batch 2, started 2016-05-03 08:50: not judged; 0 loads" in lines
    assert "Batch 1, started 2016-05-03 08:00: fit until 2016-05-03 09:40; 0 loads" in lines
    one = run(file, "batch", "1", "--units", "us").output
    assert "compost by scale, 2016-05-03 08:25, rs: weight 243 lb (110 kg)" in " ".join(one.split())
    assert json.loads(run(file, "batch", "1", "--json").output)["number"] == 1


def test_a_load_over_its_age_is_refused_at_the_command_line_too(file: Path) -> None:
    done = run(file, "load", "1", "300 gal", "--air-gap", "4 in", "--by", "rs")
    assert isinstance(done.exception, RootcaseError)
    assert "no load may be filled from it at that time" in str(done.exception)
    for words, wrong in ((("1", "300 gal"), "Air gap not recorded"), (("1", "300 lb"), "no volume or length"),
                         (("9", "300 gal"), "no such batch")):
        done = run(file, "load", *words, "--by", "rs")
        assert wrong in str(done.exception)


def test_a_recall_says_what_is_known_and_a_trace_where_it_went(file: Path) -> None:
    with Yard(file, Clock(datetime(2016, 5, 4, 8, tzinfo=UTC)), seed=9).open() as book:
        call_back(book, make_batch.batch_named(book, "1").id, "wrong heap", "rs")
    assert "Batch 1: wrong heap. It went out in 0 loads to 0 trees on 0 properties." in run(file, "recall", "1").output
    assert "batch 1" in run(file, "trace", "1").output
    assert json.loads(run(file, "trace", "1", "--json").output)[0]["batch_number"] == 1


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
