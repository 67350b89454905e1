"""What was put on, as it is typed: kept whatever it lacks, refused where it claims to be whole and is not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.applying import log as command
from rootcase.cli.main import rootcase
from rootcase.fieldbook.events import RuleTold
from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.store import Contact
from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.records.observe import Property
from rootcase.report.text.record import duty_lines, flag_lines, hours
from rootcase.services import make_batch
from rootcase.services.log import ADDRESS, accounts, give_copy, recorded, records, take_litres, take_log, verified
from rootcase.services.log_boxes import of_record
from rootcase.services.make_batch import fill_load
from tests.fieldbook.making.batch_world import Clock, Yard, fit, usable_heap
from tests.fieldbook.sheets import event, whole_property
from tests.services.planned import TODAY, planned

NOW = datetime(2016, 5, 3, 20, tzinfo=UTC)
WHOLE: Mapping[str, str] = {
    "tree": "t1", "remedy": "growth_regulator", "day": "3 May 2016", "started": "9:00 am", "ended": "9:40 am",
    "volume": "55", "area": "1000", "site": "ornamental trees", "product": "Example", "registration": "1234-56",
    "restricted": "on", "licence": "C-1234", "no_helper": "on"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "book.sqlite"


@pytest.fixture
def book(path: Path) -> Iterator[Fieldbook]:
    with open_fieldbook(path, now=lambda: NOW) as found:
        with found.store.writing() as turn:
            turn.add(whole_property())
            turn.keep_contacts([Contact("o", "p", "owner", "An Owner"), Contact("a", "p", ADDRESS, "1 Street")])
        yield found


@pytest.fixture
def ground(book: Fieldbook) -> Property:
    return book.properties()[0]


def test_what_lacks_something_is_kept_and_open_with_its_days(book: Fieldbook, ground: Property) -> None:
    came = take_log(book, ground, {**WHOLE, "licence": "", "registration": ""}, "rs", "us")
    one, = records(book, NOW.date())
    assert (came.wrong, one.application.slot, one.is_open) == ({}, came.slot, True)
    assert [lack.field for lack in one.duty.missing] == ["registration", "licence"]
    assert one.duty.due == date(2016, 5, 17)


@pytest.mark.parametrize(("told", "flags"), [
    ({"time_zone": "Etc/Unknown"}, ("zone_not_known",)), ({"started": "x"}, ()), ({"ended": "2016-05-03"}, ())])
def test_what_was_once_taken_in_and_cannot_be_read_keeps_nobody_from_the_record(
        book: Fieldbook, ground: Property, told: Mapping[str, str], flags: tuple[str, ...]) -> None:
    body = PutOnLogged(**{  # type: ignore[arg-type]
        "slot": "s", "tree": "t1", "remedy": "growth_regulator", "day": NOW.date(), "by": "rs", "restricted": True,
        "started": "2016-05-03T13:00:00.000Z", "ended": "2016-05-03T14:00:00.000Z", "time_zone": ground.time_zone,
        **told})
    book.recording.tell(ground.id, body)
    one, = records(book, NOW.date())
    assert (one.application.time_zone, one.application.flags) == (ground.time_zone, flags)
    assert ("hours" in {lack.field for lack in one.duty.missing}) is not bool(flags)


def test_the_states_own_days_stand_where_they_are_told(book: Fieldbook, ground: Property) -> None:
    with book.store.writing() as turn:
        turn.add([replace(event("own", RuleTold(
            slot=topic, topic=topic, law="North", value=value, unit=unit, applies_to=("growth_regulator",),
            source="section 3", checked_on=NOW.date())), id=topic, property_id="")
            for topic, value, unit in (("record_within", 3.0, "day"), ("records", 5.0, "year"))])
    take_log(book, ground, {**WHOLE, "licence": ""}, "rs", "us")
    one, = records(book, NOW.date())
    assert (one.duty.due, one.duty.keep_until) == (date(2016, 5, 6), date(2021, 5, 3))
    line, *_ = duty_lines(one.duty, None, NOW.date())
    assert "The rule you told: within 3 days, until 6 May 2016; federal rule: within 14 days." in line


@pytest.mark.parametrize(("field", "cell"), [
    ("product", "product"), ("registration", "registration"), ("volume", "volume"), ("area", "area"),
    ("site", "site"), ("licence", "licence"), ("started", "started"), ("no_helper", "helpers")])
def test_what_claims_to_be_whole_is_refused_beside_each_field(book: Fieldbook, ground: Property, field: str,
                                                              cell: str) -> None:
    typed = {**WHOLE, "whole": "on", field: ""}
    assert cell in take_log(book, ground, typed, "rs", "us").wrong
    assert records(book, NOW.date()) == ()


def test_a_whole_record_is_closed_once_the_client_had_a_copy(book: Fieldbook, ground: Property) -> None:
    came = take_log(book, ground, {**WHOLE, "whole": "on"}, "rs", "us")
    assert came.wrong == {}
    one = recorded(book, "1", NOW.date())
    assert one.duty.copy_due == date(2016, 6, 2)
    with pytest.raises(ImpossibleValue, match="a copy before the work was done"):
        give_copy(book, one.application, one.application.day - timedelta(days=1), "rs")
    give_copy(book, one.application, date(2016, 5, 10), "rs")
    assert not recorded(book, "1", NOW.date()).is_open
    assert one.application.litres == pytest.approx(208.198, abs=0.01)
    assert one.application.amount == "55 gal"


def test_a_meter_that_was_read_in_the_other_unit_is_asked_about(book: Fieldbook, ground: Property) -> None:
    typed = {**WHOLE, "volume": "208"}
    planned = 208.198  # 55 gal
    assert take_log(book, ground, typed, "rs", "us", planned).meant_l == pytest.approx(208.0)
    assert records(book, NOW.date()) == ()
    assert take_log(book, ground, {**typed, "meant": "gal"}, "rs", "us", planned).slot
    assert take_log(book, ground, {**WHOLE, "volume": "208 L"}, "rs", "us", planned).meant_l is None
    assert take_log(book, ground, WHOLE, "rs", "us", planned).meant_l is None


def test_what_cannot_be_read_is_told_by_field_and_nothing_is_kept(book: Fieldbook, ground: Property) -> None:
    typed = {**WHOLE, "tree": "none", "day": "4 May 2016", "ended": "8:00 am", "volume": "a lot", "note": "x" * 5000}
    assert set(take_log(book, ground, typed, "rs", "us").wrong) == {"tree", "day", "ended", "volume", "note"}
    assert records(book, NOW.date()) == ()


def test_a_correction_stands_with_what_stood_before(book: Fieldbook, ground: Property) -> None:
    came = take_log(book, ground, WHOLE, "rs", "us")
    take_log(book, ground, {**WHOLE, "slot": came.slot, "volume": "60", "reason": "read again"}, "rs", "us")
    one, = records(book, NOW.date())
    assert (one.application.number, one.application.amount, one.application.corrects) == (2, "60 gal", 1)
    assert [word.amount for word in book.recording.words(came.slot)] == ["55 gal", "60 gal"]


def test_a_correction_leaves_what_nobody_changed(book: Fieldbook, ground: Property) -> None:
    told = PutOnLogged(
        slot="s", tree="t1", remedy="extract", day=NOW.date(), by="rs", amount="about 326 gal", area="the bed",
        load="b", jobs=("j1", "j2"), volume_l=1234.5678, mass_kg=1.23456789, area_m2=98.765432, no_helper=True,
        started="2016-05-03T13:00:12.345Z", ended="2016-05-03T14:00:00.000Z", time_zone="America/Denver",
        note="n" * 999)
    book.recording.tell(ground.id, told)
    first, = book.recording.applications()
    shown = of_record(first, "us")
    assert (shown["volume"], shown["started"], of_record(first, "metric")["volume"]) == ("326.138", "07:00", "1234.57")
    boxes = {name: text for name, text in shown.items() if name != "amount"}
    assert take_log(book, ground, {**boxes, "soil": "moist", "reason": "looked"}, "rs", "us").wrong == {}
    one, = book.recording.applications()
    own = {"id": "", "number": 0, "prev": "", "mark": "", "corrects": 0, "flags": ()}
    assert replace(one, **own) == replace(first, **own, soil="moist")  # type: ignore[arg-type]

    assert take_log(book, ground, {**boxes, "ended": "8:30", "volume": "330", "no_helper": ""}, "rs", "us").wrong == {}
    one, = book.recording.applications()
    assert (one.ended, one.started) == (datetime(2016, 5, 3, 14, 30, tzinfo=UTC), first.started)
    assert (one.amount, one.mass_kg, one.no_helper, one.job_ids) == ("330 gal", 1.23456789, False, ("j1", "j2"))


def test_a_job_that_two_phones_logged_is_told_at_both_records(book: Fieldbook, ground: Property) -> None:
    told = PutOnLogged(slot="one", tree="t1", remedy="extract", day=NOW.date(), by="rs", amount="55 gal", jobs=("j1",))
    for body in (told, replace(told, slot="two", by="kl"), replace(told, slot="other", jobs=("j2", "j3")),
                 replace(told, slot="wet", not_done="too wet")):
        book.recording.tell(ground.id, body)
    found = {each.application.slot: each for each in records(book, NOW.date())}
    assert {slot: each.twice for slot, each in found.items()} == {"one": (2,), "two": (1,), "other": (), "wet": ()}
    assert any("logged twice: record 2" in line for line in flag_lines(found["one"].application, found["one"].twice))
    book.recording.tell(ground.id, replace(told, slot="two", by="kl", not_done="logged twice"))
    assert all(not each.twice for each in records(book, NOW.date()))


def test_every_litre_of_a_batch_is_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    clock = Clock()
    with Yard(tmp_path / "yard.sqlite", clock).open() as book:
        with book.store.writing() as turn:
            turn.add(whole_property())
        batch = fit(book, clock)
        load = fill_load(book, batch.id, 1100.0, "rs", air_gap_m=0.15)
        typed = {"tree": "t1", "load": load.id, "volume": "1013 L", "started": "", "day": ""}
        assert take_log(book, book.properties()[0], typed, "rs", "metric").wrong == {}
        (_, found), = accounts(book)
        assert (found.made_l, found.unaccounted_l) == (1100.0, 87.0)
        assert "where" in take_litres(book, batch, [{"what": "left", "volume": "87"}], "rs", "metric")
        assert take_litres(book, batch, [{"what": "left", "volume": "87", "where": "own beds"}], "rs", "metric") == {}
        (_, found), = accounts(book)
        assert found.unaccounted_l == 0.0


def test_litres_are_told_all_together_or_not_at_all_and_a_volume_made_of_none_is_one(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_batch, "heap_use", usable_heap)
    clock = Clock()
    with Yard(tmp_path / "yard.sqlite", clock).open() as book:
        batch = fit(book, clock)
        fill_load(book, batch.id, 1100.0, "rs", air_gap_m=0.15)
    asked = ["apply", "liters", "1", "left=20gal", "--by", "rs", "--fieldbook", str(tmp_path / "yard.sqlite")]
    refused = CliRunner().invoke(rootcase, [*asked, "lost=some", "where=own beds"])
    assert "volume: this is not a value" in str(refused.exception)
    assert CliRunner().invoke(rootcase, [*asked, "where=own beds", "made=0"]).exit_code == 0
    with Yard(tmp_path / "yard.sqlite", clock).open() as book:
        (_, found), = accounts(book)
    assert (found.made_l, round(found.left_l), round(found.unaccounted_l)) == (0.0, 76, -76)


def test_what_was_put_on_today_at_the_place_does_not_lie_ahead_by_another_clock(book: Fieldbook) -> None:
    """It is six in the morning of the 4th in Sydney, and the 3rd where the computer stands."""
    with book.store.writing() as turn:
        facts = next(each for each in turn.events("p") if each.body.KIND == "property_opened")
        turn.add([replace(facts, id="moved", body=replace(facts.body, time_zone="Australia/Sydney",  # type: ignore[call-arg]
                                                          supersedes=facts.id))])
    ground = book.properties()[0]
    typed = {**WHOLE, "day": "4 May 2016", "started": "5:00", "ended": "5:40", "whole": "yes"}
    assert take_log(book, ground, typed, "rs", "us").wrong == {}
    assert "day" in take_log(book, ground, {**typed, "day": "5 May 2016"}, "rs", "us").wrong
    assert [each.duty.missing for each in records(book, date(2016, 5, 3))] == [()]


def test_the_list_holds_what_it_read_and_reads_what_came(book: Fieldbook, ground: Property,
                                                         monkeypatch: pytest.MonkeyPatch) -> None:
    first = take_log(book, ground, WHOLE, "rs", "us").slot
    take_log(book, ground, {**WHOLE, "volume": "40"}, "rs", "us")
    assert [each.number for each in book.recording.applications()] == [2, 1]
    read: list[int] = []
    rows = type(book.recording)._rows
    monkeypatch.setattr(type(book.recording), "_rows", lambda *asked: [
        found := rows(*asked), read.append(len(found))][0])
    assert [each.number for each in book.recording.applications()] == [2, 1]
    assert read == []
    take_log(book, ground, {**WHOLE, "slot": first, "volume": "41"}, "rs", "us")
    read.clear()
    assert [(each.number, each.amount) for each in book.recording.applications()] == [(3, "41 gal"), (2, "40 gal")]
    assert read == [2]
    assert book.recording.named("3").slot == first
    with open_fieldbook(Path(book.store.where), now=lambda: NOW) as other:
        assert other.recording.applications() == book.recording.applications()


def test_no_work_is_logged_that_there_is_not(book: Fieldbook, ground: Property) -> None:
    came = take_log(book, ground, {**WHOLE, "remedy": "exract"}, "rs", "us")
    assert (list(came.wrong), records(book, NOW.date())) == (["remedy"], ())
    assert '"exract"' in came.wrong["remedy"]
    assert "growth_regulator" in came.wrong["remedy"]


def test_a_head_that_was_printed_is_held_against_the_chain(book: Fieldbook, ground: Property) -> None:
    take_log(book, ground, WHOLE, "rs", "us")
    mark = book.recording.head().mark
    assert verified(book, f"1 {mark[:16]}").fault is None
    assert verified(book, "1 0000").fault == "other_head"
    with pytest.raises(Missing, match="no head"):
        verified(book, "head")


def test_the_command_line_asks_about_a_meter_in_the_other_unit(
        tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "planned.sqlite"
    with open_fieldbook(path) as book:
        ground = planned(book, tmp_path)
    monkeypatch.setattr(command, "today_of", lambda book: TODAY)

    def log(volume: str) -> Result:
        return CliRunner().invoke(rootcase, ["apply", "log", ground.name, "oak 4", "day=2 May 2016", volume, "--by",
                                             "rs", "--fieldbook", str(path)])

    asked = log("volume=110")
    assert asked.exit_code == 1
    assert str(asked.exception) == ("Plan 29 gal (110 L), meter 110. Liters or gallons? 110 L is 29 gal (110 L). Type "
                                    "volume=110L or volume=110gal")
    with open_fieldbook(path) as book:
        assert book.recording.applications() == ()
    assert log("volume=110L").output.startswith("Kept as record 1.")
    with open_fieldbook(path) as book:
        one, = book.recording.applications()
        assert (one.litres, one.plan) == (110.0, book.signed_plans(ground.id)[0].mark)


def test_the_command_line_logs_lists_and_verifies(book: Fieldbook, path: Path) -> None:
    name, at = book.properties()[0].name, ["--fieldbook", str(path)]
    run = CliRunner().invoke
    label = book.record("p").trees[0].label
    told = run(rootcase, ["apply", "log", name, label, "remedy=mulch", "day=3 May 2016", "amount=2 m3", "--by", "rs",
                          *at])
    assert told.output.startswith("Kept as record 1.")
    nowhere = run(rootcase, ["apply", "log", name, "oak 999", "--by", "rs", *at])
    assert '(got oak 999)' in str(nowhere.exception)
    assert label in str(nowhere.exception)
    assert "2 m3" in run(rootcase, ["apply", "record", *at]).output
    assert '"number": 1' in run(rootcase, ["apply", "record", "1", "--json", *at]).output
    assert "All 1 links hold." in run(rootcase, ["apply", "verify", *at]).output
    assert run(rootcase, ["apply", "verify", "2 ab", *at]).exit_code == 3
    assert run(rootcase, ["apply", "liters", *at]).exit_code == 0


@pytest.mark.parametrize(("day", "last", "started", "ended", "minutes"), [
    ("1 May 2016", "2 May 2016", "10:30 pm", "12:40 am", 130), ("1 May 2016", "2 May 2016", "11:59 pm", "0:00", 1),
    ("12 March 2016", "13 March 2016", "11:30 pm", "3:10 am", 160),  # the clock is put forward that night
    ("31 October 2015", "1 November 2015", "11:30 pm", "3:10 am", 280),  # and back
    ("1 May 2016", "", "9:00", "9:00", 0)])
def test_work_past_midnight_ends_on_its_own_day_and_is_of_the_day_it_began(
        book: Fieldbook, ground: Property, day: str, last: str, started: str, ended: str, minutes: int) -> None:
    typed = {**WHOLE, "day": day, "started": started, "ended": ended, "whole": "yes"}
    if last:
        assert "past midnight" in take_log(book, ground, typed, "rs", "us").wrong["ended"]
    came = take_log(book, ground, {**typed, "ended_on": last}, "rs", "us")
    one, = records(book, NOW.date())
    assert (came.wrong, one.duty.missing) == ({}, ())
    assert one.application.started
    assert one.application.ended
    assert (one.application.ended - one.application.started) == timedelta(minutes=minutes)
    assert hours(one.application).endswith(last or "09:00")
    boxes = of_record(one.application, "us")
    assert take_log(book, ground, {**boxes, "note": "late"}, "rs", "us").wrong == {}
    again, = records(book, NOW.date())
    assert (again.application.started, again.application.ended, again.application.day) == (
        one.application.started, one.application.ended, one.application.day)


def test_work_ends_the_day_it_began_or_the_day_after_and_not_ahead(book: Fieldbook, ground: Property) -> None:
    for day, last in (("1 May 2016", "3 May 2016"), ("2 May 2016", "1 May 2016"), ("3 May 2016", "4 May 2016"),
                      ("1 May 2016", "soon")):
        assert set(take_log(book, ground, {**WHOLE, "day": day, "ended_on": last}, "rs", "us").wrong) == {"ended_on"}
    assert records(book, NOW.date()) == ()


def test_the_day_it_ended_on_wants_an_hour(book: Fieldbook, ground: Property) -> None:
    typed = {**WHOLE, "day": "1 May 2016", "ended": "", "ended_on": "2 May 2016"}
    assert set(take_log(book, ground, typed, "rs", "us").wrong) == {"ended"}
    assert records(book, NOW.date()) == ()


def test_a_correction_of_the_end_leaves_its_day(book: Fieldbook, ground: Property) -> None:
    first = take_log(book, ground, {**WHOLE, "day": "1 May 2016", "started": "23:00", "ended": "0:40",
                                    "ended_on": "2 May 2016"}, "rs", "us")
    take_log(book, ground, {"slot": first.slot, "tree": "t1", "ended": "0:50"}, "rs", "us")
    one, = records(book, NOW.date())
    assert one.application.ended == datetime(2016, 5, 2, 7, 50, tzinfo=UTC)
