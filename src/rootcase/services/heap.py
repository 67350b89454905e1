"""Heaps of compost: started, read, turned, checked in ice water; every form that is refused says what is wrong by cell.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

from rootcase.casework.make.heap import COLDEST_C, HOTTEST_C, judged
from rootcase.casework.make.heap_figures import bars
from rootcase.casework.make.heap_slips import ONE_TURNING
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.made.heaps import (
    HEAP_EVENTS,
    HeapFreed,
    HeapHeld,
    HeapStarted,
    HeapTurned,
    HeatRead,
    HeatTakenBack,
    ProbeChecked,
)
from rootcase.fieldbook.making.gate import JUST_TOLD
from rootcase.fieldbook.making.heap_log import heaps_of
from rootcase.fieldbook.people.tokens import read_moment, written
from rootcase.fieldbook.view import heads
from rootcase.ground.clock import CameTwice, day_there, read_time, show_time, the_moment, zone
from rootcase.ground.dates import read_date
from rootcase.ground.errors import Missing, RootcaseError
from rootcase.ground.ids import SIGNS
from rootcase.ground.typed import Limits, read
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make.heap import Heap, HeapJudged, HeapPart, HeatReading, Shape
from rootcase.records.observe import System
from rootcase.tables.load import table

MOST_PROBES = 20
LONGEST = 200
"""Signs of a heap's name, of a reason, and of whom a material was bought from."""
_MARK = re.compile(r"[0-9a-f-]{8,40}")
_FIRST_YEAR = 1980
SHAPES: tuple[Shape, ...] = ("windrow", "static")


@dataclass(frozen=True, slots=True)
class HeapTold:
    """What became of a form: of which heap it was and what it is kept as, or what is wrong, by cell."""

    heap_id: str = ""
    slot: str = ""
    wrong: dict[str, str] = field(default_factory=dict)


def heaps(book: Fieldbook) -> tuple[Heap, ...]:
    """Every heap of the practice, by name."""
    return heaps_of(book.making.events())


def heap_named(book: Fieldbook, named: str) -> Heap:
    """The heap of this name, or of this id or the end of it."""
    known = heaps(book)
    of_id = [each for each in known if each.id == named]
    fitting = of_id or [each for each in known if each.name.casefold() == named.strip().casefold() or (
        len(named) >= SIGNS and each.id.endswith(named))]
    if len(fitting) != 1:
        names = ", ".join(each.name for each in known) or say("heap.none_yet")
        what = say("heap.several") if fitting else say("heap.no_such")
        raise Missing(what, value=named, right=say("heap.right_heap", names=names))
    return fitting[0]


def judged_heap(book: Fieldbook, named: str) -> tuple[Heap, HeapJudged]:
    """A heap, and what it shows."""
    heap = heap_named(book, named)
    return heap, judged(heap)


def rules_for(shape: Shape) -> tuple[str, ...]:
    """Names of the heat rules that there are for this kind of heap."""
    return tuple(row["rule"] for row in table("compost/heat_rules").rows if row["heap"] == shape)


def usual_zone(book: Fieldbook) -> str:
    """Time zone of the practice's properties; empty where they have several, or none."""
    zones = {each.time_zone for each in book.properties() if each.time_zone}
    return zones.pop() if len(zones) == 1 else ""


def start_heap(book: Fieldbook, cells: Mapping[str, str], *, by: str, now: datetime, parts: Sequence[HeapPart] = (),
               invented: bool = False) -> HeapTold:
    """Start a heap, the rule of heat counting from the moment its last material went on.

    cells: name, shape, rule, time_zone, day and time that it was complete, every_part ("yes").
    """
    heap_id = slot_of(book, cells)
    body, wrong = _particulars(book, heap_id, cells, by=by, now=now)
    if body is not None and _other_stands(book.making.events(), replace(body, parts=tuple(parts), invented=invented),
                                          untimed(cells)):
        heap_id = book.making.new_id()
        body, wrong = _particulars(book, heap_id, cells, by=by, now=now)
    if body is None:
        return HeapTold(wrong=wrong)
    told = replace(body, parts=tuple(parts), invented=invented)
    kept = keep(book, {**cells, "mark": heap_id}, lambda slot: replace(told, slot=slot, heap=slot))
    return HeapTold(kept, kept)


