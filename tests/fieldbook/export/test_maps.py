"""Maps: a GeoPackage read after the standard's requirements, GeoJSON after RFC 7946, and what has no position."""

from __future__ import annotations

import json
import sqlite3
import struct
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.fieldbook.drawn import KeepOffDrawn, LineDrawn
from rootcase.fieldbook.events import Event, PitOpened, PlaceOutlined, TreeOpened
from rootcase.fieldbook.export.geojson import geojson_bytes
from rootcase.fieldbook.export.geopackage import geopackage_bytes
from rootcase.fieldbook.export.layers import layers
from rootcase.fieldbook.view import view
from rootcase.ground.position import local_m
from rootcase.records.observe import PropertyRecord
from rootcase.tables.readings import kinds
from tests.fieldbook.export.books import HOSTILE
from tests.fieldbook.sheets import FACTS, event, reading, whole_property

CHANGED = "2015-11-05T00:00:00.000Z"


def a_reading(an_id: str, kind: str, of: str, **more: object) -> Event:
    body = replace(reading(an_id, 1.0), slot=f"slot {an_id}", kind=kind, of=of, **more)  # type: ignore[arg-type]
    return event(an_id, body)


EVENTS = [
    *whole_property(),
    event("60", TreeOpened(slot="nowhere", tree="nowhere", label='=cmd "oak"', place="l")),
    event("61", TreeOpened(slot="degrees", tree="degrees", label="oak d", place="l")),
    a_reading("62", "latitude", "degrees", value=47.4512345), a_reading("63", "longitude", "degrees", value=-122.3101),
    event("64", PitOpened(slot="pit 2", pit="pit2", label="pit 2", tree="t1")),
    a_reading("65", "pit_distance", "pit2", value=10.0), a_reading("66", "pit_bearing", "pit2", value=90.0),
    a_reading("67", "probe_depth", "pit2", value=50.0, series="1"),
    a_reading("68", "probe_depth", "pit2", value=100.0, series="2", sign=">"),
    a_reading("69", "species", "t1", value=None, choice="Quercus rubra"),
    a_reading("70", "crown_dieback", "t1", value=0.3, doubts=("asked",)),
    event("71", LineDrawn(slot="g", line="g", name="gas to the house", line_kind="gas",
                          points_m=((0.0, 1.5), (9.0, 1.5), (9.0, 4.0)))),
    event("72", KeepOffDrawn(slot="k", area="k", name="well", reason="drinking water",
                             outline_m=((0.0, 0.0), (0.0, 1.0), (1.0, 1.0)), distance_m=30.0)),
]


@pytest.fixture(scope="module")
def record() -> PropertyRecord:
    return view(EVENTS)


@pytest.fixture
def package(record: PropertyRecord, tmp_path: Path) -> Iterator[sqlite3.Connection]:
    path = tmp_path / "a.gpkg"
    path.write_bytes(geopackage_bytes(layers([record]), CHANGED))
    with closing(sqlite3.connect(path)) as found:
        found.row_factory = sqlite3.Row
        yield found


@pytest.mark.published
def test_the_file_says_that_it_is_a_geopackage(package: sqlite3.Connection, tmp_path: Path) -> None:
    head = (tmp_path / "a.gpkg").read_bytes()[:100]
    assert head[:16] == b"SQLite format 3\x00"  # requirement 1
    assert (head[68:72], struct.unpack(">I", head[60:64])[0]) == (b"GPKG", 10300)  # requirement 2
    assert package.execute("PRAGMA integrity_check").fetchone()[0] == "ok"  # requirement 6
    assert package.execute("PRAGMA foreign_key_check").fetchall() == []  # requirement 7


