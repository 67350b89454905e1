"""Units with exact constants, and nothing that is not in the table below.

Definitions: the inch is 25.4 mm, the pound 0.45359237 kg (International Yard and Pound Agreement 1959); the US gallon
is 231 cubic inches, the imperial gallon 4.54609 L; standard gravity is 9.80665 m/s2, a millimetre of mercury
133.322387415 Pa, 0 degC is 273.15 K (NIST Special Publication 811, 2008, Appendix B, memory; the tests compare every
constant with an independent registry). Mesh has no factor: it is looked up in the nominal openings of ASTM E11
(memory).

A name may stand in two groups: parts per million are mg/kg in solids and mg/L in water; the other unit of a conversion
decides. A millimetre of water is 1 L/m2 in number, but a length never becomes a volume on an area here, so that a rate
typed into the box of a length is refused.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from fractions import Fraction
from functools import cache, lru_cache
from itertools import chain

from rootcase.ground.errors import UnknownUnit
from rootcase.ground.words import say

_INCH, _POUND, _GRAVITY = Fraction("0.0254"), Fraction("0.45359237"), Fraction("9.80665")
_FOOT, _GALLON = 12 * _INCH, 231 * _INCH**3
_YARD, _ACRE = 3 * _FOOT, 43560 * _FOOT**2
_LITRE, _MINUTE, _HOUR, _DAY = Fraction(1, 1000), Fraction(60), Fraction(3600), Fraction(86400)
_WEEK, _OUNCE, _TON_FORCE = 7 * _DAY, _POUND / 16, 2000 * _POUND * _GRAVITY
_MILLI, _MICRO, _FAHRENHEIT = Fraction(1, 1000), Fraction(1, 10**6), Fraction(5, 9)
_ONE = Fraction(1)

# Each group holds units that may become one another: name, size in the group's own SI unit.
_GROUPS: tuple[dict[str, Fraction], ...] = (
    {"m": _ONE, "um": _MICRO, "mm": _MILLI, "cm": Fraction(1, 100), "km": Fraction(1000),
     "in": _INCH, "ft": _FOOT, "yd": _YARD, "mi": 5280 * _FOOT},
    {"m2": _ONE, "mm2": _MICRO, "cm2": Fraction(1, 10**4), "ha": Fraction(10**4), "km2": Fraction(10**6),
     "in2": _INCH**2, "ft2": _FOOT**2, "1000ft2": 1000 * _FOOT**2, "yd2": _YARD**2, "ac": _ACRE},
    {"m3": _ONE, "mm3": _MICRO / 1000, "um3": _MICRO**3, "uL": _LITRE * _MICRO, "mL": _LITRE / 1000, "cm3": _MICRO,
     "L": _LITRE, "in3": _INCH**3, "ft3": _FOOT**3, "yd3": _YARD**3, "gal": _GALLON, "qt": _GALLON / 4,
     "pt": _GALLON / 8, "fl_oz": _GALLON / 128, "imp_gal": Fraction("4.54609") * _LITRE},
    {"kg": _ONE, "ug": _MICRO / 1000, "mg": _MICRO, "g": _MILLI, "t": Fraction(1000), "Mg": Fraction(1000),
     "lb": _POUND, "oz": _OUNCE, "short_ton": 2000 * _POUND},
    {"s": _ONE, "min": _MINUTE, "h": _HOUR, "day": _DAY, "week": _WEEK},
    {"Pa": _ONE, "kPa": Fraction(1000), "MPa": Fraction(10**6), "bar": Fraction(10**5), "mbar": Fraction(100),
     "cbar": Fraction(1000), "psi": _POUND * _GRAVITY / _INCH**2, "ton/ft2": _TON_FORCE / _FOOT**2,
     "inHg": Fraction("133.322387415") * Fraction("25.4")},
    {"m/s": _ONE, "km/h": 1000 / _HOUR, "mph": 5280 * _FOOT / _HOUR, "mm/h": _MILLI / _HOUR,
     "cm/h": _MILLI * 10 / _HOUR, "in/h": _INCH / _HOUR, "mm/day": _MILLI / _DAY, "in/day": _INCH / _DAY,
     "mm/week": _MILLI / _WEEK, "in/week": _INCH / _WEEK},
    {"L/min": _LITRE / _MINUTE, "L/s": _LITRE, "m3/h": 1 / _HOUR, "gal/min": _GALLON / _MINUTE},
    {"m3/m2": _ONE, "L/m2": _LITRE, "L/100m2": _LITRE / 100, "gal/ft2": _GALLON / _FOOT**2,
     "gal/1000ft2": _GALLON / (1000 * _FOOT**2), "gal/ac": _GALLON / _ACRE,
     "yd3/1000ft2": _YARD**3 / (1000 * _FOOT**2)},
    {"kg/m2": _ONE, "kg/100m2": Fraction(1, 100), "g/m2": _MILLI, "g/cm2": Fraction(10), "kg/ha": Fraction(1, 10**4),
     "t/ha": Fraction(1, 10), "lb/ft2": _POUND / _FOOT**2, "lb/1000ft2": _POUND / (1000 * _FOOT**2),
     "lb/ac": _POUND / _ACRE},
    {"kg/m3": _ONE, "mg/m3": _MICRO, "Mg/m3": Fraction(1000), "g/cm3": Fraction(1000), "t/m3": Fraction(1000),
     "kg/L": Fraction(1000), "lb/ft3": _POUND / _FOOT**3, "lb/yd3": _POUND / _YARD**3, "lb/gal": _POUND / _GALLON},
    {"mg/kg": _MICRO, "g/kg": _MILLI, "ppm": _MICRO, "mg/100g": _MICRO * 10},
    {"mg/L": _MILLI, "ug/L": _MICRO, "g/L": _ONE, "ppm": _MILLI},
    {"dS/m": Fraction(1, 10), "mS/m": _MILLI, "mS/cm": Fraction(1, 10), "uS/cm": Fraction(1, 10**4),
     "mmho/cm": Fraction(1, 10)},
    {"cmol/kg": Fraction(1, 100), "meq/100g": Fraction(1, 100), "mmol/kg": _MILLI},
    {"mg/kg/day": _MICRO / _DAY, "mg/g/day": _MILLI / _DAY},
    {"mg/L/h": _MILLI / _HOUR, "mg/L/min": _MILLI / _MINUTE, "mg/L/day": _MILLI / _DAY},
    {"mmolc/L": _ONE, "meq/L": _ONE},
    {"W/m2": _ONE, "MJ/m2/day": 10**6 / _DAY, "MJ/m2/h": 10**6 / _HOUR},
    {"mm/m": _MILLI, "in/ft": _INCH / _FOOT},
    {"m2/s": _ONE, "mm2/s": _MICRO},
    {"1": _ONE, "%": Fraction(1, 100)},
    {"1/m2": _ONE, "1/cm2": Fraction(10**4), "1/mm2": Fraction(10**6)},
    {"1/mL": _ONE, "1/100mL": Fraction(1, 100)},
    {"K": _ONE, "degC": _ONE, "degF": _FAHRENHEIT},
    {"degC_diff": _ONE, "degF_diff": _FAHRENHEIT},
    {"degC_day": _ONE, "degF_day": _FAHRENHEIT},
    {"um": _ONE, "mesh": _ONE},
    *({name: _ONE} for name in ("1/g", "cm/cm3", "MJ/m2", "s/m", "deg", "pH", "index", "year", "money")),
)
_ZERO_K = {"degC": Fraction("273.15"), "degF": Fraction("459.67") * _FAHRENHEIT}
_MESH_UM = {4: 4750, 5: 4000, 6: 3350, 7: 2800, 8: 2360, 10: 2000, 12: 1700, 14: 1400, 16: 1180, 18: 1000, 20: 850,
            25: 710, 30: 600, 35: 500, 40: 425, 45: 355, 50: 300, 60: 250, 70: 212, 80: 180, 100: 150, 120: 125,
            140: 106, 170: 90, 200: 75, 230: 63, 270: 53, 325: 45, 400: 38, 500: 25, 635: 20}
_US = frozenset(("in", "ft", "yd", "mi", "ac", "gal", "qt", "pt", "fl_oz", "lb", "oz", "short_ton", "psi", "mph",
                 "inHg"))
# Spelling ignores case, so Mg and mg, Mg/m3 and mg/m3 both stand above: neither is then taken for the other.
NAMES = tuple(dict.fromkeys(chain.from_iterable(_GROUPS)))

_SPELLINGS = {
    "in": 'inch inches "', "ft": "foot feet '", "yd": "yard", "mi": "mile", "m": "metre meter",
    "km": "kilometre kilometer", "cm": "centimetre centimeter", "mm": "millimetre millimeter",
    "um": "micron micrometre micrometer mcm", "ha": "hectare", "ac": "acre", "L": "l litre liter ltr",
    "mL": "ml cc millilitre milliliter", "uL": "microlitre microliter", "gal": "gallon us_gal us_gallon",
    "imp_gal": "imperial_gallon uk_gal imp_gallon", "qt": "quart", "pt": "pint", "fl_oz": "floz fluid_ounce fl_ounce",
    "g": "gram gramme", "kg": "kilo kilogram", "mg": "milligram", "t": "tonne metric_ton", "lb": "pound #",
    "oz": "ounce", "short_ton": "us_ton", "s": "sec second", "min": "minute", "h": "hr hour", "day": "d", "week": "wk",
    "year": "yr", "%": "percent pct per_cent", "degC": "C celsius degrees_C deg_C degree_C", "K": "kelvin",
    "degF": "F fahrenheit degrees_F deg_F degree_F", "degC_diff": "C_diff C_difference C_degrees",
    "degF_diff": "F_diff F_difference F_degrees", "degC_day": "degC_days C_day", "degF_day": "degF_days F_day",
    "deg": "degree", "psi": "lb/in2 lbf/in2", "mph": "mi/h mile/h", "km/h": "kph kmh", "gal/min": "gpm",
    "ton/ft2": "tsf", "inHg": "in_Hg", "g/cm3": "g/mL", "cmol/kg": "cmolc/kg cmol(+)/kg", "meq/100g": "me/100g",
    "lb/ac": "lb/A", "mg/kg": "ug/g mcg/g", "g/kg": "mg/g", "mg/L": "mg/dm3",
    "mg/L/h": "ppm/h", "mg/L/min": "ppm/min", "mg/L/day": "ppm/day", "mmho/cm": "mmhos/cm",
    "uS/cm": "umho/cm umhos/cm", "1/mL": "cfu/mL mpn/mL", "1/100mL": "cfu/100mL mpn/100mL", "1/g": "cfu/g mpn/g",
}
_SIMPLE = {spelling: name for name, listed in _SPELLINGS.items() for spelling in listed.split()} | {n: n for n in NAMES}
_LABELS = {
    "1": "", "degC_diff": "°C", "degF_diff": "°F", "imp_gal": "imp gal", "fl_oz": "fl oz", "short_ton": "short ton",
    "degC_day": "°C day", "degF_day": "°F day", "1000ft2": "1000 ft²", "index": "", "pH": "", "year": "", "money": "",
    "deg": "°", "cm/cm3": "cm/cm³", "1/100mL": "per 100 mL", "1/mL": "per mL", "1/g": "per g",
}


@cache
def unit_name(text: str) -> str:
    """Return our one name of a unit that a person may spell in many ways.

    >>> unit_name("sq ft"), unit_name("gal/1000 sq ft"), unit_name("yd³"), unit_name("°C"), unit_name("µS/cm")
    ('ft2', 'gal/1000ft2', 'yd3', 'degC', 'uS/cm')
    >>> unit_name("mg kg⁻¹"), unit_name("lb/A"), unit_name("mmhos/cm"), unit_name("kg ha-1")
    ('mg/kg', 'lb/ac', 'mmho/cm', 'kg/ha')
    """
    form = re.sub(r"[’‘′]", "'", re.sub(r"[”“″]", '"', text))
    form = unicodedata.normalize("NFKC", form).replace("μ", "u").replace("°", "deg").replace("^", "").replace("**", "")
    form = re.sub(r"[\s.·]+([a-z]+) ?[-−]1\b", r"/\1", form, flags=re.IGNORECASE)
    form = re.sub(r"\s*(?:/|\bper\b(?!\s*cent))\s*", "/", form.strip())
    name = _spelled(form) or _spelled("/".join(_spelled(part) or part for part in form.split("/")))
    if name is None:
        raise UnknownUnit(say("units.unknown"), value=f'"{text}"', right=_way_out(form))
    return name


@lru_cache(maxsize=16384, typed=True)  # pages and papers write the same figures in both systems again and again
def convert(value: float | Fraction, from_unit: str, to_unit: str) -> float:
    """Turn a value of one unit into another, exactly until the last rounding.

    >>> convert(0.1, "in", "mm"), convert(50, "degF", "degC"), convert(18, "degF_diff", "degC_diff")
    (2.54, 10.0, 10.0)
    >>> convert(40, "mesh", "um")
    425.0
    """
    return float(convert_exactly(value, from_unit, to_unit))


def convert_exactly(value: float | Fraction, from_unit: str, to_unit: str) -> Fraction:
    """As convert, without rounding; a float is taken as the decimal it prints as.

    >>> convert_exactly(1, "gal", "L")
    Fraction(473176473, 125000000)
    """
    typed = Fraction(str(value))
    from_name, to_name = unit_name(from_unit), unit_name(to_unit)
    if from_name == to_name:
        return typed
    if {from_name, to_name} == {"mesh", "um"}:
        return _opening_um(typed) if to_name == "um" else _mesh_of(typed)
    scale, shift = _rule(from_name, to_name)
    return typed * scale + shift


@cache
def in_us_units(unit: str) -> bool:
    """Whether a unit is one of those of the United States, where a comma parts thousands and never a decimal.

    >>> in_us_units("sq ft"), in_us_units("lb/1000ft2"), in_us_units("min"), in_us_units("kg/ha")
    (True, True, False, False)
    """
    return any(part in _US for part in re.findall(r"[A-Za-z_]+", unit_name(unit)))


def convertible(from_unit: str, to_unit: str) -> bool:
    """Whether a value of one unit can become the other.

    >>> convertible("psi", "MPa"), convertible("psi", "in"), convertible("mg/kg", "mg/L")
    (True, False, False)
    """
    names = {unit_name(from_unit), unit_name(to_unit)}
    return any(names <= group.keys() for group in _GROUPS)


def is_unit(text: str) -> bool:
    """Whether a text is a unit of ours, however it is spelled.

    >>> is_unit("sq ft"), is_unit("oak")
    (True, False)
    """
    try:
        unit_name(text)
    except UnknownUnit:
        return False
    return True


def relatives(unit: str) -> tuple[str, ...]:
    """Names of all units that can become this one.

    >>> relatives("dS/m")
    ('dS/m', 'mS/m', 'mS/cm', 'uS/cm', 'mmho/cm')
    """
    name = unit_name(unit)
    return tuple(dict.fromkeys(chain.from_iterable(group for group in _GROUPS if name in group)))


def unit_label(unit: str) -> str:
    """Return how a unit is written behind a number.

    >>> unit_label("yd3"), unit_label("gal/1000ft2"), unit_label("degC"), unit_label("um"), unit_label("1")
    ('yd³', 'gal/1000 ft²', '°C', 'µm', '')
    """
    name = unit_name(unit)
    if name in _LABELS:
        return _LABELS[name]
    marked = re.sub(r"(?<=[a-z])[23]", lambda power: "²³"[int(power[0]) - 2], name)
    return re.sub(r"(?<=\d)(?=[a-z])", " ", marked).replace("deg", "°").replace("u", "µ")


def _spelled(form: str) -> str | None:
    """Name of a unit without or with its known slash, however it is spelled; None when it is not ours."""
    tight = re.sub(r"(?<=\d),(?=\d{3})|\.(?=[ _]|$)", "", form)
    if power := re.fullmatch(r"([\d ]*)(sq|square|cu|cubic)[ _]*([a-z']+)", tight, re.IGNORECASE):
        length = _spelled(power[3])
        tight = f"{power[1]}{length}{2 if power[2].lower().startswith('s') else 3}" if length else tight
    for attempt in (re.sub(r"[ _]+", "_", tight), re.sub(r"[ _]+", "", tight)):
        for spelling in (attempt, attempt.removesuffix("s")):
            if spelling in _SIMPLE:
                return _SIMPLE[spelling]
            names = {name for known, name in _SIMPLE.items() if known.lower() == spelling.lower()}
            if len(names) == 1:
                return names.pop()
    return None


def _way_out(form: str) -> str:
    """What to write instead; a bare ton is never guessed, there are two."""
    if form.lower() in ("ton", "tons"):
        return say("units.which_ton")
    near = difflib.get_close_matches(form.replace(" ", "_"), _SIMPLE, n=1, cutoff=0.6)
    return say("units.did_you_mean", unit=_SIMPLE[near[0]]) if near else say("units.write_another")


@cache
def _rule(from_name: str, to_name: str) -> tuple[Fraction, Fraction]:
    """Scale and shift that turn one unit into the other."""
    for group in _GROUPS:
        if from_name in group and to_name in group:
            scale = group[from_name] / group[to_name]
            return scale, (_ZERO_K.get(from_name, Fraction()) - _ZERO_K.get(to_name, Fraction())) / group[to_name]
    listed = ", ".join(relatives(to_name))
    raise UnknownUnit(say("units.not_convertible", unit=from_name, wanted=to_name),
                      right=say("units.one_of", units=listed))


def _opening_um(mesh: Fraction) -> Fraction:
    """Opening by exact lookup, never between two rows."""
    if mesh not in _MESH_UM:
        known = ", ".join(str(each) for each in _MESH_UM)
        raise UnknownUnit(say("units.no_mesh", mesh=f"{float(mesh):g}"), right=say("units.one_of", units=known))
    return Fraction(_MESH_UM[int(mesh)])


def _mesh_of(opening_um: Fraction) -> Fraction:
    for mesh, known_um in _MESH_UM.items():
        if opening_um == known_um:
            return Fraction(mesh)
    raise UnknownUnit(say("units.no_opening", opening=f"{float(opening_um):g}"), right=say("units.write_um"))
