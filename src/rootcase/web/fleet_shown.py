"""Trucks, crews, fill points and drives as their page shows them: lines, and forms with what stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rootcase.ground.measured import told
from rootcase.ground.quantity import System, show
from rootcase.ground.units import unit_label
from rootcase.ground.words import say
from rootcase.records.apply.rounds import Crew, FillPoint, Fleet, PlannedBatch, Truck
from rootcase.services.fleet import ASKS, DAYS, FIELDS, What, cells_of, clock_text, usual_cells

_HELPED = ("payload", "people", "leaves", "back", "days", "licensed", "where", "yard", "time_zone", "table", "day",
           "ready")


@dataclass(frozen=True, slots=True)
class Asked:
    """One field of a form."""

    name: str
    label: str
    help: str
    long: bool
    """It takes several lines."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One thing and the form that tells it anew."""

    id: str
    name: str
    line: str
    cells: Mapping[str, str]


def asked_of(what: What, system: System) -> list[Asked]:
    """The fields of a form, each with the unit of a number that is typed without one."""
    units = {ask.name: unit_label(ask.box_unit(system)) for ask in ASKS[what]}
    optional = {ask.name for ask in ASKS[what] if not ask.needed}
    found = []
    for name in FIELDS[what]:
        parts = [say(f"fleet.help.{name}")] if name in _HELPED else []
        parts += [say("rates.without_unit", unit=units[name])] if units.get(name) else []
        parts += [say("rates.may_stay_empty")] if name in optional else []
        found.append(Asked(name, say(f"fleet.field.{name}"), "; ".join(parts), name == "table"))
    return found


def shown(things: Sequence[Truck | Crew | FillPoint], there: Fleet, system: System) -> list[Shown]:
    """Each of some things, as it stands."""
    return [Shown(each.id, each.name, _line(each, there, system), cells_of(each, system)) for each in things]


def travel_line(there: Fleet, system: System) -> str:
    """How drives are reckoned now."""
    travel = there.travel
    if travel.places:
        return say("fleet.travel_table", count=len(travel.places))
    if travel.road_factor is not None or travel.speed_km_h is not None:
        return say("fleet.travel_own")
    cells = usual_cells("travel", system)
    unit = "mph" if system == "us" else "km/h"
    return say("fleet.travel_usual", road=cells["road"], speed=f"{cells['speed']} {unit}")


def batch_line(batch: PlannedBatch, system: System, day: str) -> str:
    """One batch that is planned."""
    return say("fleet.batch_line", day=day, ready=clock_text(batch.ready_min), until=clock_text(batch.use_by_min),
               volume=told(batch.litres, "L", system, ("gal", "L"), 3))


def _line(thing: Truck | Crew | FillPoint, there: Fleet, system: System) -> str:
    if isinstance(thing, Truck):
        tank = told(thing.tank_l, "L", system, ("gal", "L"), 3)
        if thing.payload_kg is None:
            return say("fleet.truck_line_plain", name=thing.name, tank=tank)
        return say("fleet.truck_line", name=thing.name, tank=tank, payload=show(thing.payload_kg, "kg", system,
                                                                                ("lb", "kg")))
    if isinstance(thing, FillPoint):
        return say("fleet.point_line", name=thing.name, minutes=f"{thing.fill_minutes:g}",
                   yard=say("fleet.the_yard") if thing.is_yard else "")
    truck = next((each.name for each in there.trucks if each.id == thing.truck_id), say("fleet.no_such_truck"))
    return say("fleet.crew_line", name=thing.name, truck=truck, people=", ".join(thing.people),
               leaves=clock_text(thing.leaves_min), back=clock_text(thing.back_by_min),
               rest=f"{thing.rest_minutes:g}", days=" ".join(DAYS[day] for day in thing.works_days),
               licensed=say("fleet.licensed_too") if thing.licensed else "")
