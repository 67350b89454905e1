"""What happened at a tree, and what is still to come: visits, photos, plans, offers, looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from rootcase.ground.words import say
from rootcase.records.field import PutOn
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.records.offer import MadeOffer, SignedPlan
from rootcase.report.text.figures import counted, known, sentence
from rootcase.report.text.naming import remedy_name, way_name
from rootcase.report.text.signed import mark_shown

Lane = Literal["read", "photo", "plan", "offer", "put_on", "ahead"]
LANES: tuple[Lane, ...] = ("read", "photo", "plan", "offer", "put_on", "ahead")
PHOTO, MARK = "tree_photo", "mark"
NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class Happening:
    """One thing on one day; what lies ahead is only booked."""

    day: date
    lane: Lane
    told: str
    reading_id: str = ""
    """Of a photo."""


def readings_at(record: PropertyRecord, tree_id: str) -> tuple[Reading, ...]:
    """Return what was read at a tree, at its pits and at samples of its own, newest first."""
    own = (tree_id, *(pit.id for pit in record.pits_of(tree_id)),
           *(sample.id for sample in record.samples if sample.tree_id == tree_id))
    return tuple(sorted(record.of(*own), key=lambda reading: reading.day, reverse=True))


def happenings(record: PropertyRecord, tree_id: str, plans: Sequence[SignedPlan],
               offers: Sequence[MadeOffer], put_on: Sequence[PutOn] = ()) -> tuple[Happening, ...]:
    """Return what happened at a tree in the order of its days."""
    found = [*_readings(record, tree_id), *_plans(tree_id, plans), *_offers(tree_id, plans, offers),
             *(Happening(each.day, "put_on", put_on_told(each)) for each in put_on if each.tree_id == tree_id)]
    return tuple(sorted(found, key=lambda each: (each.day, LANES.index(each.lane))))


def _readings(record: PropertyRecord, tree_id: str) -> list[Happening]:
    readings = readings_at(record, tree_id)
    days: dict[date, list[Reading]] = {}
    for reading in readings:
        if reading.kind != PHOTO:
            days.setdefault(reading.day, []).append(reading)
    visits = {visit.day: visit.label for visit in record.visits}
    found = [Happening(day, "read", say("case.history.read", visit=visits.get(day, ""), readings=counted_readings(own)))
             for day, own in days.items()]
    return found + [Happening(photo.day, "photo", photo_told(photo), photo.id) for photo in readings
                    if photo.kind == PHOTO]


def photo_told(photo: Reading) -> str:
    """Return from which mark a photo was taken."""
    mark = photo.attributes.get(MARK, "")
    return say("case.history.photo", mark=way_name(mark)) if mark else say("case.history.photo_no_mark")


def _plans(tree_id: str, plans: Sequence[SignedPlan]) -> list[Happening]:
    found = []
    for plan in plans:
        own = next((each for each in plan.signing.plan.trees if each.tree_id == tree_id), None)
        if own is None:
            continue
        what = say("case.history.left_alone") if own.chosen in (None, NOTHING) else remedy_name(own.chosen)
        found.append(Happening(plan.day, "plan", say(f"case.history.plan_{plan.standing}", what=sentence(what),
                                                     by=plan.by, mark=mark_shown(plan.mark))))
        if plan.standing == "standing":
            found.append(Happening(own.look_again, "ahead", say("case.history.look")))
    return found


def _offers(tree_id: str, plans: Sequence[SignedPlan], offers: Sequence[MadeOffer]) -> list[Happening]:
    """Offers whose plan speaks of the tree, or is not signed and so of all; and what was answered."""
    others = {plan.mark for plan in plans if all(each.tree_id != tree_id for each in plan.signing.plan.trees)}
    found = []
    for made in offers:
        if made.offer.plan_mark in others:
            continue
        found.append(Happening(made.offer.made_on, "offer", say("case.history.offer", number=made.number)))
        found += [Happening(answer.day, "offer", say(f"case.history.answer_{answer.answer}", number=made.number))
                  for answer in made.answers]
        found += [Happening(answer.reply.day, "offer", say("case.history.reply", number=made.number))
                  for answer in made.answers if answer.reply]
    return found


def put_on_told(record: PutOn) -> str:
    """Return what was put on, or why it was not."""
    name = remedy_name(record.remedy) if known(f"remedy.{record.remedy}") else record.remedy
    said = {"remedy": sentence(name), "by": record.by}
    if record.not_done:
        told = say("phones.put_on.not_done", why=record.not_done, **said)
    elif record.amount_typed:
        told = say("phones.put_on.done", amount=record.amount_typed, **said)
    else:
        told = say("phones.put_on.done_plain", **said)
    return say("phones.put_on.with_note", told=told, note=record.note) if record.note else told


def untreated_partner(tree_id: str, plans: Sequence[SignedPlan]) -> str:
    """Return the tree that a lot left without beside this one; empty where none stands signed."""
    return next((pair.untreated for plan in plans if plan.standing == "standing" for arms in plan.signing.arms
                 for pair in arms.pairs if pair.treated == tree_id), "")


def counted_readings(readings: Sequence[Reading]) -> str:
    """Return how many readings these are, in words."""
    return say("case.readings_one") if len(readings) == 1 else say("case.readings", count=counted(len(readings)))
