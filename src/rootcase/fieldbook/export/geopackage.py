"""What a map is made of as a GeoPackage (OGC 12-128r17, GeoPackage Encoding Standard, version 1.3; memory).

An SQLite file with the tables of its clause 1.1 and 2.1; requirement numbers beside what they ask for. No extension is
used, so that any reader takes it.
"""

from __future__ import annotations

import sqlite3
import struct
from collections.abc import Sequence
from contextlib import closing
from itertools import chain

from rootcase.fieldbook.export.layers import Layer
from rootcase.fieldbook.export.positions import Point
from rootcase.ground.words import say

_APPLICATION = 0x47504B47
"""`GPKG` (requirement 2)."""
_VERSION = 10300
_WGS84 = 4326
_WGS84_TEXT = ('GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],'
               'AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",'
               '0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4326"]]')
# Table definitions of annex C; requirements 10 and 11 name the three systems that must be there.
_TABLES = """
CREATE TABLE gpkg_spatial_ref_sys (
  srs_name TEXT NOT NULL, srs_id INTEGER NOT NULL PRIMARY KEY, organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL, definition TEXT NOT NULL, description TEXT);
CREATE TABLE gpkg_contents (
  table_name TEXT NOT NULL PRIMARY KEY, data_type TEXT NOT NULL, identifier TEXT UNIQUE, description TEXT DEFAULT '',
  last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
  min_x DOUBLE, min_y DOUBLE, max_x DOUBLE, max_y DOUBLE, srs_id INTEGER,
  CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id));
CREATE TABLE gpkg_geometry_columns (
  table_name TEXT NOT NULL, column_name TEXT NOT NULL, geometry_type_name TEXT NOT NULL, srs_id INTEGER NOT NULL,
  z TINYINT NOT NULL, m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name),
  CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id));
"""
_SYSTEMS = (
    ("WGS 84", _WGS84, "EPSG", _WGS84, _WGS84_TEXT, "longitude and latitude on the WGS 84 ellipsoid, in degrees"),
    ("Undefined Cartesian SRS", -1, "NONE", -1, "undefined", "undefined Cartesian coordinates"),
    ("Undefined geographic SRS", 0, "NONE", 0, "undefined", "undefined geographic coordinates"),
)


def geopackage_bytes(layers: Sequence[Layer], last_change: str) -> bytes:
    """A GeoPackage with a table for each layer; the same layers and the same SQLite give the same bytes.

    last_change: UTC, such as 2015-11-05T09:30:00.000Z.
    """
    with closing(sqlite3.connect(":memory:")) as made:
        made.execute(f"PRAGMA application_id = {_APPLICATION}")
        made.execute(f"PRAGMA user_version = {_VERSION}")
        made.executescript(_TABLES)
        made.executemany("INSERT INTO gpkg_spatial_ref_sys VALUES (?, ?, ?, ?, ?, ?)", _SYSTEMS)
        for layer in layers:
            _write(made, layer, last_change)
        made.commit()
        return made.serialize()


def _write(made: sqlite3.Connection, layer: Layer, last_change: str) -> None:
    points = list(chain.from_iterable(feature.points for feature in layer.features))
    edges = _edges(points) if points else (None, None, None, None)
    made.execute("INSERT INTO gpkg_contents VALUES (?, 'features', ?, ?, ?, ?, ?, ?, ?, ?)",
                 (layer.name, layer.name, say(f"export.layer.{layer.name}"), last_change, *edges, _WGS84))
    made.execute("INSERT INTO gpkg_geometry_columns VALUES (?, 'geom', ?, ?, 0, 0)",
                 (layer.name, layer.shape, _WGS84))
    columns = layer.columns
    named = "".join(f', "{name}" {"DOUBLE" if name in layer.numbers else "TEXT"}' for name in columns)
    made.execute(f'CREATE TABLE "{layer.name}" (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, geom {layer.shape}, '
                 f"id TEXT NOT NULL{named})")
    places = ", ".join("?" * (len(columns) + 3))
    made.executemany(f'INSERT INTO "{layer.name}" VALUES ({places})', [
        (number, _geometry(layer, feature.points), feature.id, *(feature.facts[name] for name in columns))
        for number, feature in enumerate(layer.features, 1)])


def _geometry(layer: Layer, points: list[Point]) -> bytes | None:
    """Standard binary (requirement 19): magic, version 0, little-endian with an envelope, SRS; then the shape."""
    if not points:
        return None
    low_x, low_y, high_x, high_y = _edges(points)
    head = struct.pack("<2sBBi4d", b"GP", 0, 0b11, _WGS84, low_x, high_x, low_y, high_y)
    if layer.shape == "POINT":
        return head + struct.pack("<BI2d", 1, 1, *points[0])
    flat = chain.from_iterable(points)
    if layer.shape == "LINESTRING":
        return head + struct.pack(f"<BII{2 * len(points)}d", 1, 2, len(points), *flat)
    return head + struct.pack(f"<BIII{2 * len(points)}d", 1, 3, 1, len(points), *flat)


def _edges(points: list[Point]) -> tuple[float, float, float, float]:
    """Least longitude and latitude, then the greatest."""
    longitudes, latitudes = zip(*points, strict=True)
    return min(longitudes), min(latitudes), max(longitudes), max(latitudes)