@pytest.mark.published
def test_its_systems_and_contents_are_those_that_must_be(package: sqlite3.Connection) -> None:
    systems = {row["srs_id"]: row for row in package.execute("SELECT * FROM gpkg_spatial_ref_sys")}
    assert set(systems) == {4326, -1, 0}  # requirement 11
    assert (systems[4326]["organization"], systems[4326]["organization_coordsys_id"]) == ("EPSG", 4326)
    assert systems[4326]["definition"].startswith('GEOGCS["WGS 84"')
    assert {systems[-1]["definition"], systems[0]["definition"]} == {"undefined"}
    assert {systems[-1]["organization"], systems[0]["organization"]} == {"NONE"}
    contents = list(package.execute("SELECT * FROM gpkg_contents ORDER BY table_name"))
    assert [row["table_name"] for row in contents] == ["keep_off", "lines", "pits", "places", "trees"]  # requirement 13
    tables = {name for name, in package.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    assert tables - {"sqlite_sequence"} == {"gpkg_spatial_ref_sys", "gpkg_contents", "gpkg_geometry_columns",
                                            "trees", "places", "pits", "lines", "keep_off"}
    for row in contents:
        assert (row["data_type"], row["srs_id"], row["last_change"]) == ("features", 4326, CHANGED)  # 14, 15, 18
        assert row["min_x"] <= row["max_x"]
    columns = {row["table_name"]: row for row in package.execute("SELECT * FROM gpkg_geometry_columns")}
    assert {name: row["geometry_type_name"] for name, row in columns.items()} == {  # requirements 22 to 28
        "trees": "POINT", "pits": "POINT", "places": "POLYGON", "lines": "LINESTRING", "keep_off": "POLYGON"}
    for name, row in columns.items():
        shape = {each["name"]: each for each in package.execute(f'PRAGMA table_info("{name}")')}
        assert (shape["fid"]["pk"], shape["fid"]["type"]) == (1, "INTEGER")
        assert shape["geom"]["type"] == row["geometry_type_name"]
        assert (row["column_name"], row["srs_id"], row["z"], row["m"]) == ("geom", 4326, 0, 0)
        assert {each["type"] for each in shape.values()} <= {  # requirement 5
            "INTEGER", "TEXT", "DOUBLE", "POINT", "LINESTRING", "POLYGON"}
        definition = package.execute("SELECT sql FROM sqlite_master WHERE name = ?", [name]).fetchone()[0]
        assert "fid INTEGER PRIMARY KEY AUTOINCREMENT" in definition  # requirement 29


def points_of(blob: bytes) -> list[tuple[float, float]]:
    """Points of a standard geometry binary (requirement 19), read by its own rules."""
    magic, version, flags, system = struct.unpack_from("<2sBBi", blob)
    assert (magic, version, flags & 1, flags >> 1 & 0b111, flags >> 4, system) == (b"GP", 0, 1, 1, 0, 4326)
    least_x, most_x, least_y, most_y = struct.unpack_from("<4d", blob, 8)
    order, kind = struct.unpack_from("<BI", blob, 40)
    assert order == 1
    if kind == 1:
        assert len(blob) == 61
        points = [struct.unpack_from("<2d", blob, 45)]
    elif kind == 2:
        count, = struct.unpack_from("<I", blob, 45)
        assert len(blob) == 49 + 16 * count
        points = [struct.unpack_from("<2d", blob, 49 + 16 * number) for number in range(count)]
    else:
        rings, count = struct.unpack_from("<II", blob, 45)
        assert (kind, rings, len(blob)) == (3, 1, 53 + 16 * count)
        points = [struct.unpack_from("<2d", blob, 53 + 16 * number) for number in range(count)]
        assert points[0] == points[-1]
    assert (least_x, most_x) == (min(x for x, _ in points), max(x for x, _ in points))
    assert (least_y, most_y) == (min(y for _, y in points), max(y for _, y in points))
    return [(x, y) for x, y in points]


def test_things_stand_where_they_were_measured(package: sqlite3.Connection) -> None:
    found = {row["tree"]: row["geom"] for row in package.execute("SELECT tree, geom FROM trees")}
    assert found.pop('=cmd "oak"') is None
    assert points_of(found.pop("oak d")) == [(-122.3101, 47.4512345)]
    assert len(found) == 12
    for label, blob in found.items():
        (longitude, latitude), = points_of(blob)
        metres = local_m(latitude, longitude, FACTS.latitude_deg, FACTS.longitude_deg)
        assert metres == pytest.approx((float(label.split()[1]), 2.0), abs=1e-3)
    pits = {row["pit"]: row["geom"] for row in package.execute("SELECT pit, geom FROM pits")}
    assert pits["pit 1"] is None
    (longitude, latitude), = points_of(pits["pit 2"])
    assert local_m(latitude, longitude, FACTS.latitude_deg, FACTS.longitude_deg) == pytest.approx((11.0, 2.0), abs=1e-3)
    places = {row["place"]: points_of(row["geom"]) for row in package.execute("SELECT place, geom FROM places")}
    assert {name: len(points) for name, points in places.items()} == {"lawn": 4, "house": 4}


def test_what_is_drawn_stands_where_it_was_drawn(package: sqlite3.Connection) -> None:
    line = package.execute("SELECT * FROM lines").fetchone()
    assert (line["line"], line["kind"]) == ("gas to the house", "gas")
    drawn = [local_m(latitude, longitude, FACTS.latitude_deg, FACTS.longitude_deg)
             for longitude, latitude in points_of(line["geom"])]
    assert drawn == [pytest.approx(point, abs=1e-3) for point in ((0.0, 1.5), (9.0, 1.5), (9.0, 4.0))]
    area = package.execute("SELECT * FROM keep_off").fetchone()
    assert (area["keep_off"], area["reason"], area["distance_m"]) == ("well", "drinking water", 30.0)
    assert len(points_of(area["geom"])) == 4


def test_the_newest_readings_stand_beside_with_their_units_and_what_they_hide(package: sqlite3.Connection) -> None:
    tree = package.execute("SELECT * FROM trees WHERE tree = 'oak 1'").fetchone()
    assert (tree["dbh_mm"], tree["dbh_note"], tree["species"]) == (280.0, "mean of 2, doubtful", "Quercus rubra")
    assert (tree["crown_dieback_share"], tree["crown_dieback_note"]) == (0.3, "doubtful")
    pit = package.execute("SELECT * FROM pits WHERE pit = 'pit 2'").fetchone()
    assert (pit["probe_depth_mm"], pit["probe_depth_note"]) == (75.0, "mean of 2, >")


def test_every_kind_finds_its_column() -> None:
    of = {"tree": "t1", "place": "l", "pit": "pit"}
    every = [kind for kind in kinds().values() if kind.of in of]
    events = [a_reading(f"k{n}", kind.kind, of[kind.of], choice="code", sign=">") for n, kind in enumerate(every)]
    made = layers([view([*whole_property(), *events])])
    with closing(sqlite3.connect(":memory:")) as found:
        found.deserialize(geopackage_bytes(made, CHANGED))
        columns = {name for layer in made for _, name, *_ in found.execute(f'PRAGMA table_info("{layer.name}")')}
    assert {kind.kind for kind in every if kind.value_type not in ("profile", "photo")
            and not any(name.startswith(kind.kind) for name in columns)} == set()


def test_the_same_layers_are_the_same_bytes(record: PropertyRecord) -> None:
    assert geopackage_bytes(layers([record]), CHANGED) == geopackage_bytes(layers([record]), CHANGED)
    assert geojson_bytes(layers([record])) == geojson_bytes(layers([record]))


def area(ring: list[list[float]]) -> float:
    """Seen from the first corner, as degrees hold few figures behind their hundreds."""
    near = [(x - ring[0][0], y - ring[0][1]) for x, y in ring]
    return sum(x * next_y - next_x * y for (x, y), (next_x, next_y) in pairwise(near)) / 2


@pytest.mark.published
def test_geojson_keeps_the_rules_of_its_standard(record: PropertyRecord) -> None:
    found = json.loads(geojson_bytes(layers([record])))
    assert found["type"] == "FeatureCollection"
    assert "crs" not in found  # section 4
    assert {feature["properties"]["layer"] for feature in found["features"]} == {
        "trees", "places", "pits", "lines", "keep_off"}
    for feature in found["features"]:
        assert set(feature) == {"type", "id", "geometry", "properties"}  # section 3.2
        shape = feature["geometry"]
        if shape is None:
            assert feature["properties"].get("tree") in ('=cmd "oak"', "oak 1")
        elif shape["type"] == "Point":
            longitude, latitude = shape["coordinates"]
            assert (longitude, latitude) == pytest.approx((-122.31, 47.45), abs=0.01)  # longitude first, section 3.1.1
            assert round(longitude, 7) == longitude
        elif shape["type"] == "LineString":
            assert len(shape["coordinates"]) == 3
        else:
            ring, = shape["coordinates"]
            assert len(ring) >= 4  # section 3.1.6
            assert ring[0] == ring[-1]
            assert area(ring) > 0


CORNERS = st.tuples(*[st.integers(0, 10_000).map(lambda cm: cm / 100)] * 2)
"""To the centimetre, as nobody measures a place more finely."""


@pytest.mark.property
@given(st.lists(CORNERS, max_size=6), st.booleans())
def test_rings_are_closed_and_run_against_the_clock_however_they_were_walked(corners: list[tuple[float, float]],
                                                                            back: bool) -> None:
    walked = tuple(reversed(corners)) if back else tuple(corners)
    events = [whole_property()[0], event("9", PlaceOutlined(slot="o", place="o", name="o", outline_kind="path",
                                                           outline_m=walked))]
    place, = layers([view(events)])[1].features
    if place.points:
        assert place.points[0] == place.points[-1]
        if abs(area([list(corner) for corner in (*walked, walked[0])])) > 1e-3:  # corners in one line turn no way
            assert area([list(point) for point in place.points]) > 0


@pytest.mark.parametrize("longitude_deg", [179.9999, -180.0])
def test_a_place_over_the_line_of_the_day_is_not_drawn_round_the_world(longitude_deg: float) -> None:
    events = [event("01", replace(FACTS, longitude_deg=longitude_deg)), *whole_property()[2:4]]
    place, = (each for each in layers([view(events)])[1].features if each.id == "h")
    longitudes = [longitude for longitude, _ in place.points]
    assert not longitudes or max(longitudes) - min(longitudes) < 1
    wide = [events[0], event("9", PlaceOutlined(slot="w", place="w", name="w", outline_kind="path",
                                               outline_m=((-50.0, 0.0), (50.0, 0.0), (50.0, 50.0))))]
    assert layers([view(wide)])[1].features[0].points == []


def test_hostile_labels_come_back_sign_by_sign(tmp_path: Path) -> None:
    events = [whole_property()[0], *(event(f"t{n}", TreeOpened(slot=f"t{n}", tree=f"t{n}", label=label, place="l"))
                                     for n, label in enumerate(HOSTILE))]
    made = layers([view(events)])
    (tmp_path / "a.gpkg").write_bytes(geopackage_bytes(made, CHANGED))
    with closing(sqlite3.connect(tmp_path / "a.gpkg")) as found:
        assert sorted(label for label, in found.execute("SELECT tree FROM trees")) == sorted(HOSTILE)
    labels = [feature["properties"]["tree"] for feature in json.loads(geojson_bytes(made))["features"]]
    assert sorted(labels) == sorted(HOSTILE)
