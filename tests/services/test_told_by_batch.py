"""Extract of which a phone told the batch and not the load: flagged, found in a recall, in the account, never lost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from shutil import copy

import pytest

from rootcase.fieldbook.applied.fleet import BatchPlanned
from rootcase.fieldbook.applied.log import LitresTold
from rootcase.fieldbook.events import TreeOpened
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.records.apply.done import Application
from rootcase.records.make.batch import Batch
from rootcase.services.field_extract import litres_of_the_day
from rootcase.services.log import accounts, take_log
from rootcase.services.make_batch import batch_named, call_back, fill_load
from rootcase.services.recall import recall, recalled_at, trace
from tests.fieldbook.sheets import FACTS, event
from tests.web.batches import FIT, Clock, yard
from tests.web.conftest import NOW

PLANNED = "planned1"


@pytest.fixture
def clock() -> Clock:
    return Clock(NOW)


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The yard with a property and a planned batch, made once; each test has a copy of its own."""
    path = tmp_path_factory.mktemp("yard") / "own.sqlite"
    yard(path, NOW)
    with open_fieldbook(path, now=lambda: NOW) as opened:
        told = replace(FACTS, name="Alder Bank"), TreeOpened(slot="t9", tree="t9", label="oak 4", place="lawn")
        with opened.store.writing() as turn:
            turn.add([replace(event(f"own-{body.slot}", body), property_id="own") for body in told])
        opened.applying.tell_practice(lambda _: [BatchPlanned(
            slot=PLANNED, batch=PLANNED, day=NOW.date(), ready_min=0.0, use_by_min=60.0, volume_l=1000.0,
            fill_point="yard", by="rs")])
    return path


@pytest.fixture
def book(filled: Path, tmp_path: Path, clock: Clock) -> Iterator[Fieldbook]:
    copy(filled, tmp_path)
    with open_fieldbook(tmp_path / filled.name, now=clock) as opened:
        yield opened


def fit_batch(book: Fieldbook) -> Batch:
    return batch_named(book, FIT)


def log(book: Fieldbook, batch: str, slot: str = "s", **more: object) -> Application:
    body = PutOnLogged(slot=slot, tree="t9", remedy="extract", day=NOW.date(), by="rs", batch=batch, volume_l=100.0,
                       started=written(NOW), ended=written(NOW))
    book.recording.tell("own", replace(body, **more))  # type: ignore[arg-type]  # as they are called
    return next(each for each in book.recording.applications("own") if each.slot == slot)


def test_its_load_is_the_only_one_that_was_filled_before_and_the_record_stays_as_told(book: Fieldbook, clock: Clock
                                                                                     ) -> None:
    fit = fit_batch(book)
    one = log(book, fit.id)
    assert (one.load_id, one.batch_id, one.flags) == (fit.loads[0].id, fit.id, ("batch_told",))
    assert accounts(book)[0][1].applied_l == 100.0
    assert accounts(book, slice(1)) == accounts(book)[:1]
    clock.on(5)
    fill_load(book, fit.id, 50.0, "rs", air_gap_m=0.15, oxygen_mg_l=8.2, tank="truck 2")
    assert log(book, fit.id).load_id == fit.loads[0].id
    late = log(book, fit.id, "later", started=written(clock.at), ended=written(clock.at))
    assert (late.load_id, late.batch_id) == ("", fit.id)


def test_a_planned_batch_is_the_one_that_tanks_were_filled_of_and_an_unknown_one_is_flagged(book: Fieldbook) -> None:
    fit = fit_batch(book)
    planned = log(book, PLANNED)
    # Two batches were filled within the day before: which is meant nobody knows.
    assert (planned.load_id, planned.flags) == ("", ("batch_told",))
    assert "own" not in {way.applied.property_id for way in trace(book, fit.id, "batch") if way.applied}
    next_day = written(NOW + timedelta(hours=23.5))  # only one was filled within the day before that
    alone = log(book, PLANNED, "alone", started=next_day, ended=next_day)
    assert alone.load_id == fit.loads[0].id
    unknown = log(book, "nothing", "u")
    assert (unknown.load_id, unknown.batch_id, unknown.flags) == ("", "nothing", ("batch_told", "no_such_batch"))


def test_a_recall_finds_it_by_its_batch_and_a_trace_by_its_tree(book: Fieldbook) -> None:
    fit = fit_batch(book)
    log(book, fit.id)
    for level, named in (("batch", fit.id), ("load", fit.loads[0].id), ("tree", "t9")):
        found = [way for way in trace(book, named, level) if way.applied]  # type: ignore[arg-type]
        assert [(way.batch_number, way.load_id, way.applied and way.applied.tree_label) for way in found] == [
            (4, fit.loads[0].id, "oak 4")], level
    call_back(book, fit.id, "smelled sour", "rs")
    found = recall(book, fit_batch(book))
    assert [each.name for each in found.properties] == ["Alder Bank"]
    assert found.extract_without_load == 0
    assert [each.batch.id for each in recalled_at(book, "own")] == [fit.id]
    assert "called_back" in log(book, fit.id, "again", started=written(NOW), ended="2016-12-01T00:00:00.000Z").flags


def test_a_correction_at_the_desk_keeps_the_batch_until_a_load_is_told(book: Fieldbook) -> None:
    fit = fit_batch(book)
    one = log(book, fit.id)
    ground = next(each for each in book.properties() if each.id == "own")
    typed = {"slot": one.slot, "tree": "t9", "remedy": "extract", "note": "slow hose", "day": date.isoformat(one.day)}
    assert not take_log(book, ground, typed, "rs", "metric").wrong
    assert book.recording.applications("own")[0].batch_id == fit.id
    assert not take_log(book, ground, typed | {"load": fit.loads[0].id}, "rs", "metric").wrong
    last = book.recording.applications("own")[0]
    assert (last.load_id, last.batch_id, last.flags) == (fit.loads[0].id, "", ())


def test_the_phone_is_told_where_each_batch_of_the_day_went_by_whomever(book: Fieldbook) -> None:
    fit = fit_batch(book)
    one = log(book, fit.id)
    log(book, "", "known", load=fit.loads[0].id)
    book.recording.tell("", LitresTold(slot="left", batch=fit.id, what="left", volume_l=30.0, at=written(NOW), by="rs",
                                       where="own beds"))
    book.recording.tell("", LitresTold(slot="rinse", batch=fit.id, what="rinse", volume_l=9.0, at=written(NOW),
                                       by="rs", where="own beds"))
    told = [each for each in litres_of_the_day(book) if each.batch_id == fit.id]
    assert {(each.slot, each.what, each.litres) for each in told} == {
        ("s", "applied", 100.0), ("known", "applied", 100.0), ("left", "left", 30.0)}
    assert next(each.id for each in told if each.slot == "s") == one.id
