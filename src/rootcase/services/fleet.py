"""Trucks, crews, fill points, drives and planned batches: as they are typed, in the units of who types, kept or told
back beside their field."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Literal, get_args

from rootcase.casework.apply.travel import travel_figure
from rootcase.fieldbook.applied.fleet import BatchPlanned, CrewTold, FillPointTold, TravelTold, TruckTold
from rootcase.fieldbook.applying.fleet_log import fleet_of, planned_batches_of
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.signed import require_code
from rootcase.ground.clock import day_there, read_time, zone
from rootcase.ground.dates import read_date, show_date
from rootcase.ground.errors import ImpossibleValue, Missing, RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, MOST_NAME, require_length
from rootcase.ground.position import place_in
from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.apply.rounds import Crew, FillPoint, Fleet, PlannedBatch, Travel, Truck
from rootcase.records.make.batch import MOST_LOAD_L
from rootcase.science.tank.hygiene import holding_limit_h
from rootcase.services.asked import Ask, read_one
from rootcase.services.make_batch import batch_rules
from rootcase.services.travel_table import Drives, read_drives, table_text

What = Literal["truck", "crew", "fill_point", "travel", "batch"]
WHATS: tuple[What, ...] = get_args(What)
MIN_PER_H = 60
PERCENT = 100.0
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
TRUCK = (Ask("tank", "tank_l", "L", ("gal", "L"), 1.0, MOST_LOAD_L),
         Ask("payload", "payload_kg", "kg", ("lb", "kg"), 10.0, 100_000.0, needed=False))
CREW = (Ask("rest", "rest_min", "min", ("min", "min"), 0.0, 480.0),)
FILL_POINT = (Ask("fill", "fill_min", "min", ("min", "min"), 0.0, 480.0),)
TRAVEL = (Ask("road", "road_pct", "%", ("%", "%"), 100.0, 500.0, needed=False),
          Ask("speed", "speed_km_h", "km/h", ("mph", "km/h"), 5.0, 130.0, needed=False))
BATCH = (Ask("volume", "volume_l", "L", ("gal", "L"), 1.0, MOST_LOAD_L),)
ASKS: Mapping[What, tuple[Ask, ...]] = {"truck": TRUCK, "crew": CREW, "fill_point": FILL_POINT, "travel": TRAVEL,
                                        "batch": BATCH}
FIELDS: Mapping[What, tuple[str, ...]] = {
    "truck": ("name", "tank", "payload"),
    "crew": ("name", "truck", "people", "leaves", "back", "rest", "rest_from", "rest_to", "days", "licensed"),
    "fill_point": ("name", "where", "fill", "yard", "time_zone"),
    "travel": ("road", "speed", "table"),
    "batch": ("day", "ready", "volume")}
"""What is asked of each, in the order of its form."""
Read = Callable[[Fieldbook, Fleet, "_Cells"], Body | None]


def fleet(book: Fieldbook) -> Fleet:
    """What there is to drive with."""
    return fleet_of(book.applying.practice_events())


def planned_batches(book: Fieldbook) -> tuple[PlannedBatch, ...]:
    """Batches that are planned, in the order of their hours."""
    return planned_batches_of(book.applying.practice_events())


def yard_of(there: Fleet) -> FillPoint | None:
    """Where crews begin and end."""
    return next((point for point in there.fill_points if point.is_yard), None)


def take(book: Fieldbook, what: What, typed: Mapping[str, str], by: str, system: System) -> Mapping[str, str]:
    """Keep what was typed of one thing; returns what is wrong, by field; then nothing is kept.

    typed: its fields, and `id` of one that is told anew; a name that is there already is told anew too. `gone`: there
    is none any more.
    """
    wrong: dict[str, str] = {}
    cells = _Cells(book, what, typed, by, system, wrong)
    cells.attempt("", lambda: require_code(by, ()))
    body = _READS[what](book, fleet(book), cells)
    if wrong or body is None:
        return wrong
    book.applying.tell_practice(lambda _: [body])
    return {}


def cells_of(thing: Truck | Crew | FillPoint | Travel | PlannedBatch, system: System) -> dict[str, str]:
    """What stands, as it would be typed."""
    if isinstance(thing, Truck):
        return {"id": thing.id, "name": thing.name, "tank": _box(TRUCK[0], thing.tank_l, system),
                "payload": _box(TRUCK[1], thing.payload_kg, system)}
    if isinstance(thing, Crew):
        return {"id": thing.id, "name": thing.name, "truck": thing.truck_id, "people": ", ".join(thing.people),
                "leaves": clock_text(thing.leaves_min), "back": clock_text(thing.back_by_min),
                "rest": f"{thing.rest_minutes:g}", "rest_from": clock_text(thing.rest_from_min),
                "rest_to": clock_text(thing.rest_to_min), "days": " ".join(DAYS[day] for day in thing.works_days),
                "licensed": "yes" if thing.licensed else ""}
    if isinstance(thing, FillPoint):
        return {"id": thing.id, "name": thing.name, "where": f"{thing.latitude_deg!r}, {thing.longitude_deg!r}",
                "fill": f"{thing.fill_minutes:g}", "yard": "yes" if thing.is_yard else "",
                "time_zone": thing.time_zone}
    if isinstance(thing, Travel):
        road = None if thing.road_factor is None else thing.road_factor * PERCENT
        return {"road": _box(TRAVEL[0], road, system), "speed": _box(TRAVEL[1], thing.speed_km_h, system),
                "table": table_text(thing)}
    return {"id": thing.id, "day": thing.day.isoformat(), "ready": clock_text(thing.ready_min),
            "volume": _box(BATCH[0], thing.litres, system)}


def usual_cells(what: What, system: System) -> dict[str, str]:
    """What an empty form begins with."""
    if what == "crew":
        return cells_of(Crew(id="", name="", truck_id="", people=()), system)
    if what == "travel":
        speed = convert(travel_figure("speed"), "km/h", TRAVEL[1].box_unit(system))
        return {"road": f"{travel_figure('road_factor') * PERCENT:.3g}", "speed": f"{speed:.2g}", "table": ""}
    return {}


def clock_text(minutes: float) -> str:
    """Minutes after midnight as a clock shows them.

    >>> clock_text(450.0), clock_text(930.4)
    ('07:30', '15:30')
    """
    whole = round(minutes)
    return f"{whole // MIN_PER_H:02d}:{whole % MIN_PER_H:02d}"


def age_limit_min(book: Fieldbook) -> float:
    """How old extract may get: by the practice's own rule, else by the hour of the usual one."""
    own = batch_rules(book).holding_h
    return (holding_limit_h("extract") if own is None else own) * MIN_PER_H


