"""What befell trees of a trial that the treatment did not do: told beside the answer, never a reason to drop one."""

from __future__ import annotations

from datetime import date
from typing import Literal

from rootcase.casework.compare.shoots import SHOOT_KINDS
from rootcase.ground.dates import season_year
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.records.prove import DISTURBING, Happened

GONE: tuple[Literal["removed", "dead"], ...] = ("removed", "dead")
"""Choices of the reading tree_status after which no shoot grows."""


def happened_to(record: PropertyRecord, tree_id: str, *, treated: bool, before: int, after: int,
                apart: bool) -> tuple[Happened, ...]:
    """What was told of a tree of a trial between its shoots before and after, beside the treatment.

    Parameters
    ----------
    record : the property, corrections applied.
    tree_id : a tree of a pair that is in the answer.
    treated : its arm.
    before : last season that was read before the work.
    after : last season that was read since.
    apart : its partner stands at another place.

    Returns
    -------
    Happened, oldest first: changes from outside, roots cut, what struck its place alone, and that it is gone by now.

    Raises
    ------
    Nothing.

    Notes
    -----
    Changes count where they were told after the last season before and until the last shoot was read; roots where a
    larger share was told then than up to it. What strikes a whole place, as a trench or a flood, strikes both trees
    of a pair that stand there and is left to their comparison; a dry year is one of every place.

    References
    ----------
    Common practice, no source; what disturbs is the list of choices of the readings outside_change and site_event
    (JUDGEMENT).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> happened_to(empty, "t1", treated=True, before=2013, after=2015, apart=False)
    ()
    """
    last_read = max((each.day for each in record.of(tree_id) if each.kind in SHOOT_KINDS), default=date.min)

    def told(reading: Reading, what: str) -> Happened:
        return Happened(tree_id=tree_id, treated=treated, what=what, day=reading.day,
                        note=reading.attributes.get("note", ""))

    def since(reading: Reading) -> bool:
        return season_year(reading.day, record.property.latitude_deg) > before

    def between(reading: Reading) -> bool:
        return since(reading) and reading.day <= last_read

    found = [told(each, each.choice) for each in record.of(tree_id, kind="outside_change")
             if each.choice in DISTURBING and between(each)]
    cut = [each for each in record.of(tree_id, kind="roots_cut_share") if each.value is not None]
    known = max((each.value or 0.0 for each in cut if not since(each)), default=0.0)
    found += [told(each, "roots_cut") for each in cut if between(each) and (each.value or 0.0) > known][:1]
    if apart:
        found += [told(each, each.choice) for each, year in _at_its_place(record, tree_id) if each.choice in DISTURBING
                  and (between(each) if year is None else before <= year <= after)]
    status = record.of(tree_id, kind="tree_status")
    found += [told(each, each.choice) for each in status[-1:] if each.choice in GONE]
    return tuple(sorted(found, key=lambda each: each.day))


def _at_its_place(record: PropertyRecord, tree_id: str) -> list[tuple[Reading, int | None]]:
    """What happened at the place of a tree, with its year where that was told."""
    place_id = next((tree.place_id for tree in record.trees if tree.id == tree_id), "")
    years = {(each.visit_id, each.series): int(each.value) for each in record.of(place_id, kind="site_event_year")
             if each.value is not None}
    return [(each, years.get((each.visit_id, each.series))) for each in record.of(place_id, kind="site_event")]
