"""Events from elsewhere: kept once, answered for by id and hash; what does not fit is told and harms nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import timedelta
from math import isnan
from pathlib import Path
from typing import Any

import pytest

from rootcase.fieldbook.applied.ground_use import SqueezeTold
from rootcase.fieldbook.applied.log import LitresTold
from rootcase.fieldbook.applied.wrong import WentWrongTold
from rootcase.fieldbook.events import (
    Body,
    ComparedWith,
    Event,
    PitOpened,
    PlaceOpened,
    PlanSigned,
    PropertyOpened,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
    body_text,
)
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.sent import Sent
from rootcase.fieldbook.taking_in import TakenIn
from rootcase.ground.errors import Missing
from rootcase.ground.ids import IdMaker
from rootcase.records.observe import PropertyRecord
from rootcase.records.people import UNBOUND, Bounds
from rootcase.services.particulars import particulars, shown_mark, tell_particulars
from rootcase.services.sync import unsettled
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


def sent_of(book: Fieldbook, property_id: str, body: Body) -> Sent:
    event = Event(new_id(), "own", property_id, MADE, "phone 1", body)
    return Sent(event.id, property_id, body.KIND, MADE, "phone 1", body_text(body), event.hash)


def taken(book: Fieldbook, *wanted: Sent) -> tuple[TakenIn, ...]:
    return book.taking_in.take(wanted, NOW)


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
    told = book.taking_in.take(made, NOW, within=Bounds("crew1"))
    assert [each.state for each in told] == ["new", "refused", "refused"]
    assert told[1].right == "crew1"
    assert [each.state for each in book.taking_in.take(made, NOW)] == ["known", "new", "new"]


CREW1, CREW2 = Bounds("crew1"), Bounds("crew2")


def visit_by(book: Fieldbook, code: str, visit: str, **more: Any) -> Sent:
    return sent(book, VisitStarted(**({"slot": f"slot {visit}", "visit": visit, "label": visit, "day": NOW.date(),
                                       "observer": code} | more)))


def test_a_reading_moved_to_the_right_tree_by_another_stays_its_observer_s(book: Fieldbook) -> None:
    record = held(book)
    wrong, right = (tree.id for tree in record.trees[:2])
    first = sent(book, trunk(book, 301.0, visit="v 9", of=wrong))
    assert [each.state for each in book.taking_in.take([visit_by(book, "crew1", "v 9"), first], NOW, within=CREW1)] == [
        "new", "new"]
    moved = sent(book, ReadingCorrected(slot="phone 1/1", supersedes=first.id, kind="dbh", of=right, visit="v 9",
                                        typed="301.0 mm", value=301.0, reason="the other tree"))
    anew = sent(book, trunk(book, 301.0, visit="v 9", of=right, slot="phone 2/1"))
    assert [each.state for each in book.taking_in.take([moved, anew], NOW, within=CREW2)] == ["new", "refused"]
    assert [(each.of, each.observer) for each in held(book).readings if each.visit_id == "v 9"] == [(right, "crew1")]


def test_who_may_not_change_a_property_names_what_is_new_and_renames_nothing(book: Fieldbook) -> None:
    record = held(book)
    tree, other, place = record.trees[0].id, record.trees[1].id, record.places[0].id
    slots = {getattr(event.body, "tree", getattr(event.body, "place", "")): (event.body.slot, event.id)
             for event in events_of(book) if isinstance(event.body, TreeOpened | PlaceOpened)}
    put_on = PutOnLogged(slot="log", tree=tree, remedy="mulch", day=NOW.date(), by="crew1", amount="3 in")
    own = [TreeOpened(slot="t", tree="t 9", label="B1", place=place),
           YardstickNamed(slot="y", yardstick="y 9", label="ash", tree="t 9"),
           ComparedWith(slot="c", tree="t 9", yardstick="y 9", label="ash"),
           YardstickNamed(slot="y 2", yardstick="y 9", label="ash", tree=other), put_on,
           replace(put_on, amount="4 in")]
    made = [*(sent(book, body) for body in own), visit_by(book, "crew1", "v 9"),
            visit_by(book, "crew1", "v 9", label="morning")]
    assert [each.state for each in book.taking_in.take(made, NOW, within=CREW1)] == ["new"] * 8
    before = held(book)
    bodies = [TreeOpened(slot=slots[tree][0], supersedes=slots[tree][1], tree=tree, label="x", place=place),
              PlaceOpened(slot=slots[place][0], supersedes=slots[place][1], place=place, name="x", place_kind=""),
              TreeOpened(slot="t", supersedes=made[0].id, tree="t 8", label="B1", place=place),
              YardstickNamed(slot="y", supersedes=made[1].id, yardstick="y 8", label="ash", tree="t 9"),
              YardstickNamed(slot="y 3", yardstick="y 9", label="oak", tree=other),
              ComparedWith(slot="c 2", tree="t 9", yardstick="y 8", label="elm"),
              replace(put_on, amount="9 in", by="crew2"),
              VisitStarted(slot="slot v 9", visit="v 9", label="x", day=NOW.date(), observer="crew2"),
              VisitStarted(slot="slot v 9", visit="v 8", label="x", day=NOW.date(), observer="crew2")]
    late = [sent(book, body) for body in bodies]
    assert [each.state for each in book.taking_in.take(late, NOW, within=CREW2)] == ["refused"] * 9
    assert held(book) == before
    assert {taken(book, each)[0].state for each in late[:7]} == {"new"}, "who may change the property may"


def test_what_waited_comes_in_with_the_rights_its_sender_had(book: Fieldbook) -> None:
    own, others = sent(book, trunk(book, visit="v 9")), sent(book, trunk(book, visit="v 8", slot="phone 1/2"))
    told = book.taking_in.take([own, others], NOW, within=CREW1)
    assert [each.state for each in told] == ["waiting", "waiting"]
    taken(book, visit_by(book, "crew1", "v 9"), visit_by(book, "owner1", "v 8"))
    assert [each.id for each in book.aside.kept(CREW1)] == [others.id]
    assert own.id in {each.id for each in held(book).readings}


def test_what_puts_right_what_waits_waits_for_it_though_a_copy_of_its_id_is_kept_aside(book: Fieldbook) -> None:
    first = sent(book, trunk(book, 301.0, visit="v 9"))
    better = sent(book, ReadingCorrected(slot="phone 1/1", supersedes=first.id, kind="dbh", visit="v 9", typed="302 mm",
                                         of=held(book).trees[0].id, value=302.0, reason="slip"))
    copy = sent(book, trunk(book, 400.0, visit="v 9"), first.id)
    assert book.taking_in.take([better], NOW, within=CREW2)[0].state == "waiting"
    later = NOW + timedelta(minutes=1)
    assert [each.state for each in book.taking_in.take([first, copy], later, within=CREW1)] == ["waiting", "conflict"]
    taken(book, visit_by(book, "crew1", "v 9"))
    assert [each.hash for each in book.aside.kept(UNBOUND)] == [copy.hash]
    assert [each.typed for each in held(book).readings if each.visit_id == "v 9"] == ["302 mm"]


def test_a_property_opened_at_a_tree_has_a_name_and_is_placed_at_the_desk(book: Fieldbook) -> None:
    an_id, tree = new_id(), new_id()
    bodies = (PropertyOpened(slot="p", name="Elm Court", weather_station="", system="us", invented=False),
              PlaceOpened(slot="pl", place="lawn", name="lawn", place_kind=""),
              TreeOpened(slot="t", tree=tree, label="B1", place="lawn"),
              VisitStarted(slot="v", visit="v", label="first", day=NOW.date()),
              ReadingTaken(slot="r", kind="dbh", of=tree, visit="v", typed="12 in", value=304.8))
    made = [sent_of(book, an_id, body) for body in bodies]
    assert [each.state for each in taken(book, *made)] == ["new"] * 5
    record = book.record(an_id)
    assert (record.property.name, [each.typed for each in record.readings]) == ("Elm Court", ["12 in"])
    assert isnan(record.property.latitude_deg)
    assert particulars(record.property, "us")["latitude"] == ""
    shown = {"shown": shown_mark(book, record.property)}
    assert tell_particulars(book, record.property, shown | {"latitude": "47.6"}, system="us", by="x") == {
        "longitude": "a place is a latitude and a longitude: say this too, beside the latitude"}
    assert not tell_particulars(book, record.property, shown | {"latitude": "47.6", "longitude": "-122.3"}, system="us",
                                by="x")
    assert book.record(an_id).property.latitude_deg == 47.6
    assert taken(book, sent_of(book, an_id, replace(bodies[0], slot="p 2")))[0].state == "refused"


def test_what_comes_before_what_it_speaks_of_waits_and_comes_in_with_it(book: Fieldbook) -> None:
    an_id, tree = new_id(), new_id()
    record = held(book)
    bodies = (PropertyOpened(slot="p", name="Elm Court", weather_station="", system="us", invented=False),
              PlaceOpened(slot="pl", place="lawn", name="lawn", place_kind=""),
              TreeOpened(slot="t", tree=tree, label="B1", place="lawn"),
              VisitStarted(slot="v", visit="v", label="first", day=NOW.date()))
    made = [sent_of(book, an_id, body) for body in bodies]
    reading = sent_of(book, an_id, ReadingTaken(slot="r", kind="dbh", of=tree, visit="v", typed="1 in", value=25.4))
    better = sent_of(book, an_id, ReadingCorrected(slot="r", supersedes=reading.id, kind="dbh", of=tree, visit="v",
                                                   typed="2 in", value=50.8))
    odd = sent_of(book, an_id, TreeOpened(slot="r", tree="odd", label="B2", place="lawn"))
    assert [taken(book, each)[0].state for each in (better, odd, reading, made[3], made[2], made[1])] == ["waiting"] * 6
    assert [each.state for each in taken(book, better)] == ["waiting"]
    assert held(book) == record
    assert taken(book, made[0])[0].state == "new"
    with book.store.reading() as look:
        assert look.waiting() == {}
    assert [each.typed for each in book.record(an_id).readings] == ["2 in"]
    assert [(each.id, each.code) for each in book.aside.kept(UNBOUND)] == [(odd.id, "")], "its slot was a reading's"
    assert [each.state for each in taken(book, better, reading, *made)] == ["known"] * 6


def test_what_is_kept_aside_is_put_right_let_go_or_kept_as_text(book: Fieldbook) -> None:
    wrong = [sent(book, trunk(book, 90_000.0, slot=f"s{n}", typed=f"{n}0000 in")) for n in range(4)]
    taken(book, *wrong)
    marks = {each.id: each.mark for each in book.aside.kept(UNBOUND)}
    new = book.aside.mend(marks[wrong[0].id], "12 in", "us", within=UNBOUND, by="x")
    text = book.aside.as_text(marks[wrong[1].id], within=UNBOUND, by="x")
    book.aside.let_go(marks[wrong[2].id], "typed twice", within=UNBOUND, by="x")
    right = sent(book, ReadingCorrected(**{each.name: getattr(trunk(book, 310.0, slot="s3"), each.name)
                                           for each in fields(ReadingTaken)} | {"supersedes": wrong[3].id}))
    assert taken(book, right)[0].state == "new"
    assert book.aside.kept(UNBOUND) == ()
    readings = {each.id: each for each in held(book).readings}
    assert (readings[new].value, readings[text].choice, readings[right.id].value) == (304.8, "10000 in", 310.0)
    assert readings[text].kind == "Trunk diameter (DBH), as typed"
    assert [each.settled for each in taken(book, *wrong)] == ["mended", "as_text", "let_go", "mended"]
    with pytest.raises(Missing, match="needs somebody"):
        book.aside.let_go(marks[wrong[0].id], "again", within=UNBOUND, by="x")


def test_whoever_speaks_of_their_own_visits_alone_sees_and_settles_what_they_sent(book: Fieldbook) -> None:
    wrong = sent(book, VisitStarted(slot="x", visit=new_id(), label="-", day=NOW.date(), observer="other"))
    assert book.taking_in.take([wrong], NOW, within=Bounds("crew1"))[0].state == "refused"
    assert [each.id for each in book.aside.kept(Bounds("crew1"))] == [wrong.id]
    assert book.aside.kept(Bounds("crew2")) == ()
    with pytest.raises(Missing, match="needs somebody"):
        book.aside.let_go(book.aside.kept(UNBOUND)[0].mark, "no", within=Bounds("crew2"), by="crew2")
    assert taken(book, wrong)[0].state == "new", "who may send it has"
    assert book.aside.kept(UNBOUND) == ()


def test_a_clock_that_is_ahead_is_told_and_its_events_stand_under_their_arrival(book: Fieldbook) -> None:
    far, near = ((NOW + timedelta(days=ahead)).strftime("%Y-%m-%dT%H:%M:%S.000Z") for ahead in (3, 0.5))
    one, other = sent(book, trunk(book, slot="a"), made_at=far), sent(book, trunk(book, slot="b"), made_at=near)
    book.taking_in.take([one, other], NOW, by="crew1", told_now=far)
    made = {event.id: event.made_at for event in events_of(book)}
    assert (made[one.id], made[other.id]) == ("2016-01-15T12:00:00.000Z", near)
    told = unsettled(book, UNBOUND)
    assert [(each.id, each.claimed_at, each.arrived_at) for each in told.ahead] == [(one.id, far, made[one.id])]
    assert [(each.device, each.ahead_ms) for each in told.clocks] == [("phone 1", 3 * 86_400_000)]
    book.taking_in.take([one], NOW, by="crew1", told_now="2016-01-15T12:01:59.000Z")
    assert unsettled(book, UNBOUND).clocks == ()
    book.taking_in.take([one], NOW, by="crew1", told_now="no clock")


def test_a_log_of_one_part_of_a_job_comes_in(book: Fieldbook) -> None:
    def logged(part: int) -> str:
        body = PutOnLogged(slot=f"part {part}", tree=held(book).trees[0].id, remedy="extract", day=NOW.date(),
                           by="crew1", jobs=("j",), part=part, batch="b", volume_l=40.0)
        return book.taking_in.take([sent(book, body)], NOW, within=Bounds("crew1"))[0].state

    assert [logged(part) for part in (1, 2, 999, 1000, -1)] == ["new", "new", "new", "refused", "refused"]
    assert {each.part for each in book.recording.applications()} == {1, 2, 999}


def test_a_crew_tells_and_corrects_what_it_saw_at_a_stop_in_its_own_name_alone(book: Fieldbook) -> None:
    place = held(book).places[0].id

    def squeeze(by: str, slot: str = "stop 1", state: str = "saturated", supersedes: str | None = None) -> Sent:
        return sent(book, SqueezeTold(slot=slot, by=by, place=place, day=NOW.date(), state=state,  # type: ignore[arg-type]
                                      supersedes=supersedes))

    def take(one: Sent, code: str = "crew1") -> str:
        return book.taking_in.take([one], NOW, within=Bounds(code))[0].state

    first = squeeze("crew1")
    assert [take(first), take(first), take(squeeze("crew2", "stop 2"))] == ["new", "known", "refused"]
    assert take(squeeze("crew1", state="fit", supersedes=first.id)) == "new"
    assert take(squeeze("crew2", state="dry", supersedes=first.id), "crew2") == "refused"
    assert [each.state for each in book.applying.ground(held(book).property.id).squeezes] == ["fit"]
    assert take(squeeze("crew1", "stop 3", "soggy")) == "refused"


def test_liters_of_a_batch_are_told_of_no_property_and_nothing_else_is(book: Fieldbook) -> None:
    told = LitresTold(slot="tank 1", batch="b", what="left", volume_l=87.0, at=MADE, by="crew1", where="own beds")
    note = WentWrongTold(slot="wrong 1", day=NOW.date(), at=MADE, by="crew1", note="hose burst")
    states = [each.state for each in taken(book, sent_of(book, "", told), sent_of(book, "", note), sent(book, note))]
    assert states == ["new", "waiting", "new"]
    assert [each.volume_l for each in book.recording.litres()] == [87.0]
    assert [each.note for each in book.applying.went_wrong(held(book).property.id)] == ["hose burst"]
