"""A logger's file for a heap: brought once, however often it is sent."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from pathlib import Path

from rootcase.casework.make.heap_again import told_as_another_probe
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.heat_file import Asked, HeatFile, HeatFileSaid, ProbeColumn, read_heat_file
from rootcase.fieldbook.made.heaps import HEAP_EVENTS, HeatLogged, HeatTakenBack
from rootcase.fieldbook.people.tokens import read_moment, written
from rootcase.fieldbook.view import heads
from rootcase.ground.clock import zone
from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say
from rootcase.records.make.heap import Heap, LoggedHeat
from rootcase.services.heap import MOST_PROBES, beside, heap_named


@dataclass(frozen=True, slots=True)
class HeatBrought:
    """What a file brought, a line each, or what is wrong, by cell."""

    told: tuple[str, ...] = ()
    wrong: dict[str, str] = field(default_factory=dict)


def bring_heat(book: Fieldbook, heap: Heap, path: Path, said: HeatFileSaid, *, by: str, first_probe: str = ""
               ) -> HeatBrought:
    """Keep what a logger's file tells of a heap; its first column of temperatures is the probe of this number."""
    number = first_probe.strip() or "1"
    try:
        found = read_heat_file(path, zone(heap.time_zone), said)
    except Asked as asked:
        return HeatBrought(wrong={asked.cell: beside(asked)})
    except RootcaseError as error:
        return HeatBrought(wrong={"file": str(error).replace(str(path), path.name)})
    last = len(found.probes) + (int(number) if number.isascii() and number.isdigit() and len(number) < 4 else 0) - 1
    if not found.probes:
        return HeatBrought(wrong={"file": say("heap.file.empty")})
    if not len(found.probes) <= last <= MOST_PROBES:
        return HeatBrought(wrong={"first_probe": say("heap.no_probe", most=MOST_PROBES)})
    first = last - len(found.probes) + 1
    bodies = [_body(heap, found, first + at, column, by) for at, column in enumerate(found.probes)]
    again = told_as_another_probe(heap_named(book, heap.id), [_logged(body) for body in bodies])
    if again is not None:
        return HeatBrought(wrong={"first_probe": say("heap.file.another_probe", probe=again.probe, file=again.file)})
    new = book.making.tell(lambda events: _new(events, bodies))
    fresh = {event.body.slot for event in new}
    told = [say("heap.file.took" if body.slot in fresh else "heap.file.known", probe=body.probe, header=column.header,
                count=f"{len(column.at):,}") for body, column in zip(bodies, found.probes, strict=True)]
    told += [say("heap.file.left", columns=", ".join(found.left))] if found.left else []
    told += [*found.notes, *(fault.line for fault in found.faults)]
    told += [say("heap.file.more_faults", count=found.more_faults)] if found.more_faults else []
    return HeatBrought(tuple(told))


def _body(heap: Heap, found: HeatFile, probe: int, column: ProbeColumn, by: str) -> HeatLogged:
    start = column.at[0]
    return HeatLogged(slot=f"{heap.id}:{probe}:{found.mark[:32]}", heap=heap.id, probe=probe, file=found.file,
                      mark=found.mark, start=written(start), by=by,
                      after_s=tuple(round((each - start).total_seconds()) for each in column.at),
                      temperature_c=tuple(round(each, 4) for each in column.temperature_c))


def _logged(body: HeatLogged) -> LoggedHeat:
    return LoggedHeat(id=body.slot, probe=body.probe, file=body.file, mark=body.mark, by=body.by,
                      start=read_moment(body.start), after_s=body.after_s, temperature_c=body.temperature_c)


def _new(events: Iterable[Event], bodies: Iterable[HeatLogged]) -> list[Body]:
    """What is not held; a file that was taken back may be brought again."""
    standing = heads(each for each in events if isinstance(each.body, HEAP_EVENTS))
    new: list[Body] = []
    for body in bodies:
        head = standing.get(body.slot)
        if head is None:
            new.append(body)
        elif isinstance(head.event.body, HeatTakenBack):
            new.append(replace(body, supersedes=head.event.id))
    return new
