"""The boxes of the form of what was put on: what stands of a record in them, and what a correction leaves as it was."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from rootcase.ground.clock import day_there, show_time, zone
from rootcase.ground.quantity import System
from rootcase.ground.units import convert
from rootcase.records.apply.done import Application
from rootcase.services.asked import Ask

ASKS = (Ask("volume", "volume_l", "L", ("gal", "L"), 0.0, 1e6, needed=False),
        Ask("mass", "mass_kg", "kg", ("lb", "kg"), 0.0, 1e6, needed=False),
        Ask("area", "area_m2", "m2", ("ft2", "m2"), 0.0, 1e7, needed=False))
_BOX = {ask.name: ask for ask in ASKS}


@dataclass(frozen=True, slots=True)
class Correction:
    """A form that corrects a record: boxes whose text is as it stood leave what stood, to the last digit."""

    old: Application
    before: Mapping[str, str]
    """The record as it stood in the form."""
    typed: Mapping[str, str]
    """What was typed, and of boxes that the form did not have what stood."""

    def leaves(self, name: str) -> bool:
        """Whether the text of a box is as it stood."""
        return self.typed.get(name, "").strip() == self.before.get(name, "").strip()

    def leaves_hour(self, name: str, day: date | None) -> bool:
        """The same of an hour, which is another where the day is."""
        return self.leaves(name) and day == (ended_on(self.old) if name == "ended" else self.old.day)

    def figures(self) -> dict[str, float]:
        """Figures whose boxes were left, as they were told."""
        told = {"volume": self.old.litres, "mass": self.old.mass_kg, "area": self.old.area_m2}
        return {_BOX[name].into: value for name, value in told.items() if value is not None and self.leaves(name)}


def ended_on(one: Application) -> date:
    """The day the work ended on, by the clock of the place; the day of the record where no end was told."""
    return day_there(one.ended, zone(one.time_zone or "UTC")) if one.ended else one.day


def correction(old: Application, typed: Mapping[str, str], system: System) -> Correction:
    """A form over the record that it corrects."""
    before = of_record(old, system)
    return Correction(old, before, {**before, **typed})


def of_record(one: Application, system: System) -> dict[str, str]:
    """What stands of a record, as it would be typed; a correction begins with it."""
    place = zone(one.time_zone or "UTC")
    product = one.product
    told = {"slot": one.slot, "tree": one.tree_ids[0], "remedy": one.remedy, "plan": one.plan,
            "load": "" if one.batch_id else one.load_id,
            "day": one.day.isoformat(), "by": one.applicator, "licence": one.applicator_licence,
            "helpers": " ".join(one.helpers), "amount": one.amount, "site": one.site, "method": one.method,
            "weather": one.weather, "soil": one.soil, "note": one.note, "not_done": one.not_done,
            "no_helper": "on" if one.no_helper else "",
            "started": show_time(one.started, place) if one.started else "",
            "ended": show_time(one.ended, place) if one.ended else "",
            "ended_on": "" if ended_on(one) == one.day else ended_on(one).isoformat(),
            "product": product.name if product else "", "registration": product.registration if product else "",
            "restricted": "on" if product and product.restricted else ""}
    return told | boxes({"volume": one.litres, "mass": one.mass_kg, "area": one.area_m2}, system, ".6g")


def boxes(figures: Mapping[str, float | None], system: System, digits: str) -> dict[str, str]:
    """Figures in the units of their boxes, with so many digits."""
    found = {}
    for name, value in figures.items():
        if value is not None:
            ask = _BOX[name]
            found[name] = f"{convert(value, ask.unit, ask.box_unit(system)):{digits}}"
    return found
