"""Readings of one thing that must agree: where they do not, all are taken and the new ones doubted.

The bands stand in the table observe/agreements. They catch what no limit can: a girth read as a diameter, feet as
metres, a share mistyped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date, timedelta

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.intake.doubts.held import Held, Question, told_of
from rootcase.ground.quantity import System, interval, number, show, show_interval
from rootcase.ground.words import say
from rootcase.science.soil.infiltration import ring_depth_mm
from rootcase.tables.load import Row, table
from rootcase.tables.readings import kinds

Measured = Iterator[tuple[float, Sequence[ReadingTaken]]]

_FIGURES = 3
_THAWED = ("moist", "good", "full", "saturated")
"""Feels that only soil with liquid water has."""


def doubt_disagreements(held: Held) -> Iterator[Question]:
    """Each new reading that does not go with others of the same thing."""
    for row in table("observe/agreements").rows:
        if row["name"] not in MEASURES:
            continue
        told: set[frozenset[str]] = set()
        for measured, readings in MEASURES[row["name"]](held):
            slots = frozenset(each.slot for each in readings)
            if slots not in told and not inside(measured, row):
                told.add(slots)
                words = say("intake.disagree", readings=told_of(readings),
                            measure=say(f"doubts.measure.{row['name']}"),
                            found=_written(measured, row["unit"], held.system), usual=usual(row, held.system))
                yield tuple(sorted(slots & held.new_slots)), words


def usual(row: Row, system: System) -> str:
    """What a measure usually lies between, in words."""
    low, high, unit = row["low"], row["high"], row["unit"]
    if high is None:
        return say("doubts.or_more", low=_written(low, unit, system))
    if low is None:
        return say("doubts.or_less", high=_written(high, unit, system))
    return interval(low, high) if unit == "1" else show_interval(low, high, unit, system, figures=_FIGURES)


def _written(value: float, unit: str, system: System) -> str:
    """A bare ratio stays one; the rest is written in both systems."""
    return number(value, _FIGURES) if unit == "1" else show(value, unit, system, figures=_FIGURES)


def inside(measured: float, row: Row) -> bool:
    low, high = row["low"], row["high"]
    return (low is None or measured >= low) and (high is None or measured <= high)


def _height_over_trunk(held: Held) -> Measured:
    for height, trunk in _sizes(held, "tree_height", "dbh"):
        yield 1000 * _of(height) / _of(trunk), (height, trunk)


def _crown_over_height(held: Held) -> Measured:
    for crown, height in _sizes(held, "crown_spread", "tree_height"):
        yield _of(crown) / _of(height), (crown, height)


def _sizes(held: Held, *pair: str) -> Iterator[tuple[ReadingTaken, ...]]:
    """The greatest of each kind at visits next to each other in time: the stem that bears the crown."""
    for tree in dict.fromkeys(new.of for new in held.new_of(*pair)):
        greatest = [_greatest(held, kind, tree) for kind in pair]
        for day in {day for found in greatest for day in found}:
            if all(greatest):
                yield tuple(found[min(found, key=lambda other: (abs(other - day), other))]
                            for found in greatest)


def _greatest(held: Held, kind: str, tree: str) -> dict[date, ReadingTaken]:
    found: dict[date, ReadingTaken] = {}
    for each in held.of(kind, tree):
        day = held.day(each)
        if day is not None and each.value and (day not in found or each.value > _of(found[day])):
            found[day] = each
    return found


def _soil_fractions(held: Held) -> Measured:
    for readings in _together(held, "sand", "silt", "clay"):
        yield 100 * sum(map(_of, readings)), readings


def _probe_over_rod(held: Held) -> Measured:
    for probe, rod in _together(held, "probe_depth", "rod_length"):
        yield _of(probe) / _of(rod), (probe, rod)


def _ring_water(held: Held) -> Measured:
    for water, ring in _together(held, "infiltration_water", "infiltration_ring_diameter"):
        yield float(ring_depth_mm(_of(water), _of(ring))), (water, ring)


def _holes_on_area(held: Held) -> Measured:
    for holes, spacing, area in _together(held, "hole_count", "hole_spacing", "applied_area"):
        yield _of(holes) * _of(spacing) ** 2 / _of(area), (holes, spacing, area)


def _volume_on_area(held: Held) -> Measured:
    for volume, area in _together(held, "applied_volume", "applied_area"):
        yield _of(volume) / _of(area), (volume, area)


def _solid_on_area(held: Held) -> Measured:
    for depth, volume, area in _together(held, "applied_depth", "applied_solid_volume", "applied_area"):
        yield 1000 * _of(volume) / _of(area) / _of(depth), (depth, volume, area)


def _together(held: Held, first: str, *others: str) -> Iterator[tuple[ReadingTaken, ...]]:
    """Each of the first kind with what stands beside it, wherever one of them is new."""
    firsts = {each.slot: each for each in held.new_of(first)}
    for new in held.new_of(*others):
        back = (held.at_visit(first, new.visit) if kinds()[new.kind].of == "visit" != kinds()[first].of
                else held.beside(new, first))
        firsts |= {each.slot: each for each in back if each.value is not None}
    for each in firsts.values():
        beside = [next((other for other in held.beside(each, kind) if other.value), None) for kind in others]
        if all(beside):
            yield each, *(other for other in beside if other is not None)


def _tank(held: Held) -> Measured:
    """All that went out and was left over at a visit against all that was loaded for it."""
    for visit in dict.fromkeys(new.visit for new in held.new_of("applied_volume", "leftover_volume", "load_volume")):
        out, left, loaded = ([each for each in held.at_visit(kind, visit) if each.value is not None]
                             for kind in ("applied_volume", "leftover_volume", "load_volume"))
        if out and loaded:
            yield 100 * sum(map(_of, (*out, *left))) / sum(map(_of, loaded)), (*out, *left, *loaded)


def _work_days(held: Held) -> Measured:
    return _days_between(held, "work_started", "work_ended")


def _batch_days(held: Held) -> Measured:
    return _days_between(held, "batch_started", "batch_done")


def _days_between(held: Held, first: str, last: str) -> Measured:
    for new in (each for each in held.new if each.kind in (first, last)):
        for start in held.beside(new, first):
            for end in held.beside(new, last):
                if start.choice and end.choice:
                    yield float((_date(end) - _date(start)).days), (start, end)


def _date(reading: ReadingTaken) -> date:
    return date.fromisoformat((reading.choice or "")[:10])


def _oxygen_saturation(held: Held) -> Measured:
    # numpy only where it is needed
    from rootcase.science.water.atmosphere import HIGHEST_GROUND_M, LOWEST_GROUND_M
    from rootcase.science.water.dissolved_oxygen import oxygen_saturation_mg_l

    told_m = (held.facts.elevation_m if held.facts else None) or 0.0
    elevation_m = min(max(told_m, LOWEST_GROUND_M), HIGHEST_GROUND_M)
    for oxygen, warmth in _together(held, "dissolved_oxygen", "extract_temperature"):
        if _of(warmth) >= 0:
            yield 100 * _of(oxygen) / float(oxygen_saturation_mg_l(_of(warmth), elevation_m)), (oxygen, warmth)


def _heap_fall(held: Held) -> Measured:
    """How far one probe place of a heap cooled from one day to the next while nobody turned it."""
    for heap in dict.fromkeys(new.of for new in held.new_of("heap_temperature")):
        turned = {turn.choice for turn in held.of("heap_turn", heap)}
        warmth = {(each.series, held.day(each)): each for each in held.of("heap_temperature", heap)
                  if each.value is not None and held.day(each)}
        for (series, day), after in warmth.items():
            yesterday = day - timedelta(days=1) if day else None
            before = warmth.get((series, yesterday))
            if day and yesterday and before and not turned & {day.isoformat(), yesterday.isoformat()}:
                yield _of(before) - _of(after), (before, after)


def _thawed_soil(held: Held) -> Measured:
    for new in (each for each in held.new if each.kind in ("soil_temperature", "soil_moisture_feel")):
        for warmth in held.beside(new, "soil_temperature"):
            for feel in held.beside(new, "soil_moisture_feel"):
                if feel.choice in _THAWED and warmth.value is not None:
                    yield warmth.value, (warmth, feel)


def _of(reading: ReadingTaken) -> float:
    return reading.value or 0.0


MEASURES: Mapping[str, Callable[[Held], Measured]] = {
    "height_over_trunk": _height_over_trunk, "crown_over_height": _crown_over_height,
    "soil_fractions": _soil_fractions, "probe_over_rod": _probe_over_rod, "ring_water": _ring_water,
    "holes_on_area": _holes_on_area, "volume_on_area": _volume_on_area, "solid_on_area": _solid_on_area,
    "tank": _tank, "work_days": _work_days, "batch_days": _batch_days, "oxygen_saturation": _oxygen_saturation,
    "heap_fall": _heap_fall, "thawed_soil": _thawed_soil}
"""By name in the table; a ring's covers are added up where they are read, a trunk's growth stands in whose_tree."""
