"""Degrees to metres and back."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import OutOfRange
from rootcase.ground.position import degrees_at, local_m, metres_per_degree

MILLIMETRE_M = 0.001
latitudes = st.floats(-80, 80)
longitudes = st.floats(-180, 180)
near_m = st.floats(-14_000, 14_000)  # a corner of it is 20 km away


@pytest.mark.published
@pytest.mark.parametrize(("latitude", "east_m", "north_m"), [
    (0, 111_319.491, 110_574), (90, 0, 111_694), (48, 74_630, 111_200),
])
def test_a_degree_is_as_long_as_published(latitude: float, east_m: float, north_m: float) -> None:
    """0 and 90: seen quoted as 110,574, 111,694 and 111,320 m for WGS 84; 48: Wikimedia Commons, chart "WGS84 angle to
    distance conversion", 74.63 and 111.2 km (seen)."""
    assert metres_per_degree(latitude) == pytest.approx((east_m, north_m), rel=1e-4, abs=MILLIMETRE_M)


@pytest.mark.published
@given(latitudes)
def test_a_degree_follows_the_published_series(latitude: float) -> None:
    """Degree of latitude on WGS 84 as a cosine series: encyclopaedia article "Geographic coordinate system" (seen)."""
    phi = math.radians(latitude)
    series_m = 111_132.92 - 559.82 * math.cos(2 * phi) + 1.175 * math.cos(4 * phi) - 0.0023 * math.cos(6 * phi)
    assert metres_per_degree(latitude)[1] == pytest.approx(series_m, rel=1e-6)


@given(latitudes, longitudes, near_m, near_m)
def test_metres_go_to_degrees_and_back(latitude: float, longitude: float, east_m: float, north_m: float) -> None:
    there = degrees_at(east_m, north_m, latitude, longitude)
    assert math.dist(local_m(*there, latitude, longitude), (east_m, north_m)) < MILLIMETRE_M


@given(st.floats(-79, 79), longitudes, near_m, near_m)
def test_metres_are_those_of_straight_lines_through_the_ellipsoid(latitude: float, longitude: float, east_m: float,
                                                                  north_m: float) -> None:
    """Within 20 km the chord is shorter than the way along the ground by less than 1 in 1,000,000."""
    there = degrees_at(east_m, north_m, latitude, longitude)
    chord_m = math.dist(earth_centred_m(*there), earth_centred_m(latitude, longitude))
    assert math.hypot(east_m, north_m) == pytest.approx(chord_m, rel=1e-4, abs=MILLIMETRE_M)


def earth_centred_m(latitude: float, longitude: float) -> tuple[float, float, float]:
    """Geodetic to earth-centred Cartesian, height 0: standard relation, written apart from the code under test."""
    a, b = 6_378_137.0, 6_356_752.314245
    phi, lam = math.radians(latitude), math.radians(longitude)
    normal = a * a / math.hypot(a * math.cos(phi), b * math.sin(phi))
    return (normal * math.cos(phi) * math.cos(lam), normal * math.cos(phi) * math.sin(lam),
            b * b / (a * a) * normal * math.sin(phi))


def test_the_shorter_way_round_crosses_the_date_line() -> None:
    east_m, _ = local_m(-17, -179.99, -17, 179.99)
    assert east_m == pytest.approx(0.02 * metres_per_degree(-17)[0])
    assert degrees_at(east_m, 0, -17, 179.99)[1] == pytest.approx(-179.99)


@pytest.mark.parametrize("place", [
    (90, 0, 45, 0), (45, 0, -86, 0), (45, 181, 45, 0), (45, 0, 45, -360), (math.nan, 0, 45, 0),
])
def test_poles_and_what_is_no_place_are_refused(place: tuple[float, float, float, float]) -> None:
    with pytest.raises(OutOfRange, match=r"(latitude|longitude) is outside its range .*degrees.*must lie between"):
        local_m(*place)


@pytest.mark.parametrize(("move", "why"), [
    ((0, 600_000), "latitude"), ((math.inf, 0), "distance east"), ((0, 1e9), "distance north"),
])
def test_a_way_over_the_pole_is_refused(move: tuple[float, float], why: str) -> None:
    with pytest.raises(OutOfRange, match=why):
        degrees_at(*move, 80, 0)
