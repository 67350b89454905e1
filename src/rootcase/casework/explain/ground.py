"""What was read at one tree and in the ground around it, or at a yardstick's trees."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from rootcase.records.observe import PropertyRecord, Reading, Tree

FRESH_DAYS = 365
"""Readings of a kind are used together when made within this many days of the newest one. JUDGEMENT."""

M_PER_MM = 1e-3
"""The catalogue keeps small lengths in mm, the model takes m."""
CONE = "penetrometer_cone"
"""Said once a visit; of what is read of a visit the only kind that says how to take a reading of the ground."""
TOPSOIL_M = 0.3
"""Depth down to which the model takes a density read (table tree/layers, the top two)."""


@dataclass(frozen=True, slots=True)
class Ground:
    """Readings by kind: the tree's own, its pits' and samples' (else its place's), and its place's."""

    place_kind: str
    by_kind: dict[str, tuple[Reading, ...]]

    def take(self, kind: str) -> tuple[Reading, ...]:
        """Usable readings of a kind, the newest year's; nothing, not looked and not read are left out."""
        found = [r for r in self.by_kind.get(kind, ()) if r.nothing is None]
        if not found:
            return ()
        newest = max(r.day for r in found)
        return tuple(r for r in found if (newest - r.day).days <= FRESH_DAYS)

    def numbers(self, kind: str) -> tuple[Reading, ...]:
        """Usable readings that hold a number."""
        return tuple(r for r in self.take(kind) if r.value is not None)

    def topsoil(self, kind: str) -> tuple[Reading, ...]:
        """Usable numbers of soil that was not taken from below the topsoil."""
        below = {r.of for r in self.numbers("sample_depth_top") if (r.value or 0.0) * M_PER_MM >= TOPSOIL_M}
        return tuple(r for r in self.numbers(kind)
                     if r.of not in below and (r.depth_from_m or 0.0) < TOPSOIL_M)

    def choice(self, kind: str) -> Reading | None:
        """The newest reading that holds a choice."""
        found = [r for r in self.take(kind) if r.choice]
        return max(found, key=lambda r: (r.day, r.id)) if found else None

    @property
    def made(self) -> dict[str, int]:
        """How many usable readings there are, by kind; kinds without any are not in it."""
        return {kind: count for kind in self.by_kind if (count := len(self.take(kind)))}

    @property
    def newest_day(self) -> date:
        """The day of the newest reading of any kind; there must be one."""
        return max(r.day for found in self.by_kind.values() for r in found)

    def beside(self, reading: Reading, kind: str) -> Reading | None:
        """The reading of another kind made of the same thing, in the same visit and series."""
        found = [r for r in self.by_kind.get(kind, ())
                 if (r.of, r.visit_id, r.series) == (reading.of, reading.visit_id, reading.series)]
        return found[-1] if found else None


def ground_of(record: PropertyRecord, trees: Iterable[Tree]) -> Ground:
    """Everything that was read at these trees and in the ground around them.

    Parameters
    ----------
    record : the property, corrections applied.
    trees : one tree, or the trees of a yardstick; at least one.

    Returns
    -------
    Ground. Values in the unit of their kind.

    Raises
    ------
    Nothing.

    Notes
    -----
    A tree without a pit or sample of its own takes those of its place that belong to no tree.

    References
    ----------
    None: which reading speaks for which tree is JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Place, Property
    >>> place = Place("l", "p", "green", "lawn")
    >>> oak = Tree("t", "p", "l", "oak 1", None, None)
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> ground_of(PropertyRecord(owner, (place,), (oak,), (), (), (), (), (), {}), [oak]).place_kind
    'lawn'
    """
    these = tuple(trees)
    subjects = set[str]()
    for tree in these:
        pits = record.pits_of(tree.id) or tuple(p for p in record.pits
                                                if p.tree_id is None and p.place_id == tree.place_id)
        subjects |= {tree.id, tree.place_id} | {p.id for p in pits} | {s.id for s in record.samples_of(tree)}
    by_kind: dict[str, tuple[Reading, ...]] = {}
    cones = (reading for reading in record.readings if reading.kind == CONE)
    for reading in (*record.of(*subjects), *cones):
        by_kind[reading.kind] = (*by_kind.get(reading.kind, ()), reading)
    return Ground(record.place_of(these[0]).kind, by_kind)