def change_heap(book: Fieldbook, heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime) -> HeapTold:
    """Tell a heap's particulars anew, cells as of one to be started; what was told before stays on record."""
    body, wrong = _particulars(book, heap.id, cells, by=by, now=now)
    if body is None:
        return HeapTold(heap.id, wrong=wrong)
    told = replace(body, parts=heap.parts, invented=heap.invented)
    book.making.tell(lambda events: [replace(told, supersedes=standing(events, heap.id).id)])
    return HeapTold(heap.id, heap.id)


def heap_cells(heap: Heap) -> dict[str, str]:
    """A heap's particulars as they would be typed."""
    place = zone(heap.time_zone)
    return {"name": heap.name, "shape": heap.shape, "rule": heap.rule, "time_zone": heap.time_zone,
            "day": day_there(heap.complete_at, place).isoformat(), "time": show_time(heap.complete_at, place),
            "every_part": "yes" if heap.every_part_heated else ""}


def _particulars(book: Fieldbook, heap_id: str, cells: Mapping[str, str], *, by: str, now: datetime
                 ) -> tuple[HeapStarted | None, dict[str, str]]:
    wrong: dict[str, str] = {}
    name = one_line(cells, "name", wrong)
    shape: Shape = "static" if cells.get("shape") == "static" else "windrow"
    if cells.get("shape") not in SHAPES:
        wrong["shape"] = say("heap.no_shape")
    elif cells.get("rule", "") not in rules_for(shape):
        wrong["rule"] = say("heap.no_rule", rules=", ".join(rules_for(shape)))
    at = moment(cells, cells.get("time_zone", ""), now, wrong)
    if name.casefold() in {each.name.casefold() for each in heaps(book) if each.id != heap_id}:
        wrong["name"] = say("heap.name_taken", name=name)
    if wrong or at is None:
        return None, wrong
    return HeapStarted(slot=heap_id, heap=heap_id, name=name, shape=shape, rule=cells["rule"], by=by,
                       complete_at=written(at), time_zone=cells["time_zone"].strip(),
                       every_part_heated=cells.get("every_part") == "yes"), wrong


def tell_heat(book: Fieldbook, heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime,
              system: System) -> HeapTold:
    """Keep what one probe read.

    cells: probe, value (degrees F or C as typed), air, day, time, which ("first" or "second").
    """
    wrong: dict[str, str] = {}
    number = _probe(cells.get("probe", ""), wrong)
    warm, air = degrees(cells, "value", system, wrong), degrees(cells, "air", system, wrong)
    at = moment(cells, heap.time_zone, now, wrong)
    if warm is None and "value" not in wrong:
        wrong["value"] = say("heap.no_value")
    if wrong or warm is None or at is None:
        return HeapTold(heap.id, wrong=wrong)
    return HeapTold(heap.id, keep(book, cells, lambda slot: HeatRead(
        slot=slot, heap=heap.id, probe=number, at=written(at), by=by, temperature_c=warm, air_c=air,
        typed=cells["value"].strip())))


def turn(book: Fieldbook, heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime) -> HeapTold:
    """Keep that a heap was turned; now, where no day and time are told."""
    return _at_a_moment(book, heap, cells, now, lambda slot, at: HeapTurned(slot=slot, heap=heap.id, at=at, by=by))


def check_probes(book: Fieldbook, heap: Heap, cells: Mapping[str, str], *, by: str, now: datetime) -> HeapTold:
    """Keep that probes read right in ice water. cells: probes, such as "1 2 3"; day, time."""
    wrong: dict[str, str] = {}
    numbers = [_probe(each, wrong) for each in re.split(r"[\s,;]+", cells.get("probes", "").strip())]
    if wrong:
        return HeapTold(heap.id, wrong={"probes": wrong["probe"]})
    told = tuple(dict.fromkeys(numbers))
    return _at_a_moment(book, heap, cells, now,
                        lambda slot, at: ProbeChecked(slot=slot, heap=heap.id, probes=told, at=at, by=by))


