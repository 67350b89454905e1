"""Places on the earth in degrees, and in metres from a corner nearby, on the ellipsoid of satellite positions.

Ellipsoid: WGS 84, National Imagery and Mapping Agency 2000, TR8350.2, 3rd edition, Table 3.1 (memory).
Radii of curvature: Snyder, J. P. 1987, Map Projections: A Working Manual, U.S. Geological Survey Professional Paper
1395, pp. 24-25 (memory).
"""

from __future__ import annotations

import re
from math import cos, pi, radians, sin, sqrt

from rootcase.ground.errors import require_range

_EQUATOR_RADIUS_M = 6_378_137.0
_FLATTENING = 1 / 298.257223563
_SQUARED_ECCENTRICITY = _FLATTENING * (2 - _FLATTENING)

_LAST_TREES_DEG = 85.0
"""JUDGEMENT: no tree grows nearer to a pole, and east and north lose their meaning there."""
_TREES_FROM_DEG, _TREES_TO_DEG = -60.0, 75.0
"""JUDGEMENT: some degrees beyond the last trees, near 56 south on the islands of Cape Horn and 73 north in Siberia
(common knowledge, memory)."""
_SIXTY = 60
_QUOTES = str.maketrans("′’‘″”“º", "'''\"\"\"°")
_SIDE = r"\s*(?P<side>[NSEWnsew])\s*"
_FIGURE = r"\d{1,2}(?:[.,]\d+)?"
_SEXAGESIMAL = re.compile(
    rf"\s*(\d{{1,3}})(?:\s*°\s*|\s+)({_FIGURE})(?:(?:\s*'\s*|\s+)({_FIGURE})\s*\"?|\s*'|){_SIDE}")
_DECIMAL = re.compile(rf"\s*(\d{{1,3}}(?:[.,]\d+)?)\s*°?{_SIDE}")
_PLAIN = re.compile(r"\s*([-−]?\d+(?:[.,]\d+)?)\s*°?\s*")
_LETTERED = re.compile(r"\s*([NSEWnsew])\s*(.+)")
"""O is no letter of ours: it stands for east in some languages and for west in others."""
_LETTER = re.compile(r"[NSEWnsew]")
_BETWEEN, _DECIMAL_COMMA = re.compile(r"\s*[,;]\s*|\s+"), re.compile(r"\d,\d")
_HALF_TURN_DEG = 180.0
_FAR_M = 20_100_000.0
"""Over half the way round the equator, which no two places are apart."""
_SETTLED_DEG = 1e-13


def local_m(latitude_deg: float, longitude_deg: float, origin_latitude_deg: float,
            origin_longitude_deg: float) -> tuple[float, float]:
    """Metres east and north of an origin, along the parallel and the meridian half way; the shorter way round.

    Within 20 km and up to 80 degrees of latitude true to 2 in 100,000; over thousands of kilometres a rough distance.

    >>> east, north = local_m(36.0730, -79.7900, 36.0726, -79.7920)
    >>> round(east, 1), round(north, 1)
    (180.2, 44.4)
    """
    _require_place(latitude_deg, longitude_deg)
    _require_place(origin_latitude_deg, origin_longitude_deg)
    east_m, north_m = metres_per_degree((latitude_deg + origin_latitude_deg) / 2)
    return (_turned_deg(longitude_deg - origin_longitude_deg) * east_m, (latitude_deg - origin_latitude_deg) * north_m)


def degrees_at(east_m: float, north_m: float, origin_latitude_deg: float,
               origin_longitude_deg: float) -> tuple[float, float]:
    """Latitude and longitude of a point given in metres from an origin: the way back from `local_m`.

    >>> latitude, longitude = degrees_at(*local_m(36.0730, -79.7900, 36.0726, -79.7920), 36.0726, -79.7920)
    >>> round(latitude, 9), round(longitude, 9)
    (36.073, -79.79)
    """
    _require_place(origin_latitude_deg, origin_longitude_deg)
    require_range("distance east", east_m, -_FAR_M, _FAR_M, "m")
    require_range("distance north", north_m, -_FAR_M, _FAR_M, "m")
    latitude, before = origin_latitude_deg, origin_latitude_deg + 1
    while abs(latitude - before) > _SETTLED_DEG * (1 + abs(latitude)):  # quick: a degree is the same to 1 % everywhere
        before = latitude
        latitude = origin_latitude_deg + north_m / metres_per_degree((before + origin_latitude_deg) / 2)[1]
        require_range("latitude", latitude, -_LAST_TREES_DEG, _LAST_TREES_DEG, "degrees")
    turned = east_m / metres_per_degree((latitude + origin_latitude_deg) / 2)[0]
    return latitude, _turned_deg(origin_longitude_deg + turned)


