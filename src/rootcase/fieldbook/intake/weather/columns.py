"""What the columns of a plain file of weather are, in which unit, and what a figure in them is."""

from __future__ import annotations

import math
import re
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from rootcase.fieldbook.intake.faults import Fault, PageRefused, Refused
from rootcase.fieldbook.intake.grid import Cell, Page, folded
from rootcase.fieldbook.intake.weather.station_file import Units
from rootcase.ground.errors import UnknownUnit, UnreadableValue
from rootcase.ground.typed import read
from rootcase.ground.units import is_unit, unit_label
from rootcase.ground.words import say


@dataclass(frozen=True, slots=True)
class Limit:
    """Unit a figure is stored in, what a number without a unit is taken in, and what can be."""

    unit: str
    us: str
    low: float
    high: float


# What a day can have where trees stand: extremes, rounded out, and no more than the formulas take (JUDGEMENT).
LIMITS = {
    "t_min_c": Limit("degC", "degF", -60.0, 60.0), "t_max_c": Limit("degC", "degF", -60.0, 60.0),
    "temperature_c": Limit("degC", "degF", -60.0, 60.0), "t_dew_c": Limit("degC", "degF", -60.0, 40.0),
    "rain_mm": Limit("mm", "in", 0.0, 2000.0), "et0_mm": Limit("mm", "in", 0.0, 25.0),
    "wind_m_s": Limit("m/s", "mph", 0.0, 40.0), "humidity_min_pct": Limit("%", "%", 0.0, 100.0),
    "humidity_max_pct": Limit("%", "%", 0.0, 100.0), "humidity_pct": Limit("%", "%", 0.0, 100.0),
    "solar_mj_m2_day": Limit("MJ/m2", "MJ/m2", 0.0, 60.0)}

# Into the stored unit, of units that only weather has: a knot is 1852 m an hour, a langley one thermochemical calorie
# on a square centimetre, 41840 J/m2; a watt is the mean of a day, or of an hour in a file of hours.
_OWN_UNITS = {
    "kt": ("m/s", 1852 / 3600), "kn": ("m/s", 1852 / 3600), "knots": ("m/s", 1852 / 3600),
    "0.1 mm": ("mm", 0.1), "1/10 mm": ("mm", 0.1), "mm/10": ("mm", 0.1), "tenths of mm": ("mm", 0.1),
    "0.01 in": ("mm", 0.254), "hundredths of an inch": ("mm", 0.254), "0.1 degc": ("degC", 0.1), "0.1 c": ("degC", 0.1),
    "mj/m2": ("MJ/m2", 1.0), "kj/m2": ("MJ/m2", 1e-3), "j/m2": ("MJ/m2", 1e-6), "j/cm2": ("MJ/m2", 0.01),
    "wh/m2": ("MJ/m2", 0.0036), "kwh/m2": ("MJ/m2", 3.6), "w/m2": ("MJ/m2", 0.0864), "ly": ("MJ/m2", 0.04184),
    "langley": ("MJ/m2", 0.04184), "langleys": ("MJ/m2", 0.04184)}
_WATT = "w/m2"
_WATT_HOUR_MJ = 0.0036
_PLAIN = re.compile(r"-?\d+(?:\.\d+)?")
_WIND = re.compile(r"(?:u|wind(?:[ _]?speed)?)[ _]?(?:at[ _])?(\d{1,2}(?:\.\d)?)[ _]?m?\b(?!/)(.*)", re.IGNORECASE)
"""wind_10m, u2, Wind at 2 m (mph)."""
_PER_DAY = re.compile(r"\s*(?:/|\bper\b|\ba\b)\s*(?:d|day)$|\s+(?:d|day)\s*(?:-1|⁻¹)$", re.IGNORECASE)
LOWEST_ANEMOMETER_M, HIGHEST_ANEMOMETER_M = 0.5, 200.0
"""No more than the wind's formula takes (`wind_at_2m_m_s`)."""
_CANNOT_BE_SHARE = 0.05
"""JUDGEMENT: more impossible temperatures than this are another unit, fewer are slips."""
_HOTTEST_F = 140.0


