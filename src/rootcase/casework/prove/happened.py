"""What befell trees of a trial that the treatment did not do: told beside the answer, never a reason to drop one."""

from __future__ import annotations

from typing import Literal

from rootcase.ground.dates import season_year
from rootcase.records.observe import PropertyRecord, Reading
from rootcase.records.prove import DISTURBING, Happened

GONE: tuple[Literal["removed", "dead"], ...] = ("removed", "dead")
"""Choices of the reading tree_status after which no shoot grows."""


def happened_to(record: PropertyRecord, tree_id: str, *, treated: bool, first: int, begun: int) -> tuple[Happened, ...]:
    """What was told of a tree of a trial since its first season was read, beside the treatment.

    Parameters
    ----------
    record : the property, corrections applied.
    tree_id : a tree of a pair that is in the answer.
    treated : its arm.
    first : season of its first shoot that counts.
    begun : season in which its pair's treated tree got it.

    Returns
    -------
    Happened, oldest first: changes from outside, roots cut since the work, and that it is gone by now.

    Raises
    ------
    Nothing.

    Notes
    -----
    Roots count as cut where a larger share was told after the season of the work than up to it. What strikes a whole
    place, as a trench or a drought, strikes both trees of a pair and is left to their comparison.

    References
    ----------
    Common practice, no source; what disturbs is the list of choices of the reading outside_change (JUDGEMENT).

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> empty = PropertyRecord(ground, (), (), (), (), (), (), (), {})
    >>> happened_to(empty, "t1", treated=True, first=2012, begun=2014)
    ()
    """
    def season(reading: Reading) -> int:
        return season_year(reading.day, record.property.latitude_deg)

    def told(reading: Reading, what: str) -> Happened:
        return Happened(tree_id=tree_id, treated=treated, what=what, day=reading.day,
                        note=reading.attributes.get("note", ""))

    found = [told(each, each.choice) for each in record.of(tree_id, kind="outside_change")
             if each.choice in DISTURBING and season(each) >= first]
    cut = [each for each in record.of(tree_id, kind="roots_cut_share") if each.value is not None]
    before = max((each.value or 0.0 for each in cut if season(each) <= begun), default=0.0)
    found += [told(each, "roots_cut") for each in cut if season(each) > begun and (each.value or 0.0) > before][:1]
    status = record.of(tree_id, kind="tree_status")
    found += [told(each, each.choice) for each in status[-1:] if each.choice in GONE]
    return tuple(sorted(found, key=lambda each: each.day))
