"""The whole practice: everything out, to keep, to map, to look at; and back."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rootcase.fieldbook.export.archive import Exported
from rootcase.fieldbook.export.geojson import geojson_bytes
from rootcase.fieldbook.export.geopackage import geopackage_bytes
from rootcase.fieldbook.export.layers import layers
from rootcase.fieldbook.export.workbook import workbook_bytes
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord

_NEVER = "1970-01-01"
"""When nothing was read yet."""


@dataclass(frozen=True, slots=True)
class Mapped:
    """What a map was made of."""

    trees: int
    places: int
    pits: int
    lines: int
    """Buried, as somebody drew them."""
    keep_off: int
    """Stretches of ground to keep off."""
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Tabled:
    """What a workbook was made of."""

    readings: int
    told: tuple[str, ...]


def take_out(fieldbook: Fieldbook, path: Path, *, public: bool = False) -> Exported:
    """Write everything the practice holds into one archive."""
    return fieldbook.export(path, public=public)


def map_out(fieldbook: Fieldbook, path: Path) -> Mapped:
    """Write trees, places and pits as a map: a GeoPackage or GeoJSON, by the file's ending."""
    records = _records(fieldbook)
    made = layers(records)
    if path.suffix.lower() == ".gpkg":
        newest = max((str(reading.day) for record in records for reading in record.readings), default=_NEVER)
        data = geopackage_bytes(made, f"{newest}T00:00:00.000Z")
    else:
        data = geojson_bytes(made)
    write_whole({path: data})
    told = tuple(say("export.unplaced", count=layer.unplaced, of=len(layer.features), layer=layer.name)
                 for layer in made if layer.unplaced)
    counts = {layer.name: len(layer.features) for layer in made}
    return Mapped(counts["trees"], counts["places"], counts["pits"], counts["lines"], counts["keep_off"], told)


def table_out(fieldbook: Fieldbook, path: Path) -> Tabled:
    """Write a workbook for people."""
    records = _records(fieldbook)
    data, told = workbook_bytes(records)
    write_whole({path: data})
    return Tabled(sum(len(record.readings) for record in records), told)


def _records(fieldbook: Fieldbook) -> list[PropertyRecord]:
    return [fieldbook.record(each.id) for each in fieldbook.properties()]
