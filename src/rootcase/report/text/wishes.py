"""What the client asked for, place by place, in few words."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord
from rootcase.records.prescribe import Plan
from rootcase.report.text.figures import known, listed, sentence
from rootcase.report.text.naming import choice_meaning, kind_name, names


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


def wishes_not_asked(plan: Plan) -> str:
    """Return one short sentence, empty where everything was asked."""
    kinds = [say(f"report.wishes.about.{kind}") if known(f"report.wishes.about.{kind}") else kind_name(kind)
             for kind in plan.not_asked]
    return say("report.wishes.not_asked", kinds=listed(kinds)) if kinds else ""


def _wish(kind: str, choice: str) -> str:
    """The wish as a client says it; what has no such words keeps the catalogue's label."""
    if known(f"report.wishes.{kind}.{choice}"):
        return say(f"report.wishes.{kind}.{choice}")
    if known(f"report.wishes.own.{kind}"):
        return say(f"report.wishes.own.{kind}", words=choice)
    return say("report.wishes.other", kind=kind_name(kind), choice=choice_meaning(kind, choice))
