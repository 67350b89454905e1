"""What a map is made of: trees, places and pits with what was read of them last, buried lines, ground to keep off."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass, field
from typing import Literal

from rootcase.fieldbook.export.newest import NewestColumn, newest_columns
from rootcase.fieldbook.export.positions import Point, along, pit_point, ring_of, tree_point
from rootcase.records.observe import PropertyRecord

Shape = Literal["POINT", "LINESTRING", "POLYGON"]


@dataclass(frozen=True, slots=True)
class Feature:
    """One thing; without points nobody measured where it is."""

    id: str
    points: list[Point]
    facts: dict[str, str | float | None]


@dataclass(frozen=True, slots=True)
class Layer:
    name: str
    shape: Shape
    features: list[Feature]
    numbers: set[str] = field(default_factory=set)
    """Names of the facts that are numbers."""

    @property
    def columns(self) -> list[str]:
        return list(dict.fromkeys(name for feature in self.features for name in feature.facts))

    @property
    def unplaced(self) -> int:
        return sum(not feature.points for feature in self.features)


def layers(records: Sequence[PropertyRecord]) -> list[Layer]:
    """Trees, places, pits, lines and areas to keep off, of all properties."""
    return [_layer("trees", "POINT", list(_trees(records)), newest_columns(records, "tree")),
            _layer("places", "POLYGON", list(_places(records)), newest_columns(records, "place")),
            _layer("pits", "POINT", list(_pits(records)), newest_columns(records, "pit")),
            _layer("lines", "LINESTRING", list(_lines(records)), []),
            _layer("keep_off", "POLYGON", list(_keep_off(records)), [], {"distance_m"})]


def _trees(records: Sequence[PropertyRecord]) -> Iterator[Feature]:
    for record in records:
        places = {place.id: place.name for place in record.places}
        for tree in record.trees:
            point = tree_point(record, tree)
            yield Feature(tree.id, [point] if point else [], {
                "property": record.property.name, "tree": tree.label, "place": places.get(tree.place_id)})


def _places(records: Sequence[PropertyRecord]) -> Iterator[Feature]:
    for record in records:
        for place in (*record.places, *record.outlines):
            yield Feature(place.id, ring_of(record, place.outline_m) or [], {
                "property": record.property.name, "place": place.name, "kind": place.kind})


def _pits(records: Sequence[PropertyRecord]) -> Iterator[Feature]:
    for record in records:
        trees = {tree.id: tree.label for tree in record.trees}
        places = {place.id: place.name for place in record.places}
        for pit in record.pits:
            point = pit_point(record, pit)
            yield Feature(pit.id, [point] if point else [], {
                "property": record.property.name, "pit": pit.label, "tree": trees.get(pit.tree_id or ""),
                "place": places.get(pit.place_id or "")})


def _lines(records: Sequence[PropertyRecord]) -> Iterator[Feature]:
    for record in records:
        for line in record.lines:
            yield Feature(line.id, along(record, line.points_m) or [], {
                "property": record.property.name, "line": line.name, "kind": line.kind})


def _keep_off(records: Sequence[PropertyRecord]) -> Iterator[Feature]:
    """Each with its distance in metres, which its ring does not hold."""
    for record in records:
        for area in record.keep_off:
            yield Feature(area.id, ring_of(record, area.outline_m) or [], {
                "property": record.property.name, "keep_off": area.name, "reason": area.reason,
                "distance_m": area.distance_m})


def _layer(name: str, shape: Shape, features: list[Feature], columns: list[NewestColumn],
           numbers: Set[str] = frozenset()) -> Layer:
    """Facts of every feature in the same columns; a note's column only where a value needs one."""
    layer = Layer(name, shape, features, set(numbers))
    for column in columns:
        called = column_name(column)
        noted = any(newest.note for newest in column.by_thing.values())
        for feature in features:
            newest = column.by_thing.get(feature.id)
            if column.is_number:
                layer.numbers.add(called)
                feature.facts[called] = newest.value if newest else None
            else:
                feature.facts[called] = (newest.text or None) if newest else None
            if noted:
                feature.facts[f"{column.kind.kind}_note"] = (newest.note or None) if newest else None
    return layer


def column_name(column: NewestColumn) -> str:
    """The kind and its unit, in letters that every map program takes."""
    kind = column.kind
    unit = "share" if kind.value_type == "share" else re.sub(r"\W+", "_", kind.si_unit)
    return kind.kind if unit in ("", "1") or kind.kind.endswith(f"_{unit}") else f"{kind.kind}_{unit}"
