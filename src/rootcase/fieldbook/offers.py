"""Offers among the events: the text a client answers and its mark, who answered, and what is repeated by agreement."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rootcase.fieldbook.canonical import canonical, read_canonical
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
from rootcase.fieldbook.plain import plain_body, typed
from rootcase.fieldbook.signed import SHORTEST_MARK, mark_of, rounded
from rootcase.fieldbook.undone import without_undone
from rootcase.ground.errors import Missing, StoreError, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.offer import Answer, MadeOffer, Offer, Programme, Reply
from rootcase.records.prescribe import Plan


def offer_text(offer: Offer) -> str:
    """The text a client answers: canonical, so that the same offer has the same mark wherever it was made."""
    return canonical(plain_body(rounded(offer))).decode("utf-8")


def plan_mark(plan: Plan) -> str:
    """SHA-256 of a plan that nobody has signed."""
    return mark_of(canonical(plain_body(rounded(plan))).decode("utf-8"))


def made_offers(events: Iterable[Event]) -> tuple[MadeOffer, ...]:
    """Every offer that was made at a property, newest first; a function of the set of its events."""
    told = _in_order(events)
    replies = {event.body.answer: Reply(event.body.day, event.body.by, event.body.words) for event in told
               if isinstance(event.body, QuestionReplied)}
    answers: dict[str, list[Answer]] = {}
    for event in told:
        if isinstance(body := event.body, OfferAnswered):
            answers.setdefault(body.offer, []).append(
                Answer(body.offer, body.mark, body.answer, body.option, body.day, body.contact, body.words, event.id,
                       replies.get(event.id)))
    made = [(event.id, event.body) for event in told if isinstance(event.body, OfferMade)]
    found = [MadeOffer(an_id, body.mark, number, _read(body), tuple(answers.get(an_id, ())))
             for number, (an_id, body) in enumerate(made, 1)]
    return tuple(reversed(found))


def offer_named(offers: Iterable[MadeOffer], mark: str = "") -> MadeOffer:
    """The offer whose mark begins so; without one the newest."""
    known = list(offers)
    if not known:
        raise Missing(say("offer.none_made"), right=say("offer.make_first"))
    asked = mark.replace(" ", "").lower()
    found = known[:1] if not mark else [
        made for made in known if made.mark.startswith(asked) and len(asked) >= SHORTEST_MARK]
    if len({made.mark for made in found}) != 1:
        raise Missing(say("offer.no_such_mark"), value=mark, right=say("offer.see_marks", count=SHORTEST_MARK))
    return found[0]


def programmes(events: Iterable[Event]) -> tuple[Programme, ...]:
    """Every programme of a property, newest first; one runs at most, the newest that nobody stopped."""
    found: dict[str, dict[str, Any]] = {}
    for event in _in_order(events):
        body = event.body
        if isinstance(body, ProgrammeStarted):
            found[event.id] = {"id": event.id, "offer_mark": body.offer_mark, "option": body.option,
                               "years": ((body.day, body.visits_a_year),), "price_until": body.price_until}
        elif isinstance(body, ProgrammeRenewed) and body.programme in found:
            told = found[body.programme]
            told |= {"price_until": body.price_until, "years": (*told["years"], (body.day, body.visits_a_year))}
        elif isinstance(body, ProgrammeStopped) and body.programme in found:
            found[body.programme] |= {"stopped": body.day, "stopped_because": body.reason}
        elif isinstance(body, VisitSkipped) and body.programme in found:
            told = found[body.programme]
            told["skipped"] = (*told.get("skipped", ()), (body.due, body.reason))
    return tuple(Programme(**told) for told in reversed(found.values()))


def running(found: Iterable[Programme]) -> Programme:
    """The programme that runs."""
    known = [programme for programme in found if programme.stopped is None]
    if not known:
        raise Missing(say("offer.no_programme"), right=say("offer.start_first"))
    return known[0]


def _in_order(events: Iterable[Event]) -> list[Event]:
    """As they were said, whatever the order they arrived in; each once."""
    once = {event.id: event for event in without_undone(events)}
    return sorted(once.values(), key=lambda event: (event.made_at, event.id))


def _read(body: OfferMade) -> Offer:
    if mark_of(body.offered) != body.mark:
        raise StoreError(say("offer.text_changed"), value=body.mark[:8], right=say("fieldbook.from_a_copy"))
    try:
        offer: Offer = typed(Offer, read_canonical(body.offered))
    except (TypeError, ValueError, KeyError, UnreadableValue):
        raise StoreError(say("offer.unreadable"), value=body.mark[:8], right=say("fieldbook.newer_program")) from None
    return offer
