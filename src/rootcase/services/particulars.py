"""The particulars of a property as its desk shows and changes them, and what they were before."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.events import PropertyOpened
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.quantity import show
from rootcase.records.observe import Property, System

KEYS = ("name", "latitude", "longitude", "elevation", "time_zone", "weather_station", "currency", "law", "system")
MONEY = ("currency",)
"""What is no matter of who sees no prices."""


@dataclass(frozen=True, slots=True)
class Change:
    """One thing that was told otherwise."""

    told_at: datetime
    device: str
    key: str
    old: str
    new: str


def particulars(ground: Property | PropertyOpened, system: System) -> dict[str, str]:
    """What is known of a property, as it would be typed; empty where nobody has said."""
    elevation = "" if ground.elevation_m is None else show(ground.elevation_m, "m", system, ("ft", "m"))
    return {"name": ground.name, "latitude": number_text(ground.latitude_deg),
            "longitude": number_text(ground.longitude_deg), "elevation": elevation, "time_zone": ground.time_zone,
            "weather_station": ground.weather_station, "currency": ground.currency, "law": ground.law,
            "system": ground.system}


def tell_particulars(fieldbook: Fieldbook, ground: Property, typed: Mapping[str, str], *, system: System,
                     by: str) -> dict[str, str]:
    """Keep what was changed. Returns what is wrong or asked, by its key; then nothing is kept."""
    stands = particulars(ground, system)
    changed = {key: typed[key] for key in KEYS if key in typed and typed[key].strip() != stands[key]}
    if "elevation" in changed and changed["elevation"].strip()[-1:].isdigit():
        changed["elevation"] += " ft" if system == "us" else " m"
    return fieldbook.particulars.tell(ground.id, changed, by=by, sure=typed.get("sure") == "yes") if changed else {}


def changes(fieldbook: Fieldbook, ground: Property, system: System) -> tuple[Change, ...]:
    """What was told otherwise, newest first."""
    told = fieldbook.particulars.history(ground.id)
    return tuple(Change(new.told_at, new.device, key, before[key], after[key])
                 for new, old in pairwise(told)
                 for before, after in [(particulars(old.facts, system), particulars(new.facts, system))]
                 for key in KEYS if before[key] != after[key])
