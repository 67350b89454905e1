"""Rates, loads and calibrations: what each sum asks for, and what comes of what was typed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from rootcase.casework.make import calibration, filling, rates
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.quantity import System
from rootcase.ground.typed import Limits, read
from rootcase.ground.words import say
from rootcase.records.make.rates import Payload, Worked
from rootcase.science.tank.loads import Axles
from rootcase.science.tank.rates import CELL
from rootcase.services.asked import Ask, read_one

GRIDS = tuple(CELL)
_MOST_CAUGHT = 200
"""JUDGEMENT: nobody sets out more cans."""


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """What came of a form: a result, or what is wrong by field; under no name what is wrong with all of it."""

    result: Worked | None
    wrong: Mapping[str, str]
    said: tuple[str, ...] = ()
    """How what could mean two things was read."""


_GAL, _LB, _FT = ("gal", "L"), ("lb", "kg"), ("ft", "m")
_AREA = Ask("area", "area_m2", "m2", ("ft2", "m2"), 0.01, 1e6)
_RATE = Ask("rate", "rate_l_m2", "L/m2", ("gal/1000ft2", "L/m2"), 0.001, 200.0)
_VOLUME = Ask("volume", "volume_l", "L", _GAL, 0.1, 1e5)
_FLOW = Ask("flow", "flow_l_min", "L/min", ("gal/min", "L/min"), 0.01, 5000.0)
_NO_UNIT = ("1", "1")
_CAUGHT = Ask("caught", "caught", "1", _NO_UNIT, 0.0, 1e6, form="several")
_AXLES = ("front_empty", "rear_empty", "front_rating", "rear_rating", "tank_ahead", "wheelbase")


def _weight(name: str, *, least: float = 100.0, needed: bool = True) -> Ask:
    return Ask(name, name, "kg", _LB, least, 1e5, needed)


ASKS: Mapping[str, tuple[Ask, ...]] = {
    "drench": (_AREA, _RATE),
    "injection": (_AREA, _RATE, Ask("spacing", "spacing_m", "m", _FT, 0.1, 10.0),
                  Ask("grid", "grid", "1", _NO_UNIT, 0.0, 0.0, form="grid"),
                  Ask("flow", "flow_l_min", "L/min", ("gal/min", "L/min"), 0.01, 5000.0, needed=False)),
    "topdress": (_AREA, Ask("depth", "depth_m", "m", ("in", "cm"), 0.001, 1.0)),
    "loads": (_VOLUME, Ask("tank", "tank_l", "L", _GAL, 1.0, 1e5),
              Ask("least", "least_l", "L", _GAL, 0.0, 5e4, needed=False),
              Ask("extract", "extract_share", "1", ("%", "%"), 0.0, 1.0, needed=False)),
    "payload": (_VOLUME, _weight("rating"), _weight("curb"), _weight("aboard", least=0.0),
                *(_weight(name, needed=False) for name in _AXLES[:4]),
                Ask("tank_ahead", "tank_ahead", "m", _FT, -10.0, 20.0, needed=False),
                Ask("wheelbase", "wheelbase", "m", _FT, 1.0, 15.0, needed=False)),
    "hose": (Ask("volume", "caught_l", "L", _GAL, 0.001, 1e5),
             Ask("time", "minutes", "min", ("min", "min"), 0.01, 1440.0),
             Ask("area", "area_m2", "m2", ("ft2", "m2"), 0.01, 1e6, needed=False)),
    "boom": (_FLOW, Ask("distance", "distance_m", "m", _FT, 0.1, 10_000.0),
             Ask("time", "seconds", "s", ("s", "s"), 0.1, 1e5),
             Ask("width", "width_m", "m", _FT, 0.01, 50.0)),
    "injector": (Ask("drawn", "drawn_l", "L", _GAL, 0.0, 1e4), Ask("delivered", "delivered_l", "L", _GAL, 0.01, 1e6),
                 Ask("wanted", "wanted_share", "1", ("%", "%"), 0.0, 1.0, needed=False)),
    "cans": (_CAUGHT,),
    "nozzles": (_CAUGHT,),
    "gap": (Ask("hose", "hose_inside_diameter_m", "m", ("in", "cm"), 0.002, 0.3),),
    "jar": (Ask("product", "product_l_m2", "L/m2", ("gal/ac", "L/100m2"), 0.0, 0.1, needed=False),),
}
"""By sum, in the order of the work."""


def work_out(name: str, typed: Mapping[str, str], system: System) -> WorkedOut:
    """Reckon one sum from what was typed; nothing of it is kept."""
    values: dict[str, Any] = {}
    wrong: dict[str, str] = {}
    said: list[str] = []
    for ask in ASKS[name]:
        try:
            if (value := _value(ask, typed.get(ask.name, "").strip(), system, said)) is not None:
                values[ask.into] = value
        except RootcaseError as error:
            wrong[ask.name] = str(error)
    if wrong:
        return WorkedOut(None, wrong)
    try:
        return WorkedOut(_SUMS[name](**values), {}, tuple(said))
    except RootcaseError as error:
        return WorkedOut(None, {"": str(error)})


def _value(ask: Ask, text: str, system: System, said: list[str]) -> float | str | tuple[float, ...] | None:
    require_length(text, MOST_LINE)
    if ask.form == "grid":
        return _grid(text)
    return _several(ask, text) if ask.form == "several" else read_one(ask, text, system, said)


def _grid(text: str) -> str:
    if text not in GRIDS:
        raise UnreadableValue(say("rates.no_grid"), value=f'"{text}"' if text else "",
                              right=say("readings.or").join(GRIDS))
    return text


def _several(ask: Ask, text: str) -> tuple[float, ...]:
    """Numbers in one unit, parted by blanks, line ends or semicolons."""
    parts = [part.rstrip(",") for part in text.replace(";", " ").split()]
    if not parts or len(parts) > _MOST_CAUGHT:
        raise UnreadableValue(say("rates.nothing"), right=say("rates.right_several", most=_MOST_CAUGHT))
    found = []
    for part in parts:
        one = read(part, Limits(ask.low, ask.high, ask.unit, ask.unit))
        if one is None or one.value is None or one.unit or one.sign != "=" or not ask.low <= one.value <= ask.high:
            raise UnreadableValue(say("rates.no_number"), value=f'"{part}"',
                                  right=say("rates.right_several", most=_MOST_CAUGHT))
        found.append(one.value)
    return tuple(found)


def _payload(*, volume_l: float, rating: float, curb: float, aboard: float, **axles: float) -> Payload:
    if not axles:
        return filling.payload(volume_l, rating, curb, aboard)
    if len(axles) < len(_AXLES):
        missing = next(name for name in _AXLES if name not in axles)
        raise UnreadableValue(say("rates.half_axles"), right=say("rates.right_axles",
                                                                  missing=say(f"rates.ask.{missing}")))
    chassis = filling.Chassis(Axles(axles["front_empty"], axles["rear_empty"]),
                              Axles(axles["front_rating"], axles["rear_rating"]),
                              axles["tank_ahead"], axles["wheelbase"])
    return filling.payload(volume_l, rating, curb, aboard, chassis)


_SUMS: Mapping[str, Callable[..., Worked]] = {
    "drench": rates.drench, "injection": rates.injection, "topdress": rates.topdress, "loads": rates.loads,
    "payload": _payload, "hose": calibration.hose, "boom": calibration.boom, "injector": calibration.injector,
    "cans": calibration.cans, "nozzles": calibration.nozzles, "gap": filling.filling_gap, "jar": filling.jar}
