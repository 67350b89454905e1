"""Rates, loads and calibrations in words: the finding, what stands below it, and the cautions beside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import floor
from typing import Any

from rootcase.ground.quantity import System, number, show, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.records.make import rates as made
from rootcase.report.text.figures import volume_alone
from rootcase.tables.load import table

_VOLUME, _WEIGHT, _LOOSE, _THIN = ("gal", "L"), ("lb", "kg"), ("yd3", "m3"), ("gal/ac", "L/100m2")


@dataclass(frozen=True, slots=True)
class RatesTold:
    """A result in words."""

    finding: str
    lines: tuple[str, ...] = ()


def rates_told(found: made.Worked, system: System) -> RatesTold:
    """The result of a sum in words."""
    return _TOLD[type(found)](found, system)


def rates_cautions(name: str) -> tuple[str, ...]:
    """What stands beside a sum."""
    return tuple(say(f"rates.caution.{name}").strip().splitlines())


def load_line(found: made.LoadWeight, system: System) -> str:
    """A load against the payload: 300 gal is 2,502 lb; payload left 2,550 lb. 48 lb to spare: no second passenger."""
    unit = _WEIGHT[0] if system == "us" else _WEIGHT[1]
    weight, left = (round(convert(each, "kg", unit)) for each in (found.weight_kg, found.left_kg))
    if found.most_l <= 0.0:
        spare = say("rates.told.overloaded_empty")
    elif left < weight:
        spare = say("rates.told.overloaded", spare=_whole(weight - left, unit), most=_at_most(found.most_l, system))
    else:
        key = "spare" if found.takes_another_person else "no_passenger"
        spare = say(f"rates.told.{key}", spare=_whole(left - weight, unit))
    return say("rates.told.payload", volume=volume_alone(found.volume_l, system, 4), weight=_whole(weight, unit),
               left=_whole(left, unit), spare=spare)


def _whole(value: float, unit: str) -> str:
    return with_unit(f"{value:,.0f}".replace("-", "\N{MINUS SIGN}"), unit)


def _at_most(volume_l: float, system: System) -> str:
    """Never rounded up."""
    unit = _VOLUME[0] if system == "us" else _VOLUME[1]
    return _whole(floor(convert(volume_l, "L", unit)), unit)


def _drench(found: made.Drench, system: System) -> RatesTold:
    return RatesTold(say("rates.told.drench", area=show(found.area_m2, "m2", system), volume=show(
        found.volume_l, "L", system), rate=show(found.rate_l_m2, "L/m2", system)),
        (say("rates.told.deep", depth=show(found.rate_l_m2, "mm", system)),))


def _injection(found: made.Injection, system: System) -> RatesTold:
    seconds = found.seconds_a_hole
    return RatesTold(say("rates.told.injection", holes=f"{found.holes:,}", count=found.holes, volume=show(
        found.volume_l, "L", system), each=show(found.litres_a_hole, "L", system)),
        (say("rates.told.no_flow") if seconds is None else say("rates.told.seconds", seconds=number(seconds)),))


def _topdress(found: made.Topdress, system: System) -> RatesTold:
    return RatesTold(say("rates.told.topdress", area=show(found.area_m2, "m2", system), volume=show(
        found.volume_m3, "m3", system, _LOOSE), depth=show(found.depth_m, "m", system, ("in", "cm"))))


def _loads(found: made.Loads, system: System) -> RatesTold:
    lines = []
    for at, load in enumerate(found.loads, 1):
        volume = volume_alone(load.volume_l, system, 4)
        lines.append(say("rates.told.load", number=at, volume=volume, extract=volume_alone(load.extract_l, system, 4),
                         water=volume_alone(load.water_l, system, 4)) if load.water_l
                     else say("rates.told.load_plain", number=at, volume=volume))
    return RatesTold(say("rates.told.loads", volume=show(found.volume_l, "L", system), count=len(found.loads)),
                     _alike(found, tuple(lines)))


_SHOWN = 12
"""Loads that are told one by one; of more the first, and the last two."""


def _alike(found: made.Loads, lines: tuple[str, ...]) -> tuple[str, ...]:
    return lines if len(lines) <= _SHOWN else (lines[0], "…", *lines[-2:])


def _payload(found: made.Payload, system: System) -> RatesTold:
    axles, lines = found.axles, []
    for key, weight, spare in (("front", axles.front_kg, axles.front_spare_kg),
                               ("rear", axles.rear_kg, axles.rear_spare_kg)) if axles else ():
        left = say("rates.told.axle_spare" if spare >= 0.0 else "rates.told.axle_over",
                   spare=show(abs(spare), "kg", system))
        lines.append(say(f"rates.told.axle_{key}", weight=show(weight, "kg", system), spare=left))
    return RatesTold(load_line(found.load, system), tuple(lines))


def _caught(found: made.Caught, system: System) -> RatesTold:
    rate = found.rate_l_m2
    return RatesTold(say("rates.told.hose", flow=show(found.flow_l_min, "L/min", system, figures=3)),
                     () if rate is None else (say("rates.told.hose_rate", rate=show(rate, "L/m2", system, figures=3)),))


def _boom(found: made.Boom, system: System) -> RatesTold:
    return RatesTold(say("rates.told.boom", rate=show(found.rate_l_m2, "L/m2", system, _THIN, figures=3),
                         speed=show(found.speed_m_s, "m/s", system)))


def _injector(found: made.Injector, system: System) -> RatesTold:
    stock = found.stock_share
    return RatesTold(say("rates.told.injector", share=show(found.share, "1", system)), () if stock is None else (
        say("rates.told.stock", wanted=show(found.wanted_share, "1", system), stock=show(stock, "1", system)),))


def _cans(found: made.Cans, system: System) -> RatesTold:
    return RatesTold(say("rates.told.cans", cans=found.cans, du=number(found.du_pct), cu=number(found.cu_pct),
                         cv=number(found.cv_pct)), (say("rates.told.du"),))


def _nozzles(found: made.Nozzles, system: System) -> RatesTold:
    bad, lines = sum(found.replace), []
    for at, (off, replace) in enumerate(zip(found.off_pct, found.replace, strict=True), 1):
        signed = f"{off:+.1f}".replace("-", "\N{MINUS SIGN}")
        lines.append(say("rates.told.nozzle_bad" if replace else "rates.told.nozzle", number=at, off=signed))
    most = number(table("tank/tolerances").row(name="nozzle_from_the_set")["most_pct"])
    finding = (say("rates.told.nozzles_bad", bad=bad, count=len(lines), most=most) if bad
               else say("rates.told.nozzles_sound", count=len(lines), most=most))
    return RatesTold(finding, (*lines, say("rates.told.even_wear")))


def _gap(found: made.FillingGap, system: System) -> RatesTold:
    twice, six = (show(each, "m", system, ("in", "cm")) for each in (found.twice_the_hose_m, found.six_inches_m))
    return RatesTold(say("rates.told.gap", gap=twice), (say("rates.told.gap_six", gap=six),))


def _jar(found: made.Jar, system: System) -> RatesTold:
    steps = (say(f"rates.jar.{step.what}", amount=show(step.amount, step.unit, system, ("pt", "mL")))
             if step.unit == "pt" else say(f"rates.jar.{step.what}") for step in found.steps)
    order = ", ".join(say(f"rates.order.{what}") for what in found.order)
    portion = () if found.portion_ml is None else (say("rates.told.portion", portion=show(
        found.portion_ml, "mL", system, ("fl_oz", "mL"))),)
    return RatesTold(say("rates.told.jar"), (*portion, *steps, say("rates.told.order", order=order)))


_TOLD: dict[type, Callable[[Any, System], RatesTold]] = {
    made.Drench: _drench, made.Injection: _injection, made.Topdress: _topdress, made.Loads: _loads,
    made.Payload: _payload, made.Caught: _caught, made.Boom: _boom, made.Injector: _injector, made.Cans: _cans,
    made.Nozzles: _nozzles, made.FillingGap: _gap, made.Jar: _jar}
