"""The catalogue of readings: what may be observed, in which units, within which limits, with which error."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import Literal

from rootcase.ground.errors import FileError, Missing
from rootcase.ground.quantity import number, with_unit
from rootcase.ground.units import convert, convert_exactly, convertible, unit_label
from rootcase.ground.words import say
from rootcase.tables.load import Row, table

Verdict = Literal["ok", "doubt", "impossible"]

# Units that instruments show beside the two of a row, size in its SI unit: dissolved solids in ppm are 640 times dS/m
# (memory, 0.1 to 5 dS/m); the others are exact.
_ALSO_SHOWN: Mapping[str, tuple[tuple[str, Fraction], ...]] = {
    "dS/m": (("µS/cm", Fraction(1, 1000)), ("mS/m", Fraction(1, 100)), ("ppm", Fraction(1, 640))),
    "Mg/m3": (("kg/m³", Fraction(1, 1000)), ("lb/ft³", convert_exactly(1, "lb/ft3", "Mg/m3"))),
    "mm": (("mm", Fraction(1)),),
    "m": (("mm", Fraction(1, 1000)),),
}
_OF_DRY_MATTER = ("ppm", Fraction(1, 10**6))
_OF_SOIL_OR_LEAF = ("%", Fraction(10**4))
_LOST_POINT = (10, 100)
_WHOLE_PERCENT_ERROR = 0.03
"""JUDGEMENT: a share with this error or more is told in whole percents, so a part of one percent is a slip."""
OXYGEN = ("dissolved_oxygen", "load_oxygen")
MOST_SATURATION_PCT = 150
GROWTH = ("shoot_length_last", "shoot_length_by_year", "ring_width_by_year")
_RIGHT_ANGLE_DEG = 90
_MARK = re.compile(r"(?:^|;\s*)(axis|required|pattern|note):")
_LIMITS = ("lower_hard", "lower_doubt", "upper_doubt", "upper_hard")
_AS_THEY_STAND = ("kind", "label", "of", "stage", "value_type", "si_unit", "us_unit", "metric_unit", "error_model",
                  "error_size", "tools", "repeat_rule", "method", "season", "source")


@dataclass(frozen=True, slots=True)
class ReadingKind:
    """One kind of reading; limits and a normal error are in `si_unit`."""

    kind: str
    label: str
    of: str
    stage: str
    value_type: str
    si_unit: str
    us_unit: str
    metric_unit: str
    lower_hard: float | None
    upper_hard: float | None
    lower_doubt: float | None
    upper_doubt: float | None
    choices: Mapping[str, str]
    """Definition of each code of a choice; empty for other values."""
    axis: str
    """What a profile runs along."""
    pattern: str
    """The form of a text."""
    note: str
    required: Mapping[str, tuple[str, ...]]
    """Attributes without which the value is not compared, each with what it may say; empty: any text."""
    error_model: str
    error_size: float | None
    minutes: float
    tools: str
    repeat_rule: str
    method: str
    season: str
    used_by: tuple[str, ...]
    quick: bool
    source: str

    @property
    def pair(self) -> tuple[str, str]:
        """The US and the metric unit, as ground.quantity.show takes them."""
        return self.us_unit, self.metric_unit


@cache
def kinds() -> Mapping[str, ReadingKind]:
    """Every kind of reading by its code, in the order of the catalogue.

    >>> kinds()["probe_depth"].us_unit, len([kind for kind in kinds().values() if kind.quick])
    ('in', 5)
    """
    found = [_kind(row) for row in table("observe/readings").rows]
    by_code = {kind.kind: kind for kind in found}
    if len(by_code) < len(found):
        raise FileError("a kind stands in the catalogue twice", where="tables/observe/readings.csv")
    return MappingProxyType(by_code)


def kind_of(code: str) -> ReadingKind:
    """The kind of this code, or an error that names the nearest one.

    >>> kind_of("dbh").label
    'Trunk diameter (DBH)'
    """
    if code in kinds():
        return kinds()[code]
    near = difflib.get_close_matches(code, kinds(), n=1)
    raise Missing(say("readings.no_kind"), value=f'"{code}"',
                  right=say("readings.did_you_mean", candidates=near[0]) if near else say("readings.see_catalogue"))


def check(kind: ReadingKind, value_si: float) -> Verdict:
    """Whether a value is usual, unusual but possible, or impossible.

    >>> soil_ph = kind_of("soil_ph")
    >>> check(soil_ph, 6.5), check(soil_ph, 9.5), check(soil_ph, 65)
    ('ok', 'doubt', 'impossible')
    """
    if _outside(value_si, kind.lower_hard, kind.upper_hard):
        return "impossible"
    return "doubt" if _outside(value_si, kind.lower_doubt, kind.upper_doubt) or _part_of_percent(
        kind, value_si) else "ok"


def message(kind: ReadingKind, value: float, unit: str, where: str = "") -> str:
    """One line about a value that is not ok, in the unit it was typed in; empty when it is.

    >>> message(kind_of("soil_ph"), 65, "pH")
    'Soil pH: 65 is not possible (2 to 12). Did you mean 6.5?'
    >>> message(kind_of("penetration_profile"), 300, "MPa", "pit 3")
    'Penetration resistance by depth, pit 3: 300 MPa is not possible (0 to 10 MPa). Did you mean 300 psi (2.07 MPa)?'
    """
    verdict = check(kind, convert(value, unit, kind.si_unit))
    if verdict == "ok":
        return ""
    what = f"{kind.label}, {where}" if where else kind.label
    if asked := _asked(kind, value, unit, what):
        return asked
    hard = verdict == "impossible"
    low, high = (kind.lower_hard, kind.upper_hard) if hard else (kind.lower_doubt, kind.upper_doubt)
    said = {"what": what, "value": _written(value, unit), "limits": _limits(low, high, kind.si_unit, unit)}
    first = say("readings.impossible", **said) if hard else say("readings.doubt", **said)
    if not hard and not _outside(convert(value, unit, kind.si_unit), kind.lower_doubt, kind.upper_doubt):
        first = say("readings.part_of_percent", **said)
    meant = say("readings.or").join(candidates(kind, value, unit))
    then = say("readings.did_you_mean", candidates=meant) if meant else say("readings.type_again")
    return f"{first} {then}"


def candidates(kind: ReadingKind, value: float, unit: str) -> tuple[str, ...]:
    """What may have been meant by a value that is not ok; only what is usual for the kind is proposed.

    First the row's other unit; where that gives nothing, a lost decimal point and the other units instruments show.

    >>> candidates(kind_of("water_ec"), 560, "dS/m")
    ('560 µS/cm (0.56 dS/m)', '560 ppm (0.875 dS/m)')
    """
    first = [_with_si(value, unit_label(other), convert(value, other, kind.si_unit), kind.si_unit, unit)
             for other in dict.fromkeys(kind.pair)
             if other != "mesh" and check(kind, convert(value, other, kind.si_unit)) == "ok"]
    if first:
        return tuple(first)
    second = []
    if value == int(value):
        second = [_written(value / by, unit) for by in _LOST_POINT
                  if check(kind, convert(value / by, unit, kind.si_unit)) == "ok"]
    for label, size in also_shown(kind):
        value_si = float(Fraction(str(value)) * size)
        if label != unit_label(unit) and check(kind, value_si) == "ok":
            second.append(_with_si(value, label, value_si, kind.si_unit, unit))
    if unit_label(unit) == "%" and 0 < value < 1 and check(kind, value) == "ok":
        second.append(_written(100 * value, unit))
    if kind.kind in OXYGEN and value <= MOST_SATURATION_PCT:
        second.append(say("readings.of_saturation", value=number(value, 9)))
    return tuple(second)


def years_meant(year: int, newest: int) -> tuple[int, ...]:
    """Which years may have been meant by one that lies ahead: neighbouring figures swapped, wrong decade or century.

    >>> years_meant(2062, 2026), years_meant(2071, 2026), years_meant(2027, 2026)
    ((2026, 2002, 1962), (2017, 2001, 1971), (2007, 1927))
    """
    text = str(year)
    swapped = [int(text[:n] + text[n + 1] + text[n] + text[n + 2:]) for n in range(len(text) - 1)]
    planted = kind_of("planting_year")
    return tuple(dict.fromkeys(each for each in (*swapped, year // 100 * 100 + year % 10, year - 100)
                               if each <= newest and check(planted, each) == "ok"))


def also_shown(kind: ReadingKind) -> tuple[tuple[str, Fraction], ...]:
    """Units instruments and laboratories show beside the kind's two, each with its size in the kind's SI unit."""
    if kind.si_unit == "1" and "of dry" in kind.note:
        return (_OF_DRY_MATTER,)
    return (_OF_SOIL_OR_LEAF,) if kind.si_unit == "mg/kg" else _ALSO_SHOWN.get(kind.si_unit, ())


def in_whole_percents(kind: ReadingKind) -> bool:
    """Whether it is a share that nobody can tell more finely than in whole percents."""
    whole = kind.error_model == "binomial" or (
        kind.error_model == "normal" and (kind.error_size or 0.0) >= _WHOLE_PERCENT_ERROR)
    return kind.value_type in ("share", "profile") and kind.us_unit == "%" and whole


def _part_of_percent(kind: ReadingKind, value_si: float) -> bool:
    """Whether a share that is told in whole percents lies under one percent: then it was typed as a fraction."""
    return in_whole_percents(kind) and 0 < value_si < 0.01


def _asked(kind: ReadingKind, value: float, unit: str, what: str) -> str:
    """A question of its own, where the kind has one for this value."""
    if value == 0 and kind.kind in GROWTH:
        return say("readings.no_growth", what=what, value=_written(value, unit))
    if kind.kind == "slope" and unit_label(unit) == "%" and 0 < value < _RIGHT_ANGLE_DEG:
        return say("readings.slope", what=what, value=_written(value, unit), degrees=number(value, 9),
                   is_degrees=number(math.degrees(math.atan(value / 100)), 2),
                   would_be=_written(round(100 * math.tan(math.radians(value))), unit))
    return ""


def _outside(value: float, low: float | None, high: float | None) -> bool:
    return not ((low is None or value >= low) and (high is None or value <= high))


def _written(value: float, unit: str) -> str:
    return f"{value:.6g}" if unit == "year" else with_unit(_as_typed(value), unit)


def _as_typed(value: float) -> str:
    """All the figures of a number somebody typed; four of one that was worked out from it, as a girth's diameter is."""
    return number(value, 9 if value == float(f"{value:.6g}") else 4)


