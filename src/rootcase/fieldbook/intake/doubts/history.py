"""Readings against earlier ones, neighbouring ones and what follows from others, to find those read on another scale.

Table observe/slip_nets says what each kind is held against. The first net of a kind that has something to compare with
decides.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from operator import itemgetter

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.intake.doubts.held import Held, Question, own_unit, shown, told
from rootcase.ground.dates import show_date
from rootcase.ground.quantity import number, with_unit
from rootcase.ground.units import convert
from rootcase.ground.words import say
from rootcase.science.circle import diameter_of_girth
from rootcase.tables.load import Row, table
from rootcase.tables.readings import kinds

_TRUNK_MM_AT_10_M, _TRUNK_EXPONENT = 250.0, 1.3
"""JUDGEMENT: an open-grown tree 10 m high is about 25 cm through, one of 20 m about 62 cm."""
_NOT_SOIL = ("stone", "root", "rod_end", "gave_up")
"""What stopped a push without telling of the soil; the rod's end only tells the least."""
_LEAST = 1e-6
"""In the kind's unit: what is smaller was not read on any scale."""
_WIDEST = 10.0
"""Log spread over which nothing is told."""
_FAR = 3.0
"""Spreads from what a slip would give; further off, the slip does not explain the value either."""
_LAID_DAYS = 60
"""JUDGEMENT: after that, settling and rot have made mulch another depth than was laid."""


@dataclass(frozen=True, slots=True)
class Group:
    """New readings of one kind and thing at one visit, typed on one scale."""

    readings: Sequence[ReadingTaken]
    unit: str
    day: date

    @property
    def kind(self) -> str:
        return self.readings[0].kind

    @property
    def middle(self) -> float:
        return _middle(self.readings)


@dataclass(frozen=True, slots=True)
class Expected:
    """What a group is held against, in the kind's unit."""

    value: float
    words: str
    readings: int = 1
    years: float = 0.0


@dataclass(frozen=True, slots=True)
class Sums:
    """What many are compared with, added up and put in order once."""

    known: dict[tuple[str, str], tuple[float, int]]
    days: dict[tuple[str, str], list[tuple[date, list[ReadingTaken]]]]

    def over(self, held: Held, kind: str, name: str, things: Sequence[str]) -> tuple[float, int]:
        """Sum of the logs and how many readings there are."""
        if (kind, name) not in self.known:
            found = [each for thing in things for each in held.of(kind, thing) if _tells(held, each)]
            self.known[kind, name] = _logs(found), len(found)
        return self.known[kind, name]

    def by_day(self, held: Held, kind: str, thing: str) -> list[tuple[date, list[ReadingTaken]]]:
        """Readings that may be compared, of the newest year of growth, day by day."""
        if (kind, thing) not in self.days:
            found: dict[date, list[ReadingTaken]] = defaultdict(list)
            for each in held.of(kind, thing):
                day = held.day(each)
                if day is not None and _tells(held, each):
                    found[day].append(each)
            self.days[kind, thing] = [(day, _newest_year(found[day])) for day in sorted(found)]
        return self.days[kind, thing]


def doubt_scales(held: Held) -> Iterator[Question]:
    """Each new reading that was probably read on another scale, with what it would be then."""
    nets: dict[str, list[Row]] = defaultdict(list)
    for row in table("observe/slip_nets").rows:
        for kind in row["kinds"].split("|") if row["against"] in AGAINST else ():
            nets[kind].append(row)
    sums = Sums({}, {})
    for group in _groups(held, nets):
        for net in nets[group.kind]:
            expected = AGAINST[net["against"]](held, group, net, sums)
            if expected is not None:
                words = _question(held, group, net, expected)
                if words:
                    yield tuple(reading.slot for reading in group.readings), words
                break


def _groups(held: Held, nets: Mapping[str, object]) -> Iterator[Group]:
    found: dict[tuple[str, str, str, str], list[ReadingTaken]] = defaultdict(list)
    for reading in held.new_of(*nets):
        if _tells(held, reading):
            found[reading.kind, reading.of, reading.visit, own_unit(reading)].append(reading)
    for (_, _, visit, unit), readings in found.items():
        if visit in held.days:
            yield Group(_newest_year(readings), unit, held.days[visit])


