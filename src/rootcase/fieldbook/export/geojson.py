"""What a map is made of as GeoJSON (Butler, H. et al. 2016, The GeoJSON Format, RFC 7946).

Longitude before latitude, WGS 84 (section 4); rings against the clock, closed (3.1.6); seven decimals, a centimetre,
are more than a tape gives (11.2); what has no position has the geometry null (3.2).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from rootcase.fieldbook.export.layers import Feature, Layer

_DECIMALS = 7


def geojson_bytes(layers: Sequence[Layer]) -> bytes:
    """All layers as one collection; `layer` says which one a feature is of."""
    features = [_feature(layer, feature) for layer in layers for feature in layer.features]
    text = json.dumps({"type": "FeatureCollection", "features": features}, ensure_ascii=False, indent=1)
    return f"{text}\n".encode()


def _feature(layer: Layer, feature: Feature) -> dict[str, Any]:
    return {"type": "Feature", "id": feature.id, "geometry": _geometry(layer, feature),
            "properties": {"layer": layer.name, **feature.facts}}


def _geometry(layer: Layer, feature: Feature) -> dict[str, Any] | None:
    if not feature.points:
        return None
    points = [[round(longitude, _DECIMALS) + 0.0, round(latitude, _DECIMALS) + 0.0]
              for longitude, latitude in feature.points]
    if layer.shape == "POLYGON":
        return {"type": "Polygon", "coordinates": [points]}
    if layer.shape == "LINESTRING":
        return {"type": "LineString", "coordinates": points}
    return {"type": "Point", "coordinates": points[0]}