def correct_heat(book: Fieldbook, heap: Heap, slot: str, cells: Mapping[str, str], *, by: str, now: datetime,
                 system: System) -> HeapTold:
    """Put another reading in the place of one; the old one stays on record. cells: as of a reading."""
    old = next((each for each in heap.readings if each.id == slot), None)
    if old is None:
        raise Missing(say("heap.no_entry"), value=slot[-SIGNS:], right=say("heap.right_entry"))
    wrong: dict[str, str] = {}
    number = _probe(cells.get("probe", ""), wrong)
    warm = degrees(cells, "value", system, wrong)
    air = degrees(cells, "air", system, wrong) if "air" in cells else old.air_c
    at = moment(cells, heap.time_zone, now, wrong)
    if warm is None and "value" not in wrong:
        wrong["value"] = say("heap.no_value")
    if wrong or warm is None or at is None:
        return HeapTold(heap.id, slot, wrong)
    body = HeatRead(slot=slot, heap=heap.id, probe=number, at=written(at), by=by, temperature_c=warm, air_c=air,
                    typed=cells["value"].strip())
    book.making.tell(lambda events: [replace(body, supersedes=standing(events, slot).id)])
    return HeapTold(heap.id, slot)


def take_back(book: Fieldbook, heap: Heap, slot: str, reason: str, *, by: str) -> HeapTold:
    """Take an entry of a heap's log back; it stays on record with the reason."""
    wrong: dict[str, str] = {}
    why = one_line({"reason": reason}, "reason", wrong)
    if wrong:
        return HeapTold(heap.id, slot, wrong)

    book.making.tell(lambda events: _taken_back(heap, standing(events, slot), why, by))
    return HeapTold(heap.id, slot)


def undo(book: Fieldbook, heap: Heap, slot: str, *, by: str) -> None:
    """Take back, without a reason, what the same person has just told for the first time."""
    def back(events: Sequence[Event]) -> list[Body]:
        head, told = standing(events, slot), say("field.undone_why")
        body = head.body
        if (getattr(body, "by", "") != by or body.supersedes is not None or bars(heap, slot)
                or book.making.now() - read_moment(head.made_at) > JUST_TOLD):
            raise Missing(say("heap.told_longer_ago"), value=slot[-SIGNS:], right=say("heap.right_take_back"))
        return _taken_back(heap, head, told, by)

    book.making.tell(back)


def entry_cells(heap: Heap, reading: HeatReading, system: System) -> dict[str, str]:
    """A reading as it would be typed."""
    place, box = zone(heap.time_zone), "degF" if system == "us" else "degC"
    air = "" if reading.air_c is None else f"{convert(reading.air_c, 'degC', box):.4g} {box[-1]}"
    return {"probe": str(reading.probe), "value": reading.typed, "air": air,
            "day": day_there(reading.at, place).isoformat(), "time": show_time(reading.at, place)}


def keep(book: Fieldbook, cells: Mapping[str, str], make: Callable[[str], Body]) -> str:
    """Tell it once, and what it is kept as: the same form sent again tells nothing new.

    With something else typed in it, as after a step back in the browser, it is told as well.

    make: what is told, given what it is kept as.
    """
    slot = slot_of(book, cells)

    def told(events: Sequence[Event]) -> list[Body]:
        nonlocal slot
        if _other_stands(events, make(slot), untimed(cells)):
            slot = book.making.new_id()
        return [] if any(each.body.slot == slot for each in events) else [make(slot)]

    book.making.tell(told)
    return slot


def untimed(cells: Mapping[str, str]) -> bool:
    """Whether a form tells no time, and so is of the moment it is sent."""
    return not any(cells.get(name, "").strip() for name in ("day", "time"))


def _other_stands(events: Iterable[Event], body: Body, untimed: bool) -> bool:
    """Whether something else stands in a body's slot; a form without a time that is sent again comes soon."""
    stood = [each.body for each in events if each.body.slot == body.slot]
    return bool(stood) and not any(_same(each, body, untimed) for each in stood)


def _same(stood: Body, body: Body, untimed: bool) -> bool:
    name = "complete_at" if isinstance(body, HeapStarted) else "at"
    at, then = getattr(body, name, ""), getattr(stood, name, "")
    soon = untimed and at and then and abs(read_moment(at) - read_moment(then)) < ONE_TURNING
    return stood == (replace(body, **{name: then}) if soon else body)


def slot_of(book: Fieldbook, cells: Mapping[str, str]) -> str:
    """What a form's entry is kept as: the mark that the form bears, so that a second press of its key tells nothing."""
    mark = cells.get("mark", "")
    return mark if _MARK.fullmatch(mark) else book.making.new_id()


