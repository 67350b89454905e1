"""Readings that say less because another one is not there. The value is not doubted: it is told once a sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping

from rootcase.fieldbook.events import ReadingTaken
from rootcase.fieldbook.intake.doubts.held import Held
from rootcase.ground.dates import last_finished_season, season_day, season_year
from rootcase.ground.words import say
from rootcase.tables.readings import kinds

_SHOOTS = ("shoot_length_last", "shoot_length_by_year")
_ALL_ENDED_DAY = 274
"""JUDGEMENT: by October, April in the south, no shoot grows on."""
_HAND_M = 0.05
"""JUDGEMENT: a lump is as thick as a hand is wide."""


def _position(held: Held, reading: ReadingTaken) -> bool:
    return "position" in reading.attributes or _at_its_visit(held, reading, "shoot_position")


def _leaf_stage(held: Held, reading: ReadingTaken) -> bool:
    """Only a shoot of the running season may still have been growing."""
    day = held.day(reading)
    latitude_deg = held.facts.latitude_deg if held.facts else 0.0
    if day is None or season_day(day, latitude_deg) >= _ALL_ENDED_DAY:
        return True
    year = reading.growth_year or last_finished_season(day, latitude_deg)
    return year < season_year(day, latitude_deg) or _at_its_visit(held, reading, "leaf_stage")


def _moisture(held: Held, reading: ReadingTaken) -> bool:
    """Felt in the same row, or in the same pit on the same day and at this depth."""
    depth_m = reading.depth_from_m
    return any(lump.choice for lump in held.beside(reading, "soil_moisture_feel")
               if lump.depth_from_m is None or depth_m is None) or (depth_m is not None and any(
                   top_m - _HAND_M <= depth_m <= bottom_m + _HAND_M
                   for top_m, bottom_m in held.felt.get((reading.of, held.day(reading)), ())))


def _cone(held: Held, reading: ReadingTaken) -> bool:
    return bool(held.at_visit("penetrometer_cone", reading.visit))


def _stop(held: Held, reading: ReadingTaken) -> bool:
    return bool(held.beside(reading, "probe_stop"))


def _view_depth(held: Held, reading: ReadingTaken) -> bool:
    return _at_its_visit(held, reading, "crown_view_depth")


def _sky(held: Held, reading: ReadingTaken) -> bool:
    return bool(held.at_visit("sky_light", reading.visit))


def _colour_state(held: Held, reading: ReadingTaken) -> bool:
    return _at_its_visit(held, reading, "soil_colour_state")


def _basis(held: Held, reading: ReadingTaken) -> bool:
    return any(each.choice for each in held.of("planting_year_basis", reading.of))


def _at_its_visit(held: Held, reading: ReadingTaken, kind: str) -> bool:
    return (kind, reading.of, reading.visit) in held.looked


COMPANIONS: Mapping[str, tuple[tuple[str, ...], Callable[[Held, ReadingTaken], bool]]] = {
    "position": (_SHOOTS, _position), "leaf_stage": (_SHOOTS, _leaf_stage),
    "moisture": (("penetration_profile", "pocket_penetration"), _moisture),
    "cone": (("penetration_profile",), _cone), "stop": (("probe_depth",), _stop),
    "view_depth": (("crown_transparency",), _view_depth), "sky": (("crown_transparency",), _sky),
    "colour_state": (("soil_colour", "soil_colour_photo"), _colour_state), "basis": (("planting_year",), _basis)}
"""Which kinds need it, and whether a reading has it."""


def missing_companions(held: Held) -> list[str]:
    """What new readings cannot say for want of another, each lack once with how many it touches and the first row."""
    lacking: dict[tuple[str, str], list[ReadingTaken]] = defaultdict(list)
    for companion, (wanted, there) in COMPANIONS.items():
        for reading in held.new:
            if reading.kind in wanted and reading.nothing is None and not there(held, reading):
                lacking[companion, reading.kind].append(reading)
    return [say("doubts.lacks", row=readings[0].source, kind=kinds()[kind].label, count=len(readings),
                lack=say(f"doubts.lack.{companion}")) for (companion, kind), readings in lacking.items()]
