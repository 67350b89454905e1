"""Offers among the events: their mark covers all that is offered, a name can be erased, and everything comes back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import permutations
from pathlib import Path

import pytest

from rootcase.fieldbook.events import (
    Event,
    OfferAnswered,
    OfferMade,
    ProgrammeRenewed,
    ProgrammeStarted,
    ProgrammeStopped,
    QuestionReplied,
    VisitSkipped,
)
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.archive import open_archive
from rootcase.fieldbook.offers import made_offers, offer_named, offer_text, plan_mark, programmes, running
from rootcase.fieldbook.signed import mark_of
from rootcase.ground.errors import Missing, StoreError
from rootcase.records.offer import Offer, Reply
from tests.casework.prescribe.test_offer import TAXED, offer, plan_of
from tests.fieldbook.sheets import SHEET, event, open_book, write_sheet

DAY = date(2016, 1, 20)
OFFER = offer(plan_of([100.0, 33.335]), replace(TAXED, terms="Within 30 days."))


def offered(an_id: str, of: Offer = OFFER, made_at: str = "2016-01-20") -> Event:
    text = offer_text(of)
    return event(an_id, OfferMade(slot=an_id, offered=text, mark=mark_of(text), day=of.made_on), made_at)


def answered(an_id: str, of: str, word: str, made_at: str, option: int = 1) -> Event:
    body = OfferAnswered(slot=an_id, offer=of, mark="m", answer=word, option=option, day=DAY,  # type: ignore[arg-type]
                         contact="c1")
    return event(an_id, body, made_at)


@pytest.mark.property
def test_an_offer_comes_back_as_it_was_made() -> None:
    made, = made_offers([offered("1")])
    assert made.offer.options == OFFER.options
    assert offer_text(made.offer) == offer_text(OFFER)
    assert (made.number, made.mark, made.answers) == (1, mark_of(offer_text(OFFER)), ())


@pytest.mark.property
@pytest.mark.parametrize("other", [
    replace(OFFER, plan_mark="n"), replace(OFFER, valid_until=date(2017, 1, 1)), replace(OFFER, terms="None."),
    replace(OFFER, tax_pct=10.2), replace(OFFER, options=OFFER.options[:2]), replace(OFFER, signed=False),
    offer(plan_of([100.0, 33.345]), replace(TAXED, terms="Within 30 days."))])
def test_the_mark_covers_all_that_is_offered(other: Offer) -> None:
    assert mark_of(offer_text(other)) != mark_of(offer_text(OFFER))


def test_a_text_that_is_not_what_was_offered_is_refused() -> None:
    changed = event("1", OfferMade(slot="1", offered=offer_text(OFFER).replace("30 days", "60 days"),
                                   mark=mark_of(offer_text(OFFER)), day=DAY))
    with pytest.raises(StoreError, match="the text of this offer is not what was offered"):
        made_offers([changed])


@pytest.mark.property
def test_what_stands_does_not_hang_on_the_order_of_arrival() -> None:
    replied = QuestionReplied(slot="2", answer="8", by="rs", day=DAY, words="Not on a Sunday.")
    story = [offered("9"), answered("8", "9", "question", "2016-01-21"), answered("3", "9", "yes", "2016-01-22"),
             event("2", replied, "2016-01-22"),
             offered("4", replace(OFFER, made_on=date(2016, 2, 1)), "2016-02-01")]
    found = {made_offers(order) for order in permutations([*story, story[0]])}
    newest, first = found.pop()
    assert found == set()
    assert (newest.number, first.number, [answer.answer for answer in first.answers]) == (2, 1, ["question", "yes"])
    assert first.answers[0].reply == Reply(DAY, "rs", "Not on a Sunday.")
    assert first.open_questions == ()


def test_an_offer_is_named_by_the_beginning_of_its_mark() -> None:
    offers = made_offers([offered("1"), offered("2", replace(OFFER, made_on=date(2016, 2, 1)), "2016-02-01")])
    assert offer_named(offers).number == 2
    assert offer_named(offers, f"{offers[1].mark[:4].upper()} {offers[1].mark[4:8]}").number == 1
    with pytest.raises(Missing, match="no offer has this mark"):
        offer_named(offers, offers[1].mark[:3])
    with pytest.raises(Missing, match="no offer was made here"):
        offer_named([])


@pytest.mark.property
def test_a_programme_is_what_was_said_of_it_in_whatever_order_it_came() -> None:
    day = date(2016, 3, 1)
    story = [
        event("1", ProgrammeStarted(slot="1", offer_mark="m", option=2, visits_a_year=3, price_until=date(2017, 1, 1),
                                    day=day), "2016-03-01"),
        event("2", VisitSkipped(slot="2", programme="1", due=date(2016, 7, 1), reason="drought"), "2016-07-01"),
        event("3", ProgrammeRenewed(slot="3", programme="1", visits_a_year=1, price_until=date(2018, 1, 1),
                                    day=date(2017, 3, 1)), "2017-02-01"),
        event("4", ProgrammeStopped(slot="4", programme="1", day=date(2017, 6, 1), reason="sold"), "2017-06-01")]
    found = {programmes(order) for order in permutations(story)}
    (programme,), = found
    assert programme.years == ((day, 3), (date(2017, 3, 1), 1))
    assert (programme.price_until, programme.stopped_because) == (date(2018, 1, 1), "sold")
    assert programme.skipped == ((date(2016, 7, 1), "drought"),)
    with pytest.raises(Missing, match="no programme runs here"):
        running([programme])
    assert running(programmes(story[:3])).stopped is None


@pytest.fixture
def book(tmp_path: Path) -> Fieldbook:
    found = open_book(tmp_path / "f.sqlite")
    found.import_sheet(write_sheet(tmp_path / "in", SHEET))
    return found


def test_a_name_is_erased_and_the_answer_stays(book: Fieldbook, tmp_path: Path) -> None:
    ground, = book.properties()
    made = book.make_offer(replace(OFFER, property_id=ground.id))
    assert book.make_offer(replace(OFFER, property_id=ground.id)) == made
    book.answer_offer(ground.id, made, "yes", 1, name="Ida Nobody", day=DAY)
    book.answer_offer(ground.id, made, "question", 1, name="ida nobody", day=DAY, words="Sunday?")
    person, = book.contacts(ground.id)
    assert (person.name, person.role) == ("Ida Nobody", "answered an offer")
    kept, = book.offers(ground.id)
    assert [answer.contact_id for answer in kept.answers] == [person.id, person.id]
    book.erase_contact(person.id)
    assert book.offers(ground.id) == (kept,)
    book.export(tmp_path / "all.zip")
    assert b"Nobody" not in b"".join(file.read_bytes() for file in tmp_path.glob("f.sqlite*"))


def test_all_of_it_comes_back_and_little_goes_into_a_public_copy(book: Fieldbook, tmp_path: Path) -> None:
    ground, = book.properties()
    made = book.make_offer(replace(OFFER, property_id=ground.id))
    book.answer_offer(ground.id, made, "yes", 1, name="Ida Nobody", day=DAY, words="ring first")
    started = book.tell_programme(ground.id, ProgrammeStarted(
        slot="", offer_mark=made.mark, option=1, visits_a_year=2, price_until=date(2017, 1, 1), day=DAY))
    book.tell_programme(ground.id, VisitSkipped(slot="", programme=started.id, due=DAY, reason="gate locked"))
    book.export(tmp_path / "all.zip")
    with open_archive(tmp_path / "all.zip") as archive, open_book(tmp_path / "again.sqlite") as other:
        other.restore(archive)
        assert other.state_hash() == book.state_hash()
        assert other.offers(ground.id) == book.offers(ground.id)
        assert other.programmes(ground.id) == book.programmes(ground.id)
    book.export(tmp_path / "public.zip", public=True)
    with open_archive(tmp_path / "public.zip") as public:
        told = {name: public.zip.read(name).decode() for name in public.files if name.startswith("records/offer")}
        assert set(told) == {"records/offer_made.csv", "records/offer_answered.csv"}
        assert '"yes"' in told["records/offer_answered.csv"]
        everything = b"".join(public.zip.read(name) for name in public.files)
    for private in (b"Nobody", b"ring first", b"gate locked", b"Within 30 days", made.mark.encode()):
        assert private not in everything


def test_an_import_that_opened_the_property_stays_while_an_offer_is_made_of_it(book: Fieldbook) -> None:
    ground, = book.properties()
    book.make_offer(replace(OFFER, property_id=ground.id))
    with pytest.raises(Missing, match="offer made"):
        book.undo_import(ground.id, "wrong file")


def test_a_plan_has_a_mark_before_anybody_signs_it() -> None:
    assert plan_mark(plan_of([100.0])) == plan_mark(plan_of([100.0 * (1 + 1e-15)]))
    assert plan_mark(plan_of([100.0])) != plan_mark(plan_of([100.01]))
