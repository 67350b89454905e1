"""The fieldbook as tables that need no program of ours: a CSV for each kind of record and reading, units in the heads.

Everything stands in them, also what was superseded, taken back or undone; a column says which. A text is written as it
is held: no sign is put before it and nothing is trimmed. What is not there is an empty cell, an empty text is `""`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import fields
from datetime import date
from math import isfinite
from typing import Any

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.drawn import DrawingTakenBack
from rootcase.fieldbook.events import (
    Body,
    Event,
    PitOpened,
    PlaceOpened,
    PropertyOpened,
    ReadingTaken,
    ReadingTakenBack,
    SampleOpened,
    TreeOpened,
    VisitStarted,
)
from rootcase.fieldbook.export.public import PUBLIC_FIELDS, is_public_reading, public_attributes
from rootcase.fieldbook.made.batches import BatchStepTakenBack
from rootcase.fieldbook.made.heaps import HeatTakenBack
from rootcase.fieldbook.made.slides import SlideTakenBack
from rootcase.fieldbook.undone import without_undone
from rootcase.fieldbook.view import heads, natural
from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

Cells = dict[str, object]

_THINGS: Mapping[type[Body], str] = {PlaceOpened: "place", TreeOpened: "tree", PitOpened: "pit", SampleOpened: "sample",
                                     VisitStarted: "visit"}
_OWN = "readings/own-columns.csv"
"""Readings of columns that are none of the catalogue's; their names are no file names."""
_UNITS = {"_m_px": "m/px", "_px": "px", "_m_s": "m/s", "_mj_m2_day": "MJ/m2 day", "_deg": "deg", "_mm": "mm",
          "_pct": "%", "_c": "°C", "_m": "m", "_mg_l": "mg/L", "_mm2": "mm2",
          "_l": "L", "_m2": "m2", "_km_h": "km/h", "_h": "h", "_kg": "kg", "_min": "min"}
"""What a number is in, by the end of its name."""