@dataclass(frozen=True, slots=True)
class Column:
    """What a column of the file is; an empty name where it is none of ours."""

    header: str
    name: str = ""
    unit: str = ""
    """As the file says; empty where it does not."""
    height_m: float | None = None
    """At which the wind was measured."""


def columns_of(page: Page, bare: Units, hourly: bool) -> list[Column]:
    """Every column of the page; a unit that cannot be of its column is refused."""
    found = [column_of(header, unit) for header, unit in zip(page.header, page.units, strict=True)]
    for column in found:
        if column.name in LIMITS and column.unit:
            _known_unit(page, column, hourly)
        if column.height_m is not None and not LOWEST_ANEMOMETER_M <= column.height_m <= HIGHEST_ANEMOMETER_M:
            raise PageRefused(Fault(page.name, 1, column.header, f"{column.height_m:g} m", say("weather.no_height"),
                                    say("weather.right_height", low=f"{LOWEST_ANEMOMETER_M:g}")))
        named = [each.header for each in found if each.name == column.name and column.name]
        if len(named) > 1:
            raise PageRefused(Fault(page.name, 1, "", ", ".join(named), say("weather.two_columns"),
                                    say("weather.right_two_columns")))
    if bare == "tenths":
        raise PageRefused(Fault(page.name, 1, "", "--units tenths", say("weather.no_tenths"),
                                say("weather.right_no_tenths")))
    if not bare:
        _refuse_fahrenheit(page, found)
    return found


def unsaid_units(columns: Sequence[Column], bare: Units) -> str:
    """What is taken for granted of columns without a unit, in words; empty where all say theirs."""
    unsaid = [f"{column.header} {unit_label(_bare_unit(column.name, bare))}".strip() for column in columns
              if column.name in LIMITS and not column.unit]
    return say("weather.unsaid_units", columns=", ".join(unsaid)) if unsaid else ""


def unread(columns: Sequence[Column], unused: Container[str] = ()) -> str:
    """Which columns are none of weather's, or of no use here, in words; empty where all are taken."""
    left = [column.header for column in columns if column.header and (not column.name or column.name in unused)]
    return say("weather.unread", columns=", ".join(left)) if left else ""


def figure(column: Column, cell: Cell, bare: Units = "", hourly: bool = False) -> float | None:
    """One figure in its stored unit, or None for no reading.

    T is a trace of rain, less than can be measured, and M a missing figure, as weather services write them (memory).
    """
    limit = LIMITS[column.name]
    if cell.text in say("intake.weather_missing").split():
        return None
    if column.name == "rain_mm" and cell.text == say("intake.weather_trace"):
        return 0.0
    unit = column.unit or _bare_unit(column.name, bare)
    own = _own_unit(unit)
    if _PLAIN.fullmatch(cell.text) and (own or unit == limit.unit):
        factor = _WATT_HOUR_MJ if hourly and _plain(unit) == _WATT else own[1] if own else 1.0
        value = round(float(cell.text) * factor + 0.0, 9)
    else:
        found = _typed(cell, limit, unit)
        if found is None:
            return None
        value = found
    if not limit.low <= value <= limit.high:
        taken = "" if unit == limit.unit else say("weather.taken_as", value=f"{value:.4g}", unit=unit_label(limit.unit))
        raise Refused(say("intake.weather_range", low=f"{limit.low:g}", high=f"{limit.high:g}",
                          unit=unit_label(limit.unit)), value=f'"{cell.text}"{taken}')
    return value


def drop_upside_down(sheet: str, row: int, figures: dict[str, float], faults: list[Fault],
                     typed: Mapping[str, str]) -> None:
    """A day whose lowest temperature or humidity is above its highest has neither; told as typed where known."""
    for low, high, unit, what in (("t_min_c", "t_max_c", "°C", "intake.cold_over_warm"),
                                  ("humidity_min_pct", "humidity_max_pct", "%", "weather.dry_over_damp")):
        if figures.get(low, -math.inf) > figures.get(high, math.inf):
            given = f"{figures.pop(low):g}, {figures.pop(high):g} {unit}"
            if low in typed and high in typed:
                given = f"{typed[low]}, {typed[high]}"
            faults.append(Fault(sheet, row, "", given, say(what), say("intake.right_cold_over_warm")))


