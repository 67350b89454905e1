"""Bodies of events for the tests of doubts: an invented property with an oak, its neighbours and its pits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from rootcase.fieldbook.events import (
    Body,
    ComparedWith,
    Event,
    PitOpened,
    PlaceOpened,
    PropertyOpened,
    ReadingTaken,
    TreeOpened,
    VisitStarted,
    YardstickNamed,
)
from rootcase.fieldbook.intake.doubts.adding import NETS, add_doubts, questions_by_net
from rootcase.fieldbook.intake.doubts.held import held
from rootcase.fieldbook.view import Head
from rootcase.ground.typed import read
from rootcase.tables.readings import kinds

OLD, NEW = date(2015, 6, 4), date(2016, 6, 9)
VISITS = {"old": OLD, "new": NEW}
FACTS = PropertyOpened(slot="property", name="Alder Bank", latitude_deg=47.45, longitude_deg=-122.31, elevation_m=131.0,
                       time_zone="America/Los_Angeles", currency="USD", weather_station="", system="us", invented=True)
GROUND: tuple[Body, ...] = (
    FACTS, PlaceOpened(slot="lawn", place="lawn", name="lawn", place_kind="lawn"),
    *(VisitStarted(slot=name, visit=name, label=name, day=day) for name, day in VISITS.items()),
    *(TreeOpened(slot=tree, tree=tree, label=tree, place="lawn") for tree in ("oak 14", "oak 1", "oak 2", "linden 9")),
    *(PitOpened(slot=pit, pit=pit, label=pit, tree="oak 14") for pit in ("pit 1", "pit 2", "pit 3")),
    *(YardstickNamed(slot=f"yardstick {tree}", yardstick="wood oaks", label="wood oaks", tree=tree)
      for tree in ("oak 1", "oak 2")),
    ComparedWith(slot="compared", tree="oak 14", yardstick="wood oaks", label="wood oaks"))


def taken(kind: str, typed: str, of: str = "oak 14", visit: str = "new", series: str = "1",
          **more: object) -> ReadingTaken:
    """A reading as a sheet gives it, its value in SI; a unit must be typed."""
    listed, value, choice, sign = kinds()[kind], None, None, "="
    if listed.value_type in ("number", "integer", "share", "count", "profile"):
        found = read(typed)
        assert found is not None
        value, sign = found.to(listed.si_unit, listed.si_unit).value, found.sign
    else:
        choice = typed
    slot = " ".join((kind, of, visit, series, str(more.get("growth_year", "")), str(more.get("depth_from_m", ""))))
    return ReadingTaken(slot=slot, kind=kind, of=of, visit=visit, typed=typed, value=value, choice=choice, sign=sign,
                        series=series, source=f"row of {of}", **more)  # type: ignore[arg-type]


def standing(bodies: Iterable[Body]) -> dict[str, Head]:
    """Bodies that an earlier import has brought in."""
    return {body.slot: Head(Event(f"id {body.slot}", "own", "p", "2015-06-05T12:00:00.000Z", "desk", body))
            for body in (*GROUND, *bodies)}


def drafts(*bodies: Body) -> dict[str, Body]:
    return {body.slot: body for body in bodies}


def asked(now: Iterable[Body], before: Iterable[Body] = ()) -> Mapping[str, tuple[str, ...]]:
    """What is asked of each draft, by its slot; drafts without a question left out."""
    new = drafts(*now)
    add_doubts(new, standing(before))
    return {slot: body.doubts for slot, body in new.items() if isinstance(body, ReadingTaken) and body.doubts}


def asking(now: Iterable[Body], before: Iterable[Body] = ()) -> set[str]:
    """Which nets ask something."""
    found = questions_by_net(held(drafts(*now), standing(before)))
    assert list(found) == list(NETS)
    return {net for net, questions in found.items() if questions}
