"""What the client asked for, place by place, in few words."""

from __future__ import annotations

from collections.abc import Sequence

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Plan
from rootcase.report.text.figures import known, listed, sentence
from rootcase.report.text.naming import choice_meaning, kind_name, names

_ASKED = ("wish_lawn", "wish_bed_line", "wish_chips", "wish_holes", "wish_products", "closed_days")
_NOT_ASKED = "not_asked"


def wishes_by_place(plan: Plan, record: PropertyRecord) -> list[str]:
    """Return a line for each place; places with the same wishes share one."""
    told: dict[str, list[str]] = {}
    for place_id, kind, choice in plan.wishes:
        told.setdefault(place_id, []).append(_wish(kind, choice))
    places: dict[tuple[str, ...], list[str]] = {}
    for place in record.places:
        if place.id in told:
            places.setdefault(tuple(told[place.id]), []).append(place.name)
    return [say("report.wishes.at", places=sentence(names(labels)), wishes=", ".join(wishes))
            for wishes, labels in places.items()]


def wishes_of_places(record: PropertyRecord) -> dict[str, str]:
    """Return what stands of the client's wishes at each place where something was answered, by its id."""
    found: dict[str, dict[str, str]] = {}
    for reading in record.readings:  # by day, so that the newest stands
        if reading.kind in _ASKED and reading.choice:
            found.setdefault(reading.of, {})[reading.kind] = reading.choice
    return {place_id: ", ".join(_wish(kind, told[kind]) for kind in _ASKED if told.get(kind, _NOT_ASKED) != _NOT_ASKED)
            for place_id, told in found.items()}


def wishes_not_asked(plan: Plan, record: PropertyRecord) -> str:
    """Return what nobody asked about anywhere, then place by place what was asked elsewhere; empty where all was asked.

    Only places with trees: elsewhere there is nothing to ask about.
    """
    told = {(place_id, kind) for place_id, kind, _ in plan.wishes}
    elsewhere = [kind for kind in dict.fromkeys(kind for _, kind, _ in plan.wishes) if kind.startswith("wish_")]
    planted = {tree.place_id for tree in record.trees}
    at: dict[tuple[str, ...], list[str]] = {}
    for place in (place for place in record.places if place.id in planted):
        if missing := tuple(kind for kind in elsewhere if (place.id, kind) not in told):
            at.setdefault(missing, []).append(place.name)
    sentences = [say("report.wishes.not_asked_at", places=names(places), kinds=_abouts(kinds))
                 for kinds, places in at.items()]
    if plan.not_asked:
        sentences.insert(0, say("report.wishes.not_asked", kinds=_abouts(plan.not_asked)))
    return " ".join(sentences)


def _abouts(kinds: Sequence[str]) -> str:
    return listed([say(f"report.wishes.about.{kind}") if known(f"report.wishes.about.{kind}") else kind_name(kind)
                   for kind in kinds])


def _wish(kind: str, choice: str) -> str:
    """The wish as a client says it; what has no such words keeps the catalogue's label."""
    if known(f"report.wishes.{kind}.{choice}"):
        return say(f"report.wishes.{kind}.{choice}")
    if known(f"report.wishes.own.{kind}"):
        return say(f"report.wishes.own.{kind}", words=choice)
    return say("report.wishes.other", kind=kind_name(kind), choice=choice_meaning(kind, choice))