def as_typed(column: Column, cell: Cell, bare: Units) -> str:
    """A cell with the unit it was taken in."""
    return f"{cell.text} {column.unit or unit_label(_bare_unit(column.name, bare))}"


def _typed(cell: Cell, limit: Limit, unit: str) -> float | None:
    """A figure that says its own unit, or one that is converted exactly; a limit, a span or a guess is none."""
    try:
        found = read(cell.text)
    except UnreadableValue as error:
        raise Refused(error.what, value=error.value, right=say("intake.right_figure")) from None
    if found is None or found.nothing:
        return None
    if found.value is None or found.sign != "=" or _own_unit(unit) or limit.unit == "MJ/m2":
        raise Refused(say("weather.no_figure"), value=f'"{cell.text}"', right=say("intake.right_figure"))
    return round(found.to(limit.unit, unit).value or 0.0, 9)


def column_of(header: str, unit: str = "") -> Column:
    """Our name of a column, its unit and the height of its wind, from its heading."""
    words = _column_words()
    if folded(header) in words:
        return Column(header, words[folded(header)], unit)
    if wind := _WIND.fullmatch(header):
        rest = column_of(f"wind{wind[2]}", unit)
        return Column(header, rest.name, rest.unit, float(wind[1]))
    if split := re.fullmatch(r"(.*?)\s*[(\[]([^()\[\]]*)[)\]]\s*", header):
        said, _, height = split[2].partition(" at ")
        at = re.fullmatch(r"(\d{1,2}(?:\.\d)?)\s*m", height.strip())
        return Column(header, words.get(folded(split[1]), ""), said.strip() or unit, float(at[1]) if at else None)
    name, _, last = folded(header).rpartition(" ")
    if words.get(name) in LIMITS and _is_unit(last):
        return Column(header, words[name], last)
    return Column(header)


@cache
def _column_words() -> dict[str, str]:
    entries = (entry.partition(":") for entry in say("weather.column_words").split(";"))
    return {folded(word): name.strip() for name, _, listed in entries for word in listed.split(",")}


def _known_unit(page: Page, column: Column, hourly: bool) -> None:
    try:
        figure(column, Cell("0"), hourly=hourly)
    except UnknownUnit as error:
        raise PageRefused(Fault(page.name, 1, column.header, f'"{column.unit}"', error.what, error.right)) from None
    except Refused:
        pass  # nothing is not possible of it, so the unit is known


def _refuse_fahrenheit(page: Page, columns: Sequence[Column]) -> None:
    """Where columns say no unit and are too warm for degrees Celsius, the person is asked."""
    for at, column in enumerate(columns):
        if column.name in ("t_max_c", "temperature_c") and not column.unit:
            numbers = [(float(row.cells[at].text), row.number) for row in page.rows
                       if _PLAIN.fullmatch(row.cells[at].text)]
            warm = [each for each in numbers if LIMITS[column.name].high < each[0] <= _HOTTEST_F]
            if len(warm) > max(1, _CANNOT_BE_SHARE * len(numbers)):
                hottest, row = max(warm)
                raise PageRefused(Fault(page.name, row, column.header, f"{hottest:g}", say("weather.too_warm"),
                                        say("weather.right_units")))


def _bare_unit(name: str, bare: Units) -> str:
    return LIMITS[name].us if bare == "us" else LIMITS[name].unit


def _is_unit(text: str) -> bool:
    return bool(_own_unit(text)) or is_unit(text)


def _own_unit(unit: str) -> tuple[str, float] | None:
    return _OWN_UNITS.get(_plain(unit))


def _plain(unit: str) -> str:
    plain = unit.strip().lower().replace("²", "2").replace("^", "").replace("°", "deg").replace("−", "-")
    plain = re.sub(r"\s+([a-z]*m)-2", r"/\g<1>2", plain)
    return _PER_DAY.sub("", plain) if "j" in plain or "w" in plain or plain.startswith("l") else plain