class _Cells:
    """The cells of one form as they are read; what is wrong is kept by field."""

    def __init__(self, book: Fieldbook, what: What, typed: Mapping[str, str], by: str, system: System,
                 wrong: dict[str, str]) -> None:
        self.what, self.typed, self.by, self.system, self.wrong = what, typed, by, system, wrong
        self._practice = book.store.practice_id
        self.figures = {ask.into: value for ask in ASKS[what] if (value := self.attempt(
            ask.name, lambda ask=ask: read_one(ask, self.text(ask.name), system, []))) is not None}  # type: ignore[misc]

    def attempt(self, name: str, read: Callable[[], object]) -> object:
        """What is read; None where it is wrong, which is told beside its field."""
        try:
            return read()
        except RootcaseError as error:
            self.wrong[name] = str(error)
            return None

    def text(self, name: str, most: int = MOST_LINE) -> str:
        text = " ".join(self.typed.get(name, "").split())
        self.attempt(name, lambda: require_length(text, most))
        return text

    def needed(self, name: str) -> str:
        text = self.text(name, MOST_NAME)
        if not text:
            self.wrong[name] = str(Missing(say("fleet.nothing"), right=say(f"fleet.right.{name}")))
        return text

    def yes(self, name: str) -> bool:
        return bool(self.text(name)) and self.text(name).casefold() not in ("no", "0")

    def minutes(self, name: str) -> float:
        """A time of the clock as minutes after midnight."""
        time = self.attempt(name, lambda: read_time(self.text(name)))
        return time.hour * MIN_PER_H + time.minute + 0.0 if time else 0.0  # type: ignore[attr-defined]

    def id_of(self, things: Sequence[Truck | Crew | FillPoint], name: str) -> str:
        """Of the thing that is told anew, by its id or else its name; else of a new one."""
        known = self.text("id")
        by_name = next((each.id for each in things if each.name.casefold() == name.casefold()), "")
        if any(each.id == known for each in things):
            if by_name not in ("", known):
                self.wrong["name"] = str(ImpossibleValue(say("fleet.name_twice"), value=name))
            return known
        return by_name or named_id(self._practice, self.what, name)

    @property
    def gone(self) -> bool:
        return self.yes("gone")


def _truck(_: Fieldbook, there: Fleet, cells: _Cells) -> Body | None:
    name = cells.needed("name")
    an_id = cells.id_of(there.trucks, name)
    if cells.gone and any(crew.truck_id == an_id for crew in there.crews):
        cells.wrong[""] = say("fleet.truck_in_use")
    if cells.wrong:
        return None
    return TruckTold(slot=an_id, truck=an_id, name=name, by=cells.by, gone=cells.gone, **cells.figures)  # type: ignore[arg-type]


