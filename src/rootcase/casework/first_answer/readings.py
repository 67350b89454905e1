"""A tree of which only the five readings of the first look were taken."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from rootcase.casework.explain.slice import slice_for
from rootcase.records.first_answer import FirstReadings
from rootcase.records.observe import Pit, Place, PropertyRecord, Reading, Tree, Visit

TREE = "first answer"
_PIT, _VISIT = "first answer pit", "first answer visit"


def with_first_look(record: PropertyRecord, place: Place, yardstick_id: str, readings: FirstReadings, texture: str,
                    day: date) -> PropertyRecord:
    """A property on which one more tree stands, with the five readings and no other.

    Parameters
    ----------
    record : the property as it is known; may hold nothing but the place.
    place : where the tree stands, one of the record.
    yardstick_id : what it is compared with; empty: its growth class.
    readings : the five. [mm where they are lengths]
    texture : as felt there; empty: nobody felt it, or the record itself tells.
    day : of the look.

    Returns
    -------
    PropertyRecord : of this tree, `TREE`, its ground and its yardstick's trees alone.

    Raises
    ------
    Nothing.

    Notes
    -----
    The other compared trees are left out: at the desk they pull the share of a new one towards theirs.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> lawn = Place("l", "p", "lawn", "lawn")
    >>> bare = PropertyRecord(owner, (lawn,), (), (), (), (), (), (), {})
    >>> looked = with_first_look(bare, lawn, "", FirstReadings(shoots_mm=(80.0, 90.0)), "", date(2015, 12, 1))
    >>> [reading.value for reading in looked.readings]
    [80.0, 90.0]
    """
    owner = record.property.id
    told: list[tuple[str, str, float | None, str | None, str]] = []
    if readings.species:
        told.append(("species", TREE, None, readings.species, ""))
    told += [("shoot_length_last", TREE, mm, None, str(at)) for at, mm in enumerate(readings.shoots_mm)]
    for at, push in enumerate(readings.probes):
        told.append(("probe_depth", _PIT, push.depth_mm, None, str(at)))
        if push.stop:
            told.append(("probe_stop", _PIT, None, push.stop, str(at)))
    told += [(kind, of, None, choice, "") for kind, of, choice in (
        ("ground_under_crown", TREE, readings.ground), ("root_flare_state", TREE, readings.flare),
        ("texture_feel", _PIT, texture)) if choice]
    taken = tuple(Reading(f"{TREE} {at:02d}", kind, of, _VISIT, day, "", value, choice, "=", None, "", series=series,
                          attributes={"position": readings.position} if kind == "shoot_length_last" else {})
                  for at, (kind, of, value, choice, series) in enumerate(told))
    pit = (Pit(_PIT, owner, "", TREE, None),) if readings.probes or texture else ()
    whole = replace(
        record, trees=(*record.trees, Tree(TREE, owner, place.id, TREE, None, None)), pits=(*record.pits, *pit),
        visits=(*record.visits, Visit(_VISIT, owner, "", day, "")), readings=(*record.readings, *taken),
        compared_with={TREE: yardstick_id} if yardstick_id else {})
    return slice_for(whole, TREE)