class Clerk:
    """Writes events down as rows, with the names of what they speak about; in public without who and where."""

    def __init__(self, events: Iterable[Event], *, public: bool = False) -> None:
        self._events, self._public = list(events), public
        self._numbers: dict[str, int] = {}
        self._standing: dict[str, str] = {}
        self._names: dict[str, tuple[str, str]] = {}
        self._first_visit: dict[str, VisitStarted] = {}
        self._visits: dict[str, VisitStarted] = {}
        groups: dict[str, list[Event]] = defaultdict(list)
        for event in self._events:
            groups[event.property_id].append(event)
        for property_id in sorted(groups):
            self._learn(property_id, groups[property_id])

    def tables(self) -> dict[str, list[Cells]]:
        """Rows of each file, in the order things came in."""
        found: dict[str, list[Cells]] = defaultdict(list)
        for event in self._events:
            body = event.body
            if isinstance(body, ReadingTaken):
                if not self._public or is_public_reading(body):
                    name = f"readings/{body.kind}.csv" if body.kind in kinds() else _OWN
                    found[name].append(self._reading(event, body))
            elif not self._public or body.KIND in PUBLIC_FIELDS:
                found[f"records/{body.KIND}.csv"].append(self._record(event))
        return dict(found)

    def row(self, row: Mapping[str, Any]) -> Cells:
        """A row of a table that holds no events."""
        cells: Cells = {header(name): value for name, value in row.items()
                        if name not in ("practice_id", "property_id")}
        if "property_id" not in row:
            return cells
        return {**self._of_property(row["property_id"]), **cells}

    def _learn(self, property_id: str, events: list[Event]) -> None:
        """What stands of a property, and what its things are called."""
        standing = heads(events)
        speaking = {event.id for event in without_undone(events)}
        for event in events:
            head = standing.get(event.body.slot)
            if event.id not in speaking or head is None:
                status = "undone"
            elif head.event.id == event.id:
                status = "standing"
            elif isinstance(head.event.body, ReadingTakenBack | DrawingTakenBack | HeatTakenBack | SlideTakenBack
                            | BatchStepTakenBack):
                status = "taken_back"
            else:
                status = "disputed" if event.id in {rival.id for rival in head.rivals} else "superseded"
            self._standing[event.id] = say(f"export.status.{status}")
        bodies = [head.event.body for head in standing.values()]
        for body in bodies:
            if (thing := _THINGS.get(type(body))) is not None:
                label = body.name if isinstance(body, PlaceOpened) else getattr(body, "label", "")
                self._names[getattr(body, thing)] = (thing, label)
            elif isinstance(body, PropertyOpened):
                self._names[property_id] = ("property", self._id(property_id) if self._public else body.name)
        visits = sorted((body for body in bodies if isinstance(body, VisitStarted)),
                        key=lambda visit: (visit.day, natural(visit.label), visit.visit))
        self._visits |= {visit.visit: visit for visit in visits}
        if visits:
            self._first_visit[property_id] = visits[0]

    def _of_property(self, property_id: str) -> Cells:
        return {"property": self._names.get(property_id, ("", ""))[1], "property id": self._id(property_id)}

    def _id(self, an_id: str) -> str:
        """An id; in public a running number, as ids of imports are made of names that could be tried out."""
        if not self._public or not an_id:
            return an_id
        return str(self._numbers.setdefault(an_id, len(self._numbers) + 1))

    def _envelope(self, event: Event) -> Cells:
        cells: Cells = {"status": self._standing[event.id], "id": self._id(event.id),
                        "supersedes": self._id(event.body.supersedes or ""), "made at": event.made_at}
        return cells if self._public else {**cells, "device": event.device, "slot": event.body.slot}

    def _record(self, event: Event) -> Cells:
        body = event.body
        cells = self._of_property(event.property_id)
        for each in fields(body):
            value = getattr(body, each.name)
            if each.name in ("slot", "supersedes") or (self._public and each.name not in PUBLIC_FIELDS[body.KIND]):
                continue
            if each.name in (*_THINGS.values(), "yardstick"):
                cells |= {each.name: self._names.get(value, ("", None))[1], f"{each.name} id": self._id(value or "")}
            else:
                cells[header(each.name)] = value
        return {**cells, **self._envelope(event)}

    def _reading(self, event: Event, body: ReadingTaken) -> Cells:
        kind = kinds().get(body.kind)
        thing, label = self._names.get(body.of, ("", ""))
        visit = self._visits.get(body.visit) if body.visit else self._first_visit.get(event.property_id)
        attributes = public_attributes(body) if self._public else body.attributes
        own: Cells = {} if kind else {"kind": body.kind}
        unit = unit_label(kind.si_unit) if kind and kind.si_unit else ""
        more: Cells = {} if self._public else {"source": body.source, "reason": getattr(body, "reason", None)}
        return {
            **self._of_property(event.property_id), "of": thing, "name": label, **own,
            "visit": visit.label if visit else None, "day": visit.day if visit else None,
            "observer": visit.observer if visit else None,
            f"value [{unit}]" if unit else "value": body.value, "choice": body.choice, "sign": body.sign,
            "nothing": body.nothing, "typed": body.typed, "depth from [m]": body.depth_from_m,
            "depth to [m]": body.depth_to_m, "growth year": body.growth_year, "series": body.series,
            **{f"with {name}": text for name, text in sorted(attributes.items())},
            "doubts": " | ".join(body.doubts), **more, **self._envelope(event),
            "of id": self._id(body.of), "visit id": self._id(body.visit)}


def header(name: str) -> str:
    """A column's name for people, its unit in brackets.

    >>> header("t_min_c"), header("wind_m_s"), header("station")
    ('t min [°C]', 'wind [m/s]', 'station')
    """
    end = next((end for end in _UNITS if name.endswith(end)), "")
    plain = name.removesuffix(end).replace("_", " ")
    return f"{plain} [{_UNITS[end]}]" if end else plain


def csv_bytes(rows: Iterable[Cells]) -> bytes:
    """Rows as CSV (RFC 4180, in UTF-8): every text in quotes, numbers bare, columns in the order they first come."""
    rows = list(rows)
    columns = list(dict.fromkeys(name for row in rows for name in row))
    lines = [columns, *([row.get(name) for name in columns] for row in rows)]
    return "".join(",".join(map(_cell, line)) + "\r\n" for line in lines).encode("utf-8")


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        value = "yes" if value else "no"
    if isinstance(value, int | float):
        return _number(value)
    if isinstance(value, date):
        value = value.isoformat()
    if isinstance(value, tuple):
        value = "; ".join(" ".join(map(_number, part)) if isinstance(part, tuple) else str(part) for part in value)
    return '"' + str(value).replace('"', '""') + '"'


def _number(value: float) -> str:
    return number_text(value + 0.0) if isinstance(value, float) and isfinite(value) else str(value)
