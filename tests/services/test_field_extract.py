"""What a phone is told of extract: the tanks of the day, and that there is none."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from rootcase.fieldbook.events import Event, body_text
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.sent import Sent
from rootcase.records.field import FieldExtract
from rootcase.services.field_extract import extract_of_the_day
from rootcase.services.make_batch import batch_named, call_back, judge_batch, start_batch
from rootcase.services.recall import recall, trace
from tests.web.batches import FIT, Clock, twist_beans, yard
from tests.web.conftest import NOW


def test_the_crew_hears_of_each_tank_of_the_day_whether_it_may_go_out(tmp_path: Path) -> None:
    yard(tmp_path / "own.sqlite", NOW)
    with open_fieldbook(tmp_path / "own.sqlite", now=Clock(NOW)) as book:
        told = extract_of_the_day(book, "us", NOW)
        fit = batch_named(book, FIT)
        assert [(each.id, each.told) for each in told.loads][:1] == [
            (fit.loads[0].id, "Batch 4, truck 1, 300 gal, filled 03:53, until 04:50")]
        assert [each.told.rpartition(". ")[2] for each in told.loads[1:]] == ["DO NOT PUT ON: called back"]
        assert told.missing == ""
        assert "1140 L" in extract_of_the_day(book, "metric", NOW).loads[0].told
        call_back(book, fit.id, "smelled sour in the tank", "rs")
        back = extract_of_the_day(book, "us", NOW)
        assert [each.told.rpartition(". ")[2] for each in back.loads] == ["DO NOT PUT ON: called back"] * 2
        assert back.missing.startswith("Batch 4 is called back. None of it goes out.")
        assert extract_of_the_day(book, "us", NOW + timedelta(days=2)) == FieldExtract((), "")


def test_a_tank_over_its_age_or_of_a_barred_heap_says_so_and_is_told_a_day_from_its_filling(tmp_path: Path) -> None:
    yard(tmp_path / "own.sqlite", NOW)
    with open_fieldbook(tmp_path / "own.sqlite", now=Clock(NOW)) as book:
        filled = batch_named(book, FIT).loads[0].at
        late = extract_of_the_day(book, "us", NOW + timedelta(hours=2))
        assert late.loads[0].told.endswith("DO NOT PUT ON: over its age")
        assert late.missing.startswith("Batch 4 is over its age. None of it goes out any more.")
        last = extract_of_the_day(book, "us", filled + timedelta(hours=24))
        assert [each.told[:7] for each in last.loads] == ["Batch 4"]
        assert extract_of_the_day(book, "us", filled + timedelta(hours=24, seconds=1)).loads == ()
        twist_beans(book, "6", NOW)
        barred = extract_of_the_day(book, "us", NOW)
        assert barred.loads[0].told.endswith("DO NOT PUT ON: its heap may not be used")
        assert barred.missing.startswith("Batch 4 waits: its heap may not be used.")


def test_where_the_newest_is_refused_chips_and_water_go_ahead(tmp_path: Path) -> None:
    clock = Clock(NOW)
    with open_fieldbook(tmp_path / "own.sqlite", now=clock) as book:
        assert extract_of_the_day(book, "us", NOW).missing == ""
        yard(tmp_path / "own.sqlite", NOW)
        clock.on(5)
        batch = start_batch(book, "h4", "rs")
        assert extract_of_the_day(book, "us", clock.at).missing == ""
        judge_batch(book, batch.id, "rs")
        assert extract_of_the_day(book, "us", clock.at).missing == "", "batch 4 may still go out"
        clock.on(120)
        assert extract_of_the_day(book, "us", clock.at).missing == (
            "Batch 5 is refused. Extract missing for stops that need it: chips and water can go ahead.")


def test_what_a_phone_logs_from_a_tank_of_the_day_is_found_by_a_recall_and_a_trace(tmp_path: Path) -> None:
    yard(tmp_path / "own.sqlite", NOW)
    with open_fieldbook(tmp_path / "own.sqlite", now=Clock(NOW)) as book:
        batch, ground = batch_named(book, FIT), book.properties()[0]
        tree = book.record(ground.id).trees[0]
        assert recall(book, batch).properties == ()
        load = extract_of_the_day(book, "us", NOW).loads[0].id
        body = PutOnLogged(slot="put 2", tree=tree.id, remedy="extract", day=NOW.date(), by="rs", amount="60 gal",
                           load=load)
        an_id, made_at = "017f22e2-79b0-7cc3-98c4-000000000001", "2015-11-05T09:30:00.000Z"
        event = Event(an_id, "own", ground.id, made_at, "phone 1", body)
        sent = Sent(an_id, ground.id, body.KIND, made_at, "phone 1", body_text(body), event.hash)
        assert book.taking_in.take([sent], NOW)[0].state == "new"
        found = recall(book, batch)
        assert [(each.name, [one.amount_typed for one in each.applied]) for each in found.properties] == [
            (ground.name, ["60 gal"])]
        assert found.loads_not_put_on == ()
        assert [(way.batch_number, way.load_id) for way in trace(book, tree.label) if way.batch_number == batch.number
                ] == [(batch.number, load)]
