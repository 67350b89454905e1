"""Which readings an answer rests on, and which were not made."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from rootcase.records.explain import Limit, Turned
from rootcase.records.observe import Reading

OF_LIMIT: Mapping[Limit, tuple[str, ...]] = {
    "strength": ("probe_depth", "penetration_profile"),
    "air": ("texture_feel", "bulk_density", "organic_matter", "mottle_top", "drainage_hole_drop", "sar"),
    "water": ("texture_feel", "bulk_density", "organic_matter", "cover_share_by_ring", "infiltration_time", "sar",
              "irrigation_kind"),
    "salt": ("ece", "species"),
    "nutrition": ("organic_matter", "soil_ph", "cover_share_by_ring", "species"),
    "establishment": ("planting_year", "dbh", "crown_spread"),
}
"""Which readings each limit rests on, by the kind that stands for the input."""


@dataclass(slots=True)
class Book:
    """Ids of the readings used for each input, and inputs for which there was none."""

    read: dict[str, tuple[str, ...]] = field(default_factory=dict)
    not_read: list[str] = field(default_factory=list)
    turned: list[Turned] = field(default_factory=list)

    def note(self, kind: str, readings: Iterable[Reading]) -> None:
        """Write down what stands behind an input."""
        ids = tuple(r.id for r in readings)
        if ids:
            self.read[kind] = (*self.read.get(kind, ()), *ids)
        else:
            self.not_read.append(kind)

    def turn(self, kind: str, way: str, readings: Iterable[Reading], least: float, most: float) -> None:
        """Write down that readings were made in one way and taken as if made in another."""
        self.turned.append(Turned(kind, way, tuple(r.id for r in readings), least, most))