def _tells(held: Held, reading: ReadingTaken) -> bool:
    """Whether a reading may be compared at all: a plain value that is not nothing; a push only if soil stopped it."""
    if reading.sign not in "=~" or reading.value is None or reading.value < _LEAST:
        return False
    return reading.kind != "probe_depth" or not any(
        stop.choice in _NOT_SOIL for stop in held.beside(reading, "probe_stop"))


def _newest_year(readings: Sequence[ReadingTaken]) -> list[ReadingTaken]:
    newest = max(each.growth_year or 0 for each in readings)
    return [each for each in readings if (each.growth_year or 0) == newest]


def _middle(readings: Sequence[ReadingTaken]) -> float:
    return math.exp(_logs(readings) / len(readings))


def _logs(readings: Sequence[ReadingTaken]) -> float:
    return sum(math.log(each.value or 1.0) for each in readings)


def _question(held: Held, group: Group, net: Row, expected: Expected) -> str:
    """What to ask, or "" where the group is as likely right as not."""
    from rootcase.science.inference.slip import ASK_OVER, chance_of_slip  # numpy only where it is needed

    factors = _factors(group, net["slips"].split("|"))
    if not factors:
        return ""
    growth = convert(net["growth_a_year"] or 0.0, "mm", _length_unit(group)) * expected.years
    wander = convert(net["growth_sd_a_year"] or 0.0, "mm", _length_unit(group)) * abs(expected.years)
    centre = max(expected.value + growth, expected.value / 2)
    spread = min(math.hypot(net["log_spread"], wander / centre, _scarce(group, net, expected)), _WIDEST)
    ratio = math.log(group.middle / centre)
    chances = chance_of_slip(ratio, list(factors.values()), spread)
    slip = list(factors)[int(chances.argmax())]
    if chances.sum() <= ASK_OVER or abs(ratio - factors[slip]) > _FAR * spread:
        return ""
    return _words(held, group, slip, expected)


def _factors(group: Group, slips: Sequence[str]) -> dict[str, float]:
    """Log of what each slip multiplies a right value by: a number read on one scale and typed as another."""
    si_unit = kinds()[group.kind].si_unit
    own = convert(1, group.unit, si_unit)
    taped_round = group.readings[0].attributes.get("measured") == "girth"
    return {slip: -math.log(diameter_of_girth(1.0)) if slip == "girth" else math.log(own / convert(1, slip, si_unit))
            for slip in slips if slip != group.unit and not (slip == "girth" and taped_round)}


def _length_unit(group: Group) -> str:
    si_unit = kinds()[group.kind].si_unit
    return si_unit if si_unit in ("mm", "m") else "mm"


def _scarce(group: Group, net: Row, expected: Expected) -> float:
    """What is added to the spread where either side is the mean of fewer readings than the net counts on."""
    kind = kinds()[group.kind]
    if kind.error_model != "lognormal" or not kind.error_size:
        return 0.0
    missing = sum(max(0.0, 1 / n - 1 / net["readings"]) for n in (len(group.readings), expected.readings))
    return kind.error_size * math.sqrt(missing)


def _words(held: Held, group: Group, slip: str, expected: Expected) -> str:
    si_unit = kinds()[group.kind].si_unit
    typed = convert(group.middle, si_unit, group.unit)
    if slip == "girth":
        asked = say("doubts.girth", round=with_unit(number(typed, 3), group.unit),
                    through=with_unit(number(float(diameter_of_girth(typed)), 3), group.unit))
    else:
        other = with_unit(number(typed, 3), slip)
        asked = say("doubts.scale", scale=say(f"doubts.name.{slip}"), read=other,
                    meant=with_unit(number(convert(typed, slip, group.unit), 3), group.unit))
    value = (told(group.readings[0]) if len(group.readings) == 1 else
             say("doubts.middle", count=len(group.readings), value=shown(group.middle, group.kind, group.unit)))
    return say("doubts.slip", what=held.what(group.readings[0]), value=value, against=expected.words, asked=asked)


