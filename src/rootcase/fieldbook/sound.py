"""Whether an event that was made elsewhere is sound in itself: of its form, possible, and of the hash it names."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

from rootcase.fieldbook.applied.ground_use import SqueezeTold
from rootcase.fieldbook.applied.log import LitresTold
from rootcase.fieldbook.applied.wrong import WentWrongTold
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import (
    KINDS,
    ComparedWith,
    Event,
    PitOpened,
    PlaceOpened,
    PropertyOpened,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    SampleOpened,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
    body_text,
)
from rootcase.fieldbook.fits import fitting_body
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.store.sent import Sent
from rootcase.ground.errors import ImpossibleValue, Missing, UnreadableValue
from rootcase.ground.ids import read_id
from rootcase.ground.words import say
from rootcase.tables.readings import ReadingKind, check, kind_of, message

_OF_THE_FIELD = (PropertyOpened, PlaceOpened, VisitStarted, TreeOpened, PitOpened, SampleOpened, YardstickNamed,
                 ComparedWith, ReadingTaken, ReadingCorrected, ReadingTakenBack, PutOnLogged, SqueezeTold,
                 WentWrongTold, LitresTold)
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z", re.ASCII)
_LONGEST_DEVICE, _LONGEST_BODY = 64, 20_000
_AHEAD = timedelta(days=1)
"""JUDGEMENT: a clock that is further ahead than any time zone is wrong, and what it dates would stand above all."""
_NUMBERS = ("number", "integer", "share", "count", "profile")


def sound_event(practice_id: str, sent: Sent, arrived: datetime) -> Event:
    """The event that was sent, if every part of it is what it says; one that is dated ahead stands under its arrival.
    """
    if read_id(sent.id) != sent.id:
        raise UnreadableValue(say("ids.not_an_id"), value=sent.id, right=say("ids.right"))
    kind = KINDS.get(sent.kind)
    if kind not in _OF_THE_FIELD:
        raise ImpossibleValue(say("taking_in.kind"), value=sent.kind,
                              right=", ".join(each.KIND for each in _OF_THE_FIELD))
    if not 0 < len(sent.device) <= _LONGEST_DEVICE:
        raise UnreadableValue(say("taking_in.device"), right=say("taking_in.signs", most=_LONGEST_DEVICE))
    if len(sent.body) > _LONGEST_BODY:
        raise UnreadableValue(say("taking_in.long"), right=say("taking_in.signs", most=_LONGEST_BODY))
    made_at = written(arrived) if is_ahead(sent.made_at, arrived) else sent.made_at
    body = fitting_body(kind, sent.body)
    if body_text(body) != sent.body:
        raise UnreadableValue(say("taking_in.not_canonical"), right=body_text(body)[:200])
    _require_sense(body)
    if isinstance(body, PutOnLogged):
        _require_done(body, (arrived.astimezone(UTC) + _AHEAD).date())
    event = Event(sent.id, practice_id, sent.property_id, made_at, sent.device, body)
    content = event.hash_by(sent.body)
    if content != sent.hash:
        raise UnreadableValue(say("taking_in.hash"), value=sent.hash[:64], right=content)
    return event


def is_ahead(made_at: str, arrived: datetime) -> bool:
    """Whether the clock that dated something was wrong when it arrived."""
    return moment_of(made_at) > arrived.astimezone(UTC) + _AHEAD


def moment_of(text: str) -> datetime:
    """A moment as the field writes it."""
    try:
        return datetime.fromisoformat(text if _MOMENT.fullmatch(text) else "")
    except ValueError:
        raise UnreadableValue(say("taking_in.moment"), value=text[:40], right="2015-11-05T09:30:00.000Z") from None


def _require_sense(body: Body) -> None:
    if isinstance(body, ReadingCorrected | ReadingTakenBack) and body.supersedes is None:
        raise Missing(say("taking_in.of_what"))
    if isinstance(body, LitresTold | WentWrongTold):
        moment_of(body.at)
    if isinstance(body, LitresTold):
        _require_not_below_none("volume_l", body.volume_l)
    if isinstance(body, PropertyOpened):
        _require_only_named(body)
    if isinstance(body, ReadingTaken):
        kind = kind_of(body.kind)
        if sum(part is not None for part in (body.value, body.choice, body.nothing)) != 1:
            raise ImpossibleValue(say("taking_in.one_value"), where=kind.label)
        if body.depth_from_m is not None and body.depth_to_m is not None and body.depth_from_m > body.depth_to_m:
            raise ImpossibleValue(say("taking_in.depths"), where=kind.label,
                                  value=f"{body.depth_from_m:g} m, {body.depth_to_m:g} m")
        _require_value(kind, body)


def _require_done(body: PutOnLogged, latest: date) -> None:
    """What was put on was put on by now; hours that are told are moments."""
    if body.day > latest:
        raise ImpossibleValue(say("taking_in.not_yet"), where="day", value=body.day.isoformat(),
                              right=say("taking_in.at_the_latest", day=latest.isoformat()))
    for told in filter(None, (body.started, body.ended)):
        moment_of(told)
    for name in ("volume_l", "mass_kg", "area_m2"):
        _require_not_below_none(name, getattr(body, name))


def _require_not_below_none(name: str, figure: float | None) -> None:
    if figure is not None and figure < 0.0:
        raise ImpossibleValue(say("taking_in.below_none"), where=name, value=f"{figure:g}", right="0")


def _require_only_named(body: PropertyOpened) -> None:
    """At a tree a property gets a name; where it lies and whose rules hold there moves all its results."""
    if not body.name.strip():
        raise Missing(say("taking_in.no_name"))
    if body != PropertyOpened(slot=body.slot, name=body.name, system=body.system, weather_station="", invented=False):
        raise ImpossibleValue(say("taking_in.only_named"), right=say("taking_in.at_the_desk"))


def _require_value(kind: ReadingKind, body: ReadingTaken) -> None:
    if body.value is not None:
        if kind.value_type not in _NUMBERS:
            raise ImpossibleValue(say("taking_in.no_number"), where=kind.label, value=f"{body.value:g}")
        if check(kind, body.value) == "impossible":
            raise ImpossibleValue(message(kind, body.value, kind.si_unit))
    if body.choice is not None and kind.choices and body.choice not in kind.choices:
        raise ImpossibleValue(say("taking_in.no_choice"), where=kind.label, value=body.choice[:60],
                              right=", ".join(kind.choices))
