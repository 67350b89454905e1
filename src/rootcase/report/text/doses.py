"""Doses as a crew shovels them, in both systems, the property's own first."""

from __future__ import annotations

from rootcase.ground.quantity import System, show
from rootcase.ground.words import say
from rootcase.records.prescribe import Dose
from rootcase.report.text.figures import known

_INCHES = ("in", "cm")


def dose_text(dose: Dose, system: System, southern: bool = False) -> str:
    """Return how deep, how much and when.

    >>> dose_text(Dose(41.7, depth_m=0.08, volume_m3=3.3), "us")
    '3.1 in (8 cm) deep on 449 ft² (42 m²): 4.3 yd³ (3.3 m³)'
    """
    area = show(dose.area_m2, "m2", system)
    if dose.depth_m is not None:
        text = say("report.dose.deep", depth=show(dose.depth_m, "m", system, _INCHES), area=area)
    elif dose.water_mm is not None:
        text = say("report.dose.water", depth=show(dose.water_mm, "mm", system, ("in", "mm")), area=area)
        if dose.every_days is not None:
            text = say("report.dose.every", dose=text, days=dose.every_days)
    else:
        text = say("report.dose.on", area=area)
    if amounts := _amounts(dose, system):
        text = say("report.dose.amount", dose=text, amount=", ".join(amounts))
    return say("report.dose.when", dose=text, season=_season(dose.season, southern)) if dose.season else text


def _season(season: str, southern: bool) -> str:
    """When, in the months of the property's own half of the earth where months are named."""
    there = f"prescribe.season.{season}_south"
    return say(there) if southern and known(there) else say(f"prescribe.season.{season}")


def _amounts(dose: Dose, system: System) -> list[str]:
    amounts = ((dose.volume_m3, "m3"), (dose.mass_kg, "kg"), (dose.litres, "L"))
    return [show(amount, unit, system) for amount, unit in amounts if amount is not None]