def _with_si(value: float, label: str, value_si: float, si_unit: str, unit: str) -> str:
    """The value with the other unit's label, and the same in the unit it was typed in."""
    return say("quantity.both", first=f"{_as_typed(value).replace(',', '')} {label}".strip(),
               second=with_unit(number(convert(value_si, si_unit, unit), 3), unit))


def _limits(low: float | None, high: float | None, si_unit: str, unit: str) -> str:
    """The limits in the unit that was typed."""
    turned = [None if end is None else convert(end, si_unit, unit) for end in (low, high)]
    ends = [f"{end:.6g}" if end is not None and unit == "year" else number(end, 3) for end in turned]
    return with_unit(say("quantity.interval", low=ends[0], high=ends[1]), unit)


def _kind(row: Row) -> ReadingKind:
    where = f"tables/observe/readings.csv {row['kind']}"
    for unit in {row["us_unit"], row["metric_unit"]} - {""}:
        if not convertible(unit, row["si_unit"]):
            raise FileError(f"{unit} cannot become {row['si_unit']}", where=where, right="units of one kind")
    limits = [row[name] for name in _LIMITS if row[name] is not None]
    if limits != sorted(limits):
        raise FileError("the limits are not in order", where=where, right=", ".join(_LIMITS))
    marked = _marked(row["choices"])
    plain = {name: row[name] for name in (*_LIMITS, *_AS_THEY_STAND)}
    return ReadingKind(**plain, minutes=row["minutes"] or 0.0, quick=row["quick"] == "yes",
                       used_by=tuple(row["used_by"].split(";")), choices=MappingProxyType(_choices(row, where)),
                       axis=marked.get("axis", ""), pattern=marked.get("pattern", ""), note=marked.get("note", ""),
                       required=MappingProxyType(_required(marked.get("required", ""))))


def _marked(cell: str) -> dict[str, str]:
    """The parts of a cell such as "required:extract=paste|1_1; note:only paste is ECe"."""
    parts = _MARK.split(cell)
    return dict(zip(parts[1::2], (part.strip() for part in parts[2::2]), strict=True))


def _choices(row: Row, where: str) -> dict[str, str]:
    if row["value_type"] != "choice":
        return {}
    pairs = [choice.partition("=") for choice in _MARK.split(row["choices"])[0].split("|")]
    if not all(code and definition for code, _, definition in pairs):
        raise FileError("a choice has no definition", where=where, right="write code=definition, parted by bars")
    return {code: definition for code, _, definition in pairs}


def _required(cell: str) -> dict[str, tuple[str, ...]]:
    """The attribute and what it may say; words without a bar only describe it."""
    name, _, allowed = cell.partition("=")
    return {name: tuple(allowed.split("|")) if "|" in allowed else ()} if name else {}
