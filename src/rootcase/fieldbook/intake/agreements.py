"""Readings of one thing that must agree: where they do not, both are taken and doubted.

The bands are JUDGEMENT, but for the sum of sand, silt and clay, which is arithmetic with a lab's rounding. They catch
what no limit can: a girth read as a diameter, feet as metres, a share mistyped.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from rootcase.fieldbook.events import Body, ReadingTaken
from rootcase.ground.words import say
from rootcase.tables.readings import kinds


@dataclass(frozen=True, slots=True)
class _Agreement:
    """What a measure of several readings must lie between."""

    kinds: tuple[str, ...]
    measure: Callable[..., float]
    low: float
    high: float


_AGREEMENTS = (
    _Agreement(("tree_height", "dbh"), lambda height_m, dbh_mm: 1000 * height_m / dbh_mm, 15, 120),
    _Agreement(("crown_spread", "tree_height"), lambda spread_m, height_m: spread_m / height_m, 0.1, 2.5),
    _Agreement(("sand", "silt", "clay"), lambda *shares: sum(shares), 0.97, 1.03),
    _Agreement(("probe_depth", "rod_length"), lambda depth_mm, rod_mm: depth_mm / rod_mm, 0, 1),
)


def doubt_disagreements(drafts: dict[str, Body]) -> None:
    """Add a doubt to each reading that does not agree with another of the same thing, or of its visit."""
    for agreement in _AGREEMENTS:
        held = _values(drafts, agreement.kinds)
        for subject, found in held.items():
            values = {**held.get(("", subject[1]), {}), **found}
            if subject[0] and len(values) == len(agreement.kinds):
                _doubt(drafts, agreement, values)


def _values(drafts: Mapping[str, Body], wanted: tuple[str, ...]) -> dict[tuple[str, str], dict[str, ReadingTaken]]:
    """Readings by thing (with its repeat) and visit, then by kind; what is read of a visit itself has no thing."""
    held: dict[tuple[str, str], dict[str, ReadingTaken]] = defaultdict(dict)
    for body in drafts.values():
        if isinstance(body, ReadingTaken) and body.kind in wanted and body.value is not None:
            thing = "" if body.of == body.visit else f"{body.of} {body.series}"
            held[thing, body.visit][body.kind] = body
    return held


def _doubt(drafts: dict[str, Body], agreement: _Agreement, values: Mapping[str, ReadingTaken]) -> None:
    measured = agreement.measure(*(values[kind].value for kind in agreement.kinds))
    if agreement.low <= measured <= agreement.high:
        return
    typed = ", ".join(f"{kinds()[kind].label} {values[kind].typed}" for kind in agreement.kinds)
    for reading in values.values():
        earlier = drafts[reading.slot]
        assert isinstance(earlier, ReadingTaken)  # it was found as one
        drafts[reading.slot] = replace(earlier, doubts=(*earlier.doubts, say("intake.disagree", readings=typed)))