def moment(cells: Mapping[str, str], time_zone: str, now: datetime, wrong: dict[str, str]) -> datetime | None:
    """The moment of a form's day and time on the place's clock; now, where both are empty."""
    day_text, time_text = cells.get("day", "").strip(), cells.get("time", "").strip()
    try:
        place = zone(time_zone.strip())
    except RootcaseError as error:
        wrong["time_zone"] = beside(error)
        return None
    if not day_text and not time_text:
        return now.astimezone(UTC)
    at: datetime | None = None
    about = "day"
    try:
        day = read_date(day_text, None) if day_text else day_there(now, place)
        about = "time"
        at = the_moment(datetime.combine(day, read_time(time_text)), place, cells.get("which", "")
                        ) if _FIRST_YEAR <= day.year <= now.year + 1 else None
    except CameTwice as error:
        wrong["which"] = beside(error)
        return None
    except RootcaseError as error:
        wrong[about] = beside(error)
        return None
    if at is None or at > now + timedelta(minutes=1):
        wrong["day"] = say("heap.ahead") if at is not None or day.year > now.year else say("heap.long_ago")
        return None
    return at


def degrees(cells: Mapping[str, str], name: str, system: System, wrong: dict[str, str]) -> float | None:
    """A temperature as typed, in degC; a number without a unit is in the person's own."""
    box = "degF" if system == "us" else "degC"
    try:
        typed = read(cells.get(name, ""), Limits(COLDEST_C, HOTTEST_C, "degC", box))
        if typed is None:
            return None
        celsius = typed.to("degC", box)
    except RootcaseError as error:
        wrong[name] = beside(error)
        return None
    if celsius.value is None or celsius.sign != "=":
        wrong[name] = say("heap.one_number", typed=cells[name].strip()[:LONGEST])
    elif not COLDEST_C <= celsius.value <= HOTTEST_C:
        wrong[name] = say("heap.no_such_warmth", typed=cells[name].strip()[:LONGEST])
    return celsius.value


def one_line(cells: Mapping[str, str], name: str, wrong: dict[str, str]) -> str:
    """A line of words that must be there."""
    text = " ".join(cells.get(name, "").split())
    if not text:
        wrong[name] = say("heap.empty")
    elif len(text) > LONGEST:
        wrong[name] = say("heap.too_long", most=LONGEST)
    return text


def line_perhaps(cells: Mapping[str, str], name: str, wrong: dict[str, str]) -> str:
    """A line of words that may stay empty."""
    return one_line(cells, name, wrong) if cells.get(name, "").strip() else ""


def beside(error: RootcaseError) -> str:
    """An error beside its own field."""
    return str(RootcaseError(error.what, value=error.value, right=error.right))


def _taken_back(heap: Heap, head: Event, why: str, by: str) -> list[Body]:
    slot = head.body.slot
    if isinstance(head.body, HeapHeld | HeapFreed):
        raise Missing(say("heap.held_is_freed"), value=slot[-SIGNS:], right=say("heap.right_freed"))
    if isinstance(head.body, HeapStarted) or getattr(head.body, "heap", "") != heap.id:
        raise Missing(say("heap.no_entry"), value=slot[-SIGNS:], right=say("heap.right_entry"))
    return [HeatTakenBack(slot=slot, supersedes=head.id, heap=heap.id, reason=why, by=by)]


def _at_a_moment(book: Fieldbook, heap: Heap, cells: Mapping[str, str], now: datetime,
                 make: Callable[[str, str], Body]) -> HeapTold:
    wrong: dict[str, str] = {}
    at = moment(cells, heap.time_zone, now, wrong)
    if at is None:
        return HeapTold(heap.id, wrong=wrong)
    return HeapTold(heap.id, keep(book, cells, lambda slot: make(slot, written(at))))


def _probe(text: str, wrong: dict[str, str]) -> int:
    digits = text.strip()
    if digits.isascii() and digits.isdigit() and len(digits) <= 3 and 1 <= int(digits) <= MOST_PROBES:
        return int(digits)
    wrong["probe"] = say("heap.no_probe", most=MOST_PROBES)
    return 0


def standing(events: Iterable[Event], slot: str) -> Event:
    """The event that stands for an entry."""
    head = heads(each for each in events if isinstance(each.body, HEAP_EVENTS)).get(slot)
    if head is None or isinstance(head.event.body, HeatTakenBack):
        raise Missing(say("heap.no_entry"), value=slot[-SIGNS:], right=say("heap.right_entry"))
    return head.event