def _crew(_: Fieldbook, there: Fleet, cells: _Cells) -> Body | None:
    name, truck = cells.needed("name"), cells.needed("truck")
    an_id = cells.id_of(there.crews, name)
    found = next((each.id for each in there.trucks if truck.casefold() in (each.id, each.name.casefold())), "")
    if truck and not found:
        names = ", ".join(each.name for each in there.trucks)
        right = say("fleet.one_of", names=names) if names else say("fleet.truck_first")
        cells.wrong["truck"] = str(Missing(say("fleet.no_truck"), value=truck, right=right))
    people = tuple(dict.fromkeys(cells.needed("people").replace(",", " ").split()))
    for code in people:
        cells.attempt("people", lambda code=code: require_code(code, ()))  # type: ignore[misc]
    leaves, back, early, late = (cells.minutes(field) for field in ("leaves", "back", "rest_from", "rest_to"))
    days = cells.attempt("days", lambda: _days(cells.text("days")))
    if not cells.wrong and back <= leaves:
        cells.wrong["back"] = str(ImpossibleValue(say("fleet.back_first"), value=clock_text(back),
                                                  right=say("fleet.after", time=clock_text(leaves))))
    if not cells.wrong and late < early:
        cells.wrong["rest_to"] = str(ImpossibleValue(say("fleet.rest_first"), value=clock_text(late),
                                                     right=say("fleet.after", time=clock_text(early))))
    if cells.wrong:
        return None
    return CrewTold(slot=an_id, crew=an_id, name=name, truck=found, people=people, by=cells.by, leaves_min=leaves,
                    back_by_min=back, rest_from_min=early, rest_to_min=late, works_days=days,  # type: ignore[arg-type]
                    licensed=cells.yes("licensed"), gone=cells.gone, **cells.figures)  # type: ignore[arg-type]


def _days(text: str) -> tuple[int, ...]:
    told = text.casefold().replace(",", " ").split()
    if not told or any(each[:3] not in DAYS for each in told):
        raise UnreadableValue(say("fleet.no_days"), value=f'"{text}"', right=" ".join(DAYS))
    return tuple(sorted({DAYS.index(each[:3]) for each in told}))


def _fill_point(_: Fieldbook, there: Fleet, cells: _Cells) -> Body | None:
    name = cells.needed("name")
    an_id = cells.id_of(there.fill_points, name)
    place = place_in(cells.text("where"))
    if place is None or abs(place[0]) > 90.0 or abs(place[1]) > 180.0:
        cells.wrong["where"] = str(UnreadableValue(say("fleet.no_place"), value=f'"{cells.text("where")}"',
                                                   right=say("fleet.right.where")))
    is_yard = cells.yes("yard")
    other = yard_of(there)
    if is_yard and other and other.id != an_id and not cells.gone:
        cells.wrong["yard"] = str(ImpossibleValue(say("fleet.yard_twice"), value=other.name,
                                                  right=say("fleet.yard_first")))
    if is_yard:
        cells.attempt("time_zone", lambda: zone(cells.text("time_zone")))
    if cells.wrong or place is None:
        return None
    return FillPointTold(slot=an_id, fill_point=an_id, name=name, latitude_deg=place[0], longitude_deg=place[1],
                         by=cells.by, is_yard=is_yard, time_zone=cells.text("time_zone") if is_yard else "",
                         gone=cells.gone, **cells.figures)  # type: ignore[arg-type]


def _travel(book: Fieldbook, there: Fleet, cells: _Cells) -> Body | None:
    names = {each.name for each in book.properties()} | {each.name for each in there.fill_points}
    places, minutes = _drives(cells, names)
    if cells.wrong:
        return None
    slot = named_id(book.store.practice_id, "travel")
    return TravelTold(slot=slot, by=cells.by, places=places, drives_min=minutes, **cells.figures)  # type: ignore[arg-type]


def _drives(cells: _Cells, names: set[str]) -> Drives:
    try:
        return read_drives(cells.typed.get("table", ""), names)
    except RootcaseError as error:
        cells.wrong["table"] = str(error)
        return (), ()


def _batch(book: Fieldbook, there: Fleet, cells: _Cells) -> Body | None:
    yard = yard_of(there)
    if yard is None:
        cells.wrong[""] = str(Missing(say("fleet.no_yard"), right=say("fleet.yard_right")))
    day = cells.attempt("day", lambda: read_date(cells.text("day")))
    ready = cells.minutes("ready")
    if cells.wrong or yard is None or not isinstance(day, date):
        return None
    an_id = _batch_id(book, cells)
    today = day_there(book.applying.now(), zone(yard.time_zone or "UTC"))
    if day < today and not cells.gone:
        cells.wrong["day"] = str(ImpossibleValue(say("fleet.day_over"), value=show_date(day),
                                                 right=say("fleet.day_right", day=show_date(today))))
    if cells.wrong:
        return None
    return BatchPlanned(slot=an_id, batch=an_id, day=day, ready_min=ready, use_by_min=ready + age_limit_min(book),
                        fill_point=yard.id, by=cells.by, gone=cells.gone, **cells.figures)  # type: ignore[arg-type]


def _batch_id(book: Fieldbook, cells: _Cells) -> str:
    """Of the batch that is told anew, by its id; else of a new one, which cannot be taken off the list."""
    typed, known = cells.text("id"), [each.id for each in planned_batches(book)]
    if typed in known:
        return typed
    if cells.gone:
        cells.wrong["id"] = str(Missing(say("fleet.no_batch"), value=typed, right=", ".join(known)))
    return book.applying.new_id()


_READS: Mapping[What, Read] = {"truck": _truck, "crew": _crew, "fill_point": _fill_point, "travel": _travel,
                               "batch": _batch}


def _box(ask: Ask, value: float | None, system: System) -> str:
    return "" if value is None else f"{round(convert(value, ask.unit, ask.box_unit(system)), 2):g}"
