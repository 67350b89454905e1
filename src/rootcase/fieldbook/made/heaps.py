"""The kinds of events of heaps; they belong to the practice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.body import Body
from rootcase.records.make.heap import HeapPart, Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapStarted(Body):
    """A heap, or its particulars told anew."""

    KIND = "heap_started"
    heap: str
    name: str
    shape: Shape
    rule: str
    complete_at: str
    """UTC, such as 2015-11-05T09:30:00.000Z; as every moment of what is made."""
    time_zone: str
    by: str
    """A code, never a name."""
    parts: tuple[HeapPart, ...] = ()
    every_part_heated: bool = False
    invented: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatRead(Body):
    """One probe, read once; one of the same slot that supersedes it corrects it."""

    KIND = "heat_read"
    heap: str
    probe: int
    at: str
    by: str
    temperature_c: float
    air_c: float | None = None
    typed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatLogged(Body):
    """What a logger's file tells of one probe; its slot is made of heap, probe and file, so that it comes once."""

    KIND = "heat_logged"
    heap: str
    probe: int
    file: str
    mark: str
    start: str
    after_s: tuple[int, ...]
    temperature_c: tuple[float, ...]
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbeChecked(Body):
    """Held into ice water and read right."""

    KIND = "probe_checked"
    heap: str
    probes: tuple[int, ...]
    at: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapTurned(Body):
    KIND = "heap_turned"
    heap: str
    at: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapMeasured(Body):
    """A figure of a laboratory or of the practice, in the unit and by the method it is told."""

    KIND = "heap_measured"
    heap: str
    quantity: str
    unit: str
    method: str
    lab: str
    day: date
    by: str
    value: float | None = None
    """None: none was detected."""
    from_below: bool = False
    """Whether it is only known to lie above the value."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BeansReadOff(Body):
    KIND = "beans_read"
    heap: str
    day: date
    seeds_a_pot: int
    height_mm: tuple[float, ...]
    control_mm: tuple[float, ...]
    twisted: int
    control_twisted: int
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapHeld(Body):
    """Nothing may be made of it until it is freed."""

    KIND = "heap_held"
    heap: str
    reason: str
    at: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeapFreed(Body):
    KIND = "heap_freed"
    heap: str
    reason: str
    at: str
    by: str
    lifts: tuple[str, ...] = ()
    """Events of figures and tests with beans that count no longer; one that is corrected later is another."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatTakenBack(Body):
    """What stands in this slot of a heap's log was told by mistake."""

    KIND = "heat_taken_back"
    heap: str
    reason: str
    by: str


HEAP_EVENTS: tuple[type[Body], ...] = (HeapStarted, HeatRead, HeatLogged, ProbeChecked, HeapTurned, HeapMeasured,
                                       BeansReadOff, HeapHeld, HeapFreed, HeatTakenBack)
