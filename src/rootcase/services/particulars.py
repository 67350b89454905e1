"""The particulars of a property as its desk shows and changes them, and what they were before."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from math import isnan

from rootcase.fieldbook.canonical import number_text
from rootcase.fieldbook.events import PropertyOpened
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.particulars import ToldOnce
from rootcase.ground.quantity import show
from rootcase.ground.words import say
from rootcase.records.observe import Property, System

KEYS = ("name", "latitude", "longitude", "elevation", "time_zone", "weather_station", "currency", "law", "system")
MONEY = ("currency",)
"""What is no matter of who sees no prices."""


_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}\b)")
"""A comma that US units write in a height; as in money, no fraction is written so."""


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
    latitude, longitude = ("" if part is None or isnan(part) else number_text(part)
                           for part in (ground.latitude_deg, ground.longitude_deg))
    return {"name": ground.name, "latitude": latitude, "longitude": longitude, "elevation": elevation,
            "time_zone": ground.time_zone, "weather_station": ground.weather_station, "currency": ground.currency,
            "law": ground.law, "system": ground.system}


def loose_ends(fieldbook: Fieldbook, ground: Property) -> dict[str, str]:
    """By its key what was told and leads nowhere yet: rules nobody wrote down, a station without a day of weather."""
    known = {rule.law.strip().casefold() for rule in fieldbook.rules()}
    laws = [law for each in ground.law.split(";") if (law := each.strip()) and law.casefold() not in known]
    found = {"law": say("particulars.no_rules", laws=", ".join(laws))} if laws else {}
    if ground.weather_station and ground.weather_station not in fieldbook.station_names():
        found["weather_station"] = say("particulars.no_days", station=ground.weather_station)
    return found


def shown_mark(fieldbook: Fieldbook, ground: Property) -> str:
    """Which telling a page shows; its form brings it back."""
    return fieldbook.particulars.history(ground.id)[0].id


def tell_particulars(fieldbook: Fieldbook, ground: Property, typed: Mapping[str, str], *, system: System,
                     by: str) -> dict[str, str]:
    """Keep what was changed from what the page showed. Returns what is wrong or asked, by its key; then nothing is
    kept. What somebody else has changed meanwhile is told beside the field where it was typed otherwise here.
    """
    told = fieldbook.particulars.history(ground.id)
    stands, shown = particulars(told[0].facts, system), _shown(told, typed, system)
    changed = _changed(shown, typed)
    if newer := {key: say("particulars.newer", now=stands[key] or say("report.not_known")) for key in changed
                 if stands[key] not in (shown[key], changed[key].strip())}:
        return newer
    if "elevation" in changed and system == "us":
        changed["elevation"] = _THOUSANDS.sub("", changed["elevation"])
    if "elevation" in changed and changed["elevation"].strip()[-1:].isdigit():
        changed["elevation"] += " ft" if system == "us" else " m"
    return fieldbook.particulars.tell(ground.id, changed, by=by, sure=typed.get("sure") == "yes",
                                      onto=told[0].id) if changed else {}


def typed_anew(fieldbook: Fieldbook, ground: Property, typed: Mapping[str, str], system: System) -> dict[str, str]:
    """What a form that is shown again holds: what was typed otherwise than shown, and for the rest what stands now."""
    told = fieldbook.particulars.history(ground.id)
    return particulars(told[0].facts, system) | _changed(_shown(told, typed, system), typed)


def _shown(told: Sequence[ToldOnce], typed: Mapping[str, str], system: System) -> dict[str, str]:
    """What the page showed that this form stood on; what stands where it does not say."""
    return particulars(next((each for each in told if each.id == typed.get("shown")), told[0]).facts, system)


def _changed(shown: Mapping[str, str], typed: Mapping[str, str]) -> dict[str, str]:
    return {key: typed[key] for key in KEYS if key in typed and typed[key].strip() != shown[key]}


def changes(fieldbook: Fieldbook, ground: Property, system: System) -> tuple[Change, ...]:
    """What was told otherwise, newest first."""
    told = fieldbook.particulars.history(ground.id)
    return tuple(Change(new.told_at, new.device, key, before[key], after[key])
                 for new, old in pairwise(told)
                 for before, after in [(particulars(old.facts, system), particulars(new.facts, system))]
                 for key in KEYS if before[key] != after[key])
