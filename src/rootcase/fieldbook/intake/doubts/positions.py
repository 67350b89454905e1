"""Trees far from the others: latitude and longitude swapped, or a minus lost."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from math import asin, cos, radians, sin, sqrt
from statistics import median

from rootcase.fieldbook.intake.doubts.held import Held, Question
from rootcase.ground.quantity import show
from rootcase.ground.words import say

Place = tuple[float, float]
"""Latitude and longitude, in degrees."""

_NEAR_M = 5000.0
"""JUDGEMENT: a slip of signs or of order moves a tree by more, but for places next to the equator or Greenwich."""
_ENOUGH = 3
"""Trees of which the middle one tells where they belong."""
_FEW = 0.1
"""JUDGEMENT: more trees than this share standing apart are another corner of the property, not slips."""
_CELL_DEG = 0.005
"""About 500 m of latitude: JUDGEMENT, trees in cells side by side belong together."""
_EARTH_RADIUS_M = 6_371_008.8
"""Mean radius, Moritz 2000, J. Geodesy 74:128-133 (memory); a ball is good to 1 % here."""


def doubt_positions(held: Held) -> Iterator[Question]:
    """Each new tree that stands far from the others, with the slip that would bring it back.

    Where all stand far from the property by one slip, it may as well be the property's: that is one question.
    """
    places = _places(held)
    newly = {new.of for new in held.new_of("latitude", "longitude")} & places.keys()
    if not newly:
        return
    home = (held.facts.latitude_deg, held.facts.longitude_deg) if held.facts else None
    centre, strays = _strays(places, home)
    backs = {tree: _brought_back(places[tree], centre) for tree in strays}
    if len(strays) == len(places) >= _ENOUGH and len(set(backs.values())) == 1:
        back = backs[strays[0]]
        words = say("doubts.all_far_off", apart=_apart(held, places[strays[0]], centre),
                    slip=say(f"doubts.slipped.{back}"))
        yield tuple(_slot(held, tree, back) for tree in strays if tree in newly), words
        return
    for tree in (tree for tree in strays if tree in newly):
        words = say("doubts.far_off", tree=held.labels.get(tree, ""), apart=_apart(held, places[tree], centre),
                    back=say(f"doubts.back.{backs[tree] or 'none'}"))
        yield (_slot(held, tree, backs[tree]),), words


def _slot(held: Held, tree: str, slip: str) -> str:
    """The one reading to be asked about: the longitude where only its sign is wrong; both would be asked twice."""
    order = ("longitude", "latitude") if slip == "minus_longitude" else ("latitude", "longitude")
    return next(each.slot for kind in order for each in held.of(kind, tree) if each.slot in held.new_slots)


def _apart(held: Held, place: Place, other: Place) -> str:
    return show(apart_m(place, other), "m", held.system, ("mi", "km"), 2)


def _strays(places: Mapping[str, Place], home: Place | None) -> tuple[Place, list[str]]:
    """Where the trees belong, and those that stand elsewhere.

    They belong where most of them are; but where they are few, or all slipped alike, where the property is.
    """
    crowd, apart = _parted(places)
    centre = (median(places[tree][0] for tree in crowd), median(places[tree][1] for tree in crowd))
    if home and (len(places) < _ENOUGH or _brought_back(centre, home)):
        return home, [tree for tree, place in places.items() if _brought_back(place, home)]
    if len(places) < _ENOUGH:
        return centre, []
    few = len(apart) <= max(1.0, _FEW * len(places))
    return centre, [tree for tree in apart if few or _brought_back(places[tree], centre)]


def apart_m(one: Place, other: Place) -> float:
    """Metres between two places along a great circle.

    >>> round(apart_m((0, 0), (0, 90)) / 1000)
    10008
    """
    south, north = radians(one[0]), radians(other[0])
    half = sin((north - south) / 2) ** 2 + cos(south) * cos(north) * sin(radians(other[1] - one[1]) / 2) ** 2
    return 2 * _EARTH_RADIUS_M * asin(sqrt(min(1.0, half)))


def _places(held: Held) -> dict[str, Place]:
    """Newest position of each tree that has both figures."""
    found: dict[str, Place] = {}
    for tree in held.trees:
        both = [[each.value for each in held.of(kind, tree) if each.value is not None]
                for kind in ("latitude", "longitude")]
        if all(both):
            found[tree] = (both[0][-1], both[1][-1])
    return found


def _parted(places: Mapping[str, Place]) -> tuple[list[str], list[str]]:
    """The largest crowd of trees, and those more than 500 m from its edge."""
    cells: dict[tuple[int, int], list[str]] = defaultdict(list)
    for tree, (latitude, longitude) in places.items():
        cells[round(latitude / _CELL_DEG), round(longitude / _CELL_DEG)].append(tree)
    crowd: list[str] = []
    unseen = set(cells)
    while unseen:
        edge = [unseen.pop()]
        together: list[str] = []
        while edge:
            row, column = edge.pop()
            together += cells[row, column]
            near = {(row + a, column + b) for a in (-1, 0, 1) for b in range(-_steps(row), _steps(row) + 1)} & unseen
            unseen -= near
            edge += near
        crowd = max(crowd, together, key=len)
    inside = set(crowd)
    return crowd, [tree for tree in places if tree not in inside]


def _steps(row: int) -> int:
    """Cells of longitude in 500 m and a little at that latitude."""
    return max(1, min(20, round(1 / max(cos(radians(row * _CELL_DEG)), 0.05))))


def _brought_back(place: Place, centre: Place) -> str:
    """Which slip, taken back, puts a tree that is far off among the others; "" for none."""
    if apart_m(place, centre) <= _NEAR_M:
        return ""
    near = {slip: apart_m(there, centre) for slip, there in slips(place).items()}
    best = min(near, key=lambda slip: near[slip], default="")
    return best if best and near[best] <= _NEAR_M else ""


def slips(place: Place) -> dict[str, Place]:
    """Where a place would be with each slip taken back, as far as that is on the earth."""
    latitude, longitude = place
    ways = {"swapped": (longitude, latitude), "minus_longitude": (latitude, -longitude),
            "minus_latitude": (-latitude, longitude), "both_minus": (-latitude, -longitude),
            "swapped_minus": (-longitude, latitude), "swapped_other_minus": (longitude, -latitude)}
    return {slip: there for slip, there in ways.items() if abs(there[0]) <= 90}
