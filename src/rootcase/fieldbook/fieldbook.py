"""The fieldbook as the services use it: one file, one practice, everything in and out in records."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from datetime import UTC, date, datetime
from itertools import count
from pathlib import Path
from types import TracebackType

from rootcase.fieldbook.brought_in import BroughtIn
from rootcase.fieldbook.events import (
    Body,
    Event,
    ImportUndone,
    OfferAnswered,
    OfferMade,
    PlanSigned,
    ProgrammeRenewed,
    ProgrammeStarted,
    ProgrammeStopped,
    PropertyOpened,
    QuestionReplied,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    RuleTold,
    SheetImported,
    VisitSkipped,
)
from rootcase.fieldbook.export.archive import Exported, write_archive
from rootcase.fieldbook.history import History, history
from rootcase.fieldbook.intake.archive import Archive, Restored, restore
from rootcase.fieldbook.intake.correction import corrected
from rootcase.fieldbook.intake.practice import practice
from rootcase.fieldbook.intake.prices import price_book
from rootcase.fieldbook.intake.rules import rules
from rootcase.fieldbook.offers import made_offers, offer_text, programmes
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.photos import Photos
from rootcase.fieldbook.proved import EffectSigned
from rootcase.fieldbook.proving import signed_effects
from rootcase.fieldbook.rooms import Rooms
from rootcase.fieldbook.signed import (
    SLOT,
    mark_of,
    newest_signing,
    plan_named,
    require_code,
    resting_plans,
    signed_plans,
    signed_text,
    withdrawal,
)
from rootcase.fieldbook.state import held, state_hash
from rootcase.fieldbook.store import Store, open_store
from rootcase.fieldbook.store.store import Contact
from rootcase.fieldbook.taking_in import TakingIn
from rootcase.fieldbook.view import Head, heads, view
from rootcase.fieldbook.weather_kept import WeatherKept
from rootcase.ground.errors import Missing
from rootcase.ground.ids import SIGNS, IdMaker
from rootcase.ground.words import say
from rootcase.records.observe import Practice, PriceBook, Property, PropertyRecord, Rule
from rootcase.records.offer import Answer, AnswerWord, MadeOffer, Offer, Programme, Reply, SignedPlan, Signing

Admit = Callable[[Sequence[MadeOffer], Sequence[SignedPlan]], None]
"""Raises where something may not be said to these offers and signed plans."""

_OF_RULES = (RuleTold.KIND, EffectSigned.KIND, SheetImported.KIND, ImportUndone.KIND)
"""Of all that a practice told of itself, what every look at a property reads."""


class Fieldbook(BroughtIn, WeatherKept, Rooms):
    """An open fieldbook; use it in a with block, or close it."""

    def __init__(self, store: Store, now: Callable[[], datetime], random_bytes: Callable[[int], bytes],
                 device: str, photos: Photos) -> None:
        self._store, self._now, self._device, self._photos = store, now, device, photos
        self._new_id = IdMaker(lambda: int(now().timestamp() * 1000), random_bytes)
        self.taking_in = TakingIn(store)

    def properties(self) -> tuple[Property, ...]:
        """Every property of the practice, by name."""
        with self._store.reading() as look:
            found = [view(said).property for said in look.properties().values()]
        return tuple(sorted(found, key=lambda each: (each.name.casefold(), each.id)))

    def record(self, property_id: str) -> PropertyRecord:
        """Everything held of one property, corrections applied, with the practice's rules and its signed trials."""
        with self._store.reading() as look:
            found = look.events(property_id)
            if property_id not in look.properties():  # never opened, or only by an import that was undone
                raise Missing(say("fieldbook.no_such_property"), value=property_id)
            practices = look.events("", _OF_RULES)
        return replace(view(found), rules=rules(practices), learned=signed_effects(practices))

    def price_book(self, currency: str) -> PriceBook:
        """The practice's prices in a currency; none are turned into another."""
        with self._store.reading() as look:
            return price_book(look.events(""), currency)

    def rules(self) -> tuple[Rule, ...]:
        """The rules of law and of its own that the practice has been told, by law and topic."""
        with self._store.reading() as look:
            return rules(look.events("", _OF_RULES))

    def practice(self) -> Practice:
        """What the practice says of itself to clients."""
        with self._store.reading() as look:
            return practice(look.events(""))

    def contacts(self, property_id: str) -> tuple[Contact, ...]:
        """Owner, payer and site contact, as far as they were given and not erased."""
        with self._store.reading() as look:
            return tuple(look.contacts(property_id))

    def erase_contact(self, contact_id: str) -> None:
        """Erase a person; every reading stays."""
        self._store.erase_contact(contact_id)

    def correct(self, reading_id: str, typed: str, reason: str, *, by: str = "") -> str:
        """Put another value in a reading's place and return the correction's id; the old one stays in the events.

        by: a code of who does it, as of a reader; it stands beside the device.
        """
        head, facts = self._standing(reading_id)
        body = head.event.body
        assert isinstance(body, ReadingTaken)
        return self._add(head.event, corrected(body, head.event.id, typed, reason, facts.system), by)

    def take_back(self, reading_id: str, reason: str, *, by: str = "") -> str:
        """Say that a reading should not have been there; it stays in the events and leaves the view."""
        head, _ = self._standing(reading_id)
        event = head.event
        return self._add(event, ReadingTakenBack(slot=event.body.slot, supersedes=event.id, reason=reason), by)

    def call_right(self, reading_id: str, reason: str, *, by: str = "") -> str:
        """Say that a doubted reading is right as it stands; its doubts leave the view. Returns the new event's id."""
        head, _ = self._standing(reading_id)
        body = head.event.body
        assert isinstance(body, ReadingTaken)
        if not body.doubts:
            raise Missing(say("fieldbook.not_doubted"), value=body.typed, right=say("fieldbook.find_reading"))
        kept = {each.name: getattr(body, each.name) for each in fields(ReadingTaken)}
        kept |= {"supersedes": head.event.id, "doubts": ()}
        return self._add(head.event, ReadingCorrected(**kept, reason=reason), by)

    def sign(self, property_id: str, signing: Signing, *, by: str, day: date) -> SignedPlan:
        """Put a plan under a signature; it takes the place of the one that stood. by: a code, as of a reader."""
        text = signed_text(signing)
        with self._store.writing() as turn:
            events = turn.events(property_id)
            plans = signed_plans(events)
            if any(plan.standing == "standing" and plan.mark == mark_of(text) for plan in plans):
                raise Missing(say("sign.signed_already"), value=mark_of(text)[:8], right=say("sign.see_signed"))
            require_code(by, [person.name for person in turn.contacts(property_id)])
            body = PlanSigned(slot=SLOT, supersedes=newest_signing(events), signed=text, mark=mark_of(text), by=by,
                              day=day)
            event = self._event(events[0], body)
            turn.add([event])
            return signed_plans([*events, event])[0]

    def signed_plans(self, property_id: str) -> tuple[SignedPlan, ...]:
        """Every plan that was ever signed at a property, newest first; one stands at most."""
        with self._store.reading() as look:
            return signed_plans(look.events(property_id))

    def withdraw_plan(self, property_id: str, *, by: str, day: date, reason: str, mark: str = "") -> SignedPlan:
        """Take a plan out of force, and return it as it was; mark: how its mark begins, where not the one that stands.
        """
        with self._store.writing() as turn:
            events = turn.events(property_id)
            plan = plan_named(signed_plans(events), mark)
            require_code(by, [person.name for person in turn.contacts(property_id)])
            turn.add([self._event(events[0], withdrawal(plan, by, day, reason))])
        return plan

    def history(self, reading_id: str) -> History:
        """All that was ever said of the reading of which this id is one saying."""
        with self._store.reading() as look:
            property_id = look.property_of(reading_id)
            return history(look.events(property_id) if property_id else (), reading_id)

    def plans_on(self, reading_id: str) -> tuple[SignedPlan, ...]:
        """The plans in force that rest on the reading of this id, or whose id ends so."""
        with self._store.reading() as look:
            everything = look.events()
        ids = {event.id for event in everything if isinstance(event.body, ReadingTaken)
               and event.id.endswith(reading_id) and len(reading_id) >= SIGNS}
        of = {event.property_id for event in everything if event.id in ids}
        plans = (signed_plans(event for event in everything if event.property_id == each) for each in sorted(of))
        return tuple(plan for found in plans for plan in resting_plans(found, ids))

    def make_offer(self, offer: Offer) -> MadeOffer:
        """Keep an offer; just the same one is kept once."""
        text = offer_text(offer)
        with self._store.writing() as turn:
            events = turn.events(offer.property_id)
            newest = next(iter(made_offers(events)), None)
            if newest is not None and newest.mark == mark_of(text):
                return newest
            event = self._event(events[0], OfferMade(slot=self._new_id(), offered=text, mark=mark_of(text),
                                                     day=offer.made_on))
            turn.add([event])
            return made_offers([*events, event])[0]

    def offers(self, property_id: str) -> tuple[MadeOffer, ...]:
        """Every offer that was made at a property, newest first."""
        with self._store.reading() as look:
            return made_offers(look.events(property_id))

    def answer_offer(self, property_id: str, made: MadeOffer, answer: AnswerWord, option: int, *, name: str, day: date,
                     words: str = "", admit: Admit | None = None) -> None:
        """Keep what a client said; the name goes among the contacts, where it can be erased. The same said again is a
        press of the key too many, and kept once. admit: raises where it may not be said to what is there by then.
        """
        with self._store.writing() as turn:
            events = turn.events(property_id)
            offers = made_offers(events)
            known = [person for person in turn.contacts(property_id) if person.name.casefold() == name.casefold()]
            person = known[0] if known else Contact(self._new_id(), property_id, say("offer.role"), name)
            said = [each for offer in offers if offer.id == made.id for each in offer.answers
                    if each.contact_id == person.id][-1:]
            if admit:
                admit(offers, signed_plans(events))
            if any((each.answer, each.option, each.day, each.words, each.reply) == (answer, option, day, words, None)
                   for each in said):
                return
            turn.keep_contacts([person])
            body = OfferAnswered(slot=self._new_id(), offer=made.id, mark=made.mark, answer=answer, option=option,
                                 day=day, contact=person.id, words=words)
            turn.add([self._event(events[0], body)])

    def reply(self, property_id: str, question: Answer, reply: Reply) -> None:
        """Keep what was said back to a client's question; a question is replied to once."""
        with self._store.writing() as turn:
            events = turn.events(property_id)
            if question.id not in {each.id for offer in made_offers(events) for each in offer.open_questions}:
                raise Missing(say("offer.no_question"), right=say("offer.see_questions"))
            require_code(reply.by, [person.name for person in turn.contacts(property_id)])
            body = QuestionReplied(slot=self._new_id(), answer=question.id, by=reply.by, day=reply.day,
                                   words=reply.words)
            turn.add([self._event(events[0], body)])

    def programmes(self, property_id: str) -> tuple[Programme, ...]:
        """Every programme of a property, newest first."""
        with self._store.reading() as look:
            return programmes(look.events(property_id))

    def tell_programme(self, property_id: str,
                       body: ProgrammeStarted | VisitSkipped | ProgrammeRenewed | ProgrammeStopped) -> Programme:
        """Keep what was said of a programme, and return where that leaves it."""
        with self._store.writing() as turn:
            events = turn.events(property_id)
            event = self._event(events[0], replace(body, slot=self._new_id()))
            turn.add([event])
            found = programmes([*events, event])
        of = event.id if isinstance(body, ProgrammeStarted) else body.programme
        return next(programme for programme in found if programme.id == of)

    def state_hash(self) -> str:
        """SHA-256 of everything held: equal when another fieldbook holds the same."""
        with self._store.reading() as look:
            return state_hash(held(look), lambda mark: self._photos.sound(mark) is not None)

    def export(self, path: Path, *, public: bool = False) -> Exported:
        """Take everything out into one archive, and read it back; public: without who and where."""
        with self._store.reading() as look:
            return write_archive(look, self._store.practice_id, self._photos, path, public=public)

    def restore(self, archive: Archive) -> Restored:
        """Bring an archive back into this fieldbook, which has to be empty."""
        return restore(archive, self._store, self._photos)

    def close(self) -> None:
        self._store.close()

    def __enter__(self) -> Fieldbook:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        self.close()

    def _standing(self, reading_id: str) -> tuple[Head, PropertyOpened]:
        """The standing event of a reading's slot, by its id or the end of it; a superseded one is told so."""
        with self._store.reading() as look:
            everything = look.events()
        fitting = [event for event in everything if isinstance(event.body, ReadingTaken)
                   and event.id.endswith(reading_id) and len(reading_id) >= SIGNS]
        if len(fitting) > 1:
            raise Missing(say("fieldbook.several_readings"), value=reading_id, right=say("fieldbook.more_signs"))
        if not fitting:
            raise Missing(say("fieldbook.no_such_reading"), value=reading_id, right=say("fieldbook.find_reading"))
        found, = fitting
        standing = heads(event for event in everything if event.property_id == found.property_id)
        head = standing.get(found.body.slot)
        if head is None:
            raise Missing(say("fieldbook.undone_with"), value=reading_id, right=say("fieldbook.import_again"))
        if isinstance(head.event.body, ReadingTakenBack):
            raise Missing(say("fieldbook.taken_back"), value=reading_id, right=say("fieldbook.type_anew"))
        if head.event.id != found.id:
            others = [event.id for event in everything if isinstance(event.body, ReadingTaken)
                      and event.id != head.event.id]
            end = next(length for length in count(SIGNS) if not any(
                other.endswith(head.event.id[-length:]) for other in others))
            raise Missing(say("fieldbook.superseded"), value=reading_id,
                          right=say("fieldbook.use_newer", id=head.event.id[-end:]))
        bodies = (each.event.body for each in standing.values())
        return head, next(body for body in bodies if isinstance(body, PropertyOpened))

    def _event(self, about: Event, body: Body) -> Event:
        return Event(self._new_id(), about.practice_id, about.property_id, written(self._now()), self._device, body)

    def _add(self, about: Event, body: ReadingTaken | ReadingTakenBack, by: str) -> str:
        event = self.under(by)._event(about, body)
        with self._store.writing() as turn:
            turn.add([event])
        return event.id


def open_fieldbook(path: Path, *, practice_id: str = "own", now: Callable[[], datetime] | None = None,
                   random_bytes: Callable[[int], bytes] = os.urandom, device: str = "desk") -> Fieldbook:
    """Open the fieldbook in this file, or make it; the clock is the computer's unless another is given."""
    return Fieldbook(open_store(path, practice_id), now or _clock, random_bytes, device, Photos(path))


def _clock() -> datetime:
    """The one place of this floor that reads the time."""
    return datetime.now(UTC)  # noqa: TID251
