"""Events from elsewhere: kept once, answered for by id and hash; what does not fit is told and harms nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rootcase.fieldbook.events import (
    Body,
    Event,
    PitOpened,
    PlanSigned,
    PropertyOpened,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    TreeOpened,
    VisitStarted,
    body_text,
)
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.sound import Sent
from rootcase.fieldbook.taking_in import TakenIn, take_in
from rootcase.ground.ids import IdMaker
from rootcase.records.observe import PropertyRecord
from rootcase.records.people import UNBOUND, Bounds
from tests.fieldbook.sheets import NOW, SHEET, open_book, write_sheet

MADE = "2016-01-15T12:00:00.000Z"
new_id = IdMaker(lambda: 1452859200000, bytes)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "book.sqlite") as fieldbook:
        fieldbook.import_sheet(write_sheet(tmp_path / "sheet", SHEET))
        yield fieldbook


def held(book: Fieldbook) -> PropertyRecord:
    return book.record(book.properties()[0].id)


def sent(book: Fieldbook, body: Body, an_id: str = "", **otherwise: Any) -> Sent:
    ground = book.properties()[0]
    event = Event(an_id or new_id(), ground.practice_id, ground.id, MADE, "phone 1", body)
    return replace(Sent(event.id, ground.id, body.KIND, MADE, "phone 1", body_text(body), event.hash), **otherwise)


def trunk(book: Fieldbook, value: float | None = 300.0, slot: str = "phone 1/1", **more: Any) -> ReadingTaken:
    record = held(book)
    given: dict[str, Any] = {"slot": slot, "kind": "dbh", "of": record.trees[0].id, "visit": record.visits[0].id,
                             "typed": f"{value} mm", "value": value}
    return ReadingTaken(**(given | more))


def taken(book: Fieldbook, *wanted: Sent) -> tuple[TakenIn, ...]:
    return take_in(book.store, wanted, NOW)


def test_a_new_event_is_kept_and_answered_for_by_id_and_hash(book: Fieldbook) -> None:
    one = sent(book, trunk(book))
    assert taken(book, one) == (TakenIn(one.id, "new", one.hash),)
    assert one.id in {reading.id for reading in held(book).readings}


def test_the_same_again_adds_nothing_even_within_one_batch(book: Fieldbook) -> None:
    one = sent(book, trunk(book))
    assert [each.state for each in taken(book, one, one)] == ["new", "known"]
    before = book.state_hash()
    assert taken(book, one) == (TakenIn(one.id, "known", one.hash),)
    assert book.state_hash() == before


def test_the_same_id_with_other_content_is_a_conflict_and_changes_nothing(book: Fieldbook) -> None:
    one = sent(book, trunk(book))
    taken(book, one)
    before, other = held(book), sent(book, trunk(book, 400.0), one.id)
    found, = taken(book, other)
    assert (found.state, found.hash) == ("conflict", one.hash)
    assert held(book) == before
    assert [each.hash for each in book.aside.kept(UNBOUND)] == [other.hash]


def test_a_whole_visit_comes_in_at_once_in_the_order_it_was_made(book: Fieldbook) -> None:
    place = held(book).places[0].id
    visit = VisitStarted(slot="v", visit="v 9", label="spring", day=NOW.date(), observer="reader 2")
    tree = TreeOpened(slot="t", tree="t 9", label="oak 9", place=place, east_m=1.5, north_m=2.0)
    pit = PitOpened(slot="p", pit="p 9", label="pit 9", tree="t 9")
    probe = ReadingTaken(slot="r", kind="probe_depth", of="p 9", visit="v 9", typed="3 in", value=0.0762)
    wrong = sent(book, replace(probe, slot="r 2"))
    back = ReadingTakenBack(slot="r 2", supersedes=wrong.id, reason="wrong pit")
    right = ReadingCorrected(slot="r", supersedes=None, kind="probe_depth", of="p 9", visit="v 9", typed="4 in",
                             value=0.1016, reason="slip")
    first = sent(book, probe)
    found = taken(book, *(sent(book, each) for each in (visit, tree, pit)), first, wrong, sent(book, back),
                  sent(book, replace(right, supersedes=first.id)))
    assert [each.state for each in found] == ["new"] * 7
    assert [(reading.typed, reading.observer) for reading in held(book).readings if reading.of == "p 9"] == [
        ("4 in", "reader 2")]


def test_what_is_wrong_is_refused_and_the_rest_is_kept(book: Fieldbook) -> None:
    good = [sent(book, trunk(book, slot=f"s{n}")) for n in range(2)]
    found = taken(book, good[0], sent(book, trunk(book, 90_000.0, slot="s9")), good[1])
    assert [each.state for each in found] == ["new", "refused", "new"]
    assert "is not possible" in found[1].error
    kept, = book.aside.kept(UNBOUND)
    assert (kept.id, kept.hash, kept.why) == (found[1].id, found[1].hash, found[1].error)


def wrongs(book: Fieldbook) -> dict[str, Sent]:
    plan = PlanSigned(slot="plan", signed="{}", mark="0" * 64, by="x", day=NOW.date())
    record = held(book)
    property_slot = next(event.body.slot for event in events_of(book) if event.body.KIND == "property_opened")
    known = next(event for event in events_of(book) if event.body.KIND == "reading_taken")
    text = body_text(trunk(book))
    return {
        "this slot is of another kind": sent(book, trunk(book, slot=property_slot)),
        "speaks of another thing": sent(book, trunk(book, supersedes=known.id)),
        "a name and units, and nothing more yet": sent(book, PropertyOpened(
            slot="p", name="x", latitude_deg=51.0, longitude_deg=0.0, weather_station="", system="us", invented=False)),
        "the property has no name": sent(book, PropertyOpened(slot="p", name=" ", weather_station="", system="us",
                                                              invented=False)),
        "this id was opened in another slot": sent(book, TreeOpened(
            slot="t", tree=record.trees[0].id, label="t", place=record.places[0].id)),
        "no such kind of event": sent(book, plan),
        "the device has no name": sent(book, trunk(book), device=""),
        "the body is too long": sent(book, trunk(book, typed="9" * 20_001)),
        "the time is not written as such": sent(book, trunk(book), made_at="2016-01-15 12:00"),
        "not in canonical form": replace(sent(book, trunk(book)), body=text.replace(":", ": ", 1)),
        "not a stored text": replace(sent(book, trunk(book)), body="{"),
        "the hash is not that": sent(book, trunk(book), hash="0" * 64),
        "nothing of what it corrects": sent(book, ReadingTakenBack(slot="s", reason="no")),
        "one value, one choice": sent(book, trunk(book, nothing="not read")),
        "is no number": sent(book, trunk(book, kind="species", value=1.0)),
        "no such choice": sent(book, trunk(book, kind="wood_stain", value=None, choice="perhaps")),
        "fields that its kind does not know": replace(sent(book, trunk(book)), body=text[:-1] + ',"x":1}'),
        "lacks a field": replace(sent(book, trunk(book)), body='{"slot":"s"}'),
        "not of its type": replace(sent(book, trunk(book)), body=text.replace('"300"', '"inf"')),
        "value: the field is not of its type": replace(sent(book, trunk(book)), body=text.replace('"300"', '["300"]')),
        "upper depth lies under": sent(book, trunk(book, depth_from_m=0.5, depth_to_m=0.1)),
        "this is not an id": sent(book, trunk(book), an_id="7"),
    }


def events_of(book: Fieldbook) -> list[Event]:
    with book.store.reading() as look:
        return look.events()


def test_nothing_that_does_not_fit_comes_in(book: Fieldbook) -> None:
    before, events = held(book), len(events_of(book))
    for told, wrong in wrongs(book).items():
        found, = taken(book, wrong)
        assert (found.state, told in found.error) == ("refused", True), (told, found)
        kept = {(each.id, each.body, each.hash, each.why) for each in book.aside.kept(UNBOUND)}
        assert (wrong.id, wrong.body, wrong.hash, found.error) in kept
    assert held(book) == before
    assert len(events_of(book)) == events


def test_a_visit_is_its_sender_s_own_where_nothing_more_is_allowed(book: Fieldbook) -> None:
    made = [sent(book, VisitStarted(slot=f"phone 1/{who}", visit=new_id(), label=who or "-", day=NOW.date(),
                                    observer=who)) for who in ("crew1", "owner1", "")]
    told = take_in(book.store, made, NOW, within=Bounds("crew1"))
    assert [each.state for each in told] == ["new", "refused", "refused"]
    assert told[1].right == "crew1"
    assert [each.state for each in take_in(book.store, made, NOW)] == ["known", "new", "new"]
