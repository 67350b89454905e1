"""From what went into a heap to the trees that had of it, and back; what is rung after a recall."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rootcase.records.apply.done import Flag
from rootcase.records.make.batch import Batch, Ring


@dataclass(frozen=True, slots=True, kw_only=True)
class TracedPart:
    """A material of a heap, as it was told."""

    material: str
    bought_from: str = ""
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Applied:
    """What was put on at a tree from a load."""

    id: str
    property_id: str
    property_name: str
    tree_id: str
    tree_label: str
    remedy: str
    day: str
    by: str
    amount_typed: str
    """With its unit."""
    area_typed: str
    """With its unit; empty: as planned."""
    number: int = 0
    """Of its link in the record of what was put on; 0 where it has none."""
    flags: tuple[Flag, ...] = ()
    """What stood against it when it was taken in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """One way from a heap to a tree, as far as it goes; what is empty or None does not go on."""

    heap_id: str
    heap_name: str
    time_zone: str
    """Of the heap; empty where it is not known."""
    parts: tuple[TracedPart, ...]
    batch_id: str = ""
    batch_number: int | None = None
    load_id: str = ""
    load_at: datetime | None = None
    load_volume_l: float | None = None
    tank: str = ""
    applied: Applied | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecalledProperty:
    """A property that had of a batch."""

    property_id: str
    name: str
    applied: tuple[Applied, ...]
    children: bool
    """Somebody read there that children use the ground; False: nobody did."""
    rung: tuple[Ring, ...]
    """Calls that are on record."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recall:
    """Whom to ring about a batch, and about what."""

    batch: Batch
    heap_name: str
    time_zone: str
    """Of the heap, in which its times are said."""
    why: str
    """Empty: it was not called back, and nobody has to be rung yet."""
    properties: tuple[RecalledProperty, ...]
    """By name; those that nobody rang yet come first."""
    loads_not_put_on: tuple[str, ...]
    """Ids of loads of which no record says where they went."""
    extract_without_load: int
    """Records of extract put on, on the days of its loads, that name no load: they may be of this batch."""

    @property
    def trees(self) -> int:
        return len({each.tree_id for one in self.properties for each in one.applied})