def _last_visit(held: Held, group: Group, net: Row, sums: Sums) -> Expected | None:
    """The nearest earlier day; else the nearest later one that stood before this."""
    first = group.readings[0]
    days = sums.by_day(held, first.kind, first.of)
    here = bisect_left(days, group.day, key=itemgetter(0))
    earlier = days[here - 1] if here else None
    day, before = earlier or next(
        (later for later in days[here:] if later[0] > group.day and later[1][0].slot not in held.new_slots), (None, []))
    if day is None or (net["readings"] == 1 and len(before) != len(group.readings)):
        return None  # of several stems none can be matched
    return Expected(_middle(before), say("doubts.on_day", day=show_date(day), value=_value_of(before, group)),
                    len(before), (group.day - day).days / 365.25)


def _value_of(before: Sequence[ReadingTaken], group: Group) -> str:
    """As it was typed then and in the unit of now, where these differ."""
    now = shown(_middle(before), group.kind, group.unit)
    if len(before) > 1:
        return say("doubts.middle", count=len(before), value=now)
    return told(before[0]) if own_unit(before[0]) == group.unit else say(
        "quantity.both", first=told(before[0]), second=now)


def _by_height(held: Held, group: Group, net: Row, sums: Sums) -> Expected | None:
    heights = [each for each in held.of("tree_height", group.readings[0].of) if each.value and held.day(each)]
    if not heights or len(group.readings) > 1:
        return None
    nearest = min(heights, key=lambda each: (abs(held.days[each.visit] - group.day), each.slot))
    expected = _TRUNK_MM_AT_10_M * ((nearest.value or 0.0) / 10) ** _TRUNK_EXPONENT
    return Expected(expected, say("doubts.so_high", height=told(nearest),
                                  value=shown(expected, group.kind, group.unit)))


def _zone(held: Held, group: Group, net: Row, sums: Sums) -> Expected | None:
    """Other pits of the same tree, or of the same place where the pit has no tree; this pit at other visits."""
    first = group.readings[0]
    own = held.pits.get(first.of)
    if own is None:
        return None
    zone = own.tree or own.place or ""
    total, count = sums.over(held, group.kind, zone, held.near[zone])
    here = [each for each in held.of(group.kind, own.pit) if each.visit == first.visit and _tells(held, each)]
    return _mean(total - _logs(here), count - len(here), "doubts.other_pushes", group)


def _yardstick(held: Held, group: Group, net: Row, sums: Sums) -> Expected | None:
    yardstick = held.yardstick_of.get(group.readings[0].of, "")
    return _mean(*sums.over(held, group.kind, yardstick, held.members.get(yardstick, [])), "doubts.yardstick", group)


def _mean(total: float, count: int, words: str, group: Group) -> Expected | None:
    if not count:
        return None
    middle = math.exp(total / count)
    return Expected(middle, say(words, value=shown(middle, group.kind, group.unit)), count)


def _volume_over_area(held: Held, group: Group, net: Row, sums: Sums) -> Expected | None:
    """What was laid round the pit's tree, up to two months before."""
    pit = held.pits.get(group.readings[0].of)
    laid = [(volume, area) for volume in held.of("applied_solid_volume", pit.tree if pit and pit.tree else "")
            for area in held.beside(volume, "applied_area")
            if volume.value and area.value and 0 <= (group.day - held.days[volume.visit]).days <= _LAID_DAYS]
    if not laid:
        return None
    volume, area = laid[-1]
    depth_mm = 1000 * (volume.value or 0.0) / (area.value or 1.0)
    return Expected(depth_mm, say("doubts.laid", volume=volume.typed, area=area.typed,
                                  value=shown(depth_mm, group.kind, group.unit)))


AGAINST: Mapping[str, Callable[[Held, Group, Row, Sums], Expected | None]] = {
    "last_visit": _last_visit, "height": _by_height, "zone": _zone, "yardstick": _yardstick,
    "volume_over_area": _volume_over_area}
"""A plan does not stand in the fieldbook yet, so its row in the table waits."""