def trees_grow_at(latitude_deg: float) -> bool:
    """Whether a tree can stand at that latitude.

    >>> trees_grow_at(69.7), trees_grow_at(-77.3)
    (True, False)
    """
    return _TREES_FROM_DEG <= latitude_deg <= _TREES_TO_DEG


def degrees_of(text: str, sides: str) -> float | None:
    """Degrees written with minutes, seconds or the letter of their side, of which the second of `sides` is minus.

    None where the text is none of these, or names another side.

    >>> degrees_of("38°58'16\\"N", "NS"), degrees_of("77 20 3 W", "EW"), degrees_of("77.3341° W", "EW")
    (38.9711111, -77.3341667, -77.3341)
    >>> degrees_of("77.3341 W", "NS"), degrees_of("38.9712", "NS"), degrees_of("38°61'N", "NS")
    (None, None, None)
    """
    plain = text.translate(_QUOTES).replace("''", '"')
    found = _SEXAGESIMAL.fullmatch(plain) or _DECIMAL.fullmatch(plain)
    if not found or found["side"].upper() not in sides:
        return None
    parts = [float(part.replace(",", ".")) for part in found.groups()[:-1] if part]
    if max(parts[1:], default=0.0) >= _SIXTY:
        return None
    size: float = sum(part / float(_SIXTY**place) for place, part in enumerate(parts))
    return round(-size if found["side"].upper() == sides[1] else size, 7)


def place_of(first: str, second: str) -> tuple[float, float] | None:
    """Latitude and longitude from two texts, in the order that the letters beside them say; else the latitude first.

    None where one is no degrees or the letters contradict each other; whether it is on the earth is not looked at.

    >>> place_of("42°20'N", "83.05 W"), place_of("W 83.05", "42.33 N"), place_of("42.33 N", "83.05 S")
    ((42.3333333, -83.05), (42.33, -83.05), None)
    """
    one, other = (_LETTERED.sub(r"\2\1", text).strip() for text in (first, second))
    if one[-1:].upper() in ("E", "W") and other[-1:].upper() in ("N", "S"):
        one, other = other, one
    latitude, longitude = _signed_degrees(one, "NS"), _signed_degrees(other, "EW")
    return None if latitude is None or longitude is None else (latitude, longitude)


def place_in(text: str) -> tuple[float, float] | None:
    """Latitude and longitude that stand in one text; None where they cannot be told apart.

    >>> place_in("47.45,-122.31"), place_in("42°20'N 83°3'W"), place_in("N 48,1 E 11,5"), place_in("47,45")
    ((47.45, -122.31), (42.3333333, -83.05), (48.1, 11.5), None)
    """
    found = set()
    if len(_LETTER.findall(text)) == 1:  # the other's may be lost, and its side with it
        return None
    for between in _BETWEEN.finditer(text):
        a_decimal = "." not in text and _DECIMAL_COMMA.fullmatch(text[between.start() - 1:between.end() + 1])
        if not a_decimal and (place := place_of(text[:between.start()], text[between.end():])):
            found.add(place)
    return found.pop() if len(found) == 1 else None


def _signed_degrees(text: str, sides: str) -> float | None:
    """Degrees in either form; a minus beside the letter of its side is said twice."""
    if plain := _PLAIN.fullmatch(text):
        return float(plain[1].replace(",", ".").replace("−", "-"))
    size = degrees_of(text.lstrip("-−"), sides)
    return -abs(size) if size is not None and text[:1] in ("-", "−") else size


def metres_per_degree(latitude_deg: float) -> tuple[float, float]:
    """Length of a degree of longitude and of a degree of latitude, at a latitude.

    >>> [round(length, 3) for length in metres_per_degree(0)]
    [111319.491, 110574.276]
    """
    require_range("latitude", latitude_deg, -90, 90, "degrees")
    phi = radians(latitude_deg)
    squashed = 1 - _SQUARED_ECCENTRICITY * sin(phi) ** 2
    across_m = _EQUATOR_RADIUS_M / sqrt(squashed)
    along_m = across_m * (1 - _SQUARED_ECCENTRICITY) / squashed
    return across_m * cos(phi) * pi / 180, along_m * pi / 180


def _require_place(latitude_deg: float, longitude_deg: float) -> None:
    require_range("latitude", latitude_deg, -_LAST_TREES_DEG, _LAST_TREES_DEG, "degrees")
    require_range("longitude", longitude_deg, -_HALF_TURN_DEG, _HALF_TURN_DEG, "degrees")


def _turned_deg(angle_deg: float) -> float:
    """The same direction between -180 and 180; an angle that is there already is not touched."""
    if -_HALF_TURN_DEG <= angle_deg <= _HALF_TURN_DEG:
        return angle_deg
    return (angle_deg + _HALF_TURN_DEG) % (2 * _HALF_TURN_DEG) - _HALF_TURN_DEG
