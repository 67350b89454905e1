"""The part of a property's record that decides one tree's explanation and outlooks, so that no more is made anew."""

from __future__ import annotations

from dataclasses import replace

from rootcase.casework.explain.ground import CONE
from rootcase.records.observe import PropertyRecord


def slice_for(record: PropertyRecord, tree_id: str) -> PropertyRecord:
    """What of a property's record one tree's explanation and outlooks are made of.

    Parameters
    ----------
    record : the property, corrections applied.
    tree_id : id of the tree.

    Returns
    -------
    The record of this tree and its yardstick's: their places, pits, samples, visits and readings. A tree the record
    does not hold leaves no tree.

    Raises
    ------
    Nothing.

    Notes
    -----
    Ground that belongs to no tree goes with its place. Which cone was in hand is said of a visit, and the newest year's
    words count, so all of them stay. Drawn ground, rules and signed trials decide nothing here. Casework is
    handed the slice instead of the whole, and so cannot lean on more.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> from rootcase.records.observe import Place, Property, Tree
    >>> lawn, bed = Place("l", "p", "lawn", "lawn"), Place("b", "p", "bed", "bed")
    >>> oak, elm = Tree("t", "p", "l", "oak 1", None, None), Tree("u", "p", "b", "elm 1", None, None)
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> both = PropertyRecord(owner, (lawn, bed), (oak, elm), (), (), (), (), (), {})
    >>> slice_for(both, "t") == PropertyRecord(owner, (lawn,), (oak,), (), (), (), (), (), {})
    True
    """
    yardsticks = tuple(each for each in record.yardsticks if each.id == record.compared_with.get(tree_id))
    wanted = {tree_id, *(kin for each in yardsticks for kin in each.tree_ids)}
    trees = tuple(tree for tree in record.trees if tree.id in wanted)
    places = tuple(place for place in record.places if place.id in {tree.place_id for tree in trees})
    around = {place.id for place in places}

    def theirs(of: str | None, place_id: str | None) -> bool:
        return of in wanted if of is not None else place_id in around

    pits = tuple(pit for pit in record.pits if theirs(pit.tree_id, pit.place_id))
    samples = tuple(sample for sample in record.samples if theirs(sample.tree_id, sample.place_id))
    subjects = {*wanted, *around, *(pit.id for pit in pits), *(sample.id for sample in samples)}
    readings = tuple(each for each in record.readings if each.of in subjects or each.kind == CONE)
    visits = tuple(visit for visit in record.visits if visit.id in {each.visit_id for each in readings})
    return replace(
        record, places=places, trees=trees, pits=pits, samples=samples, visits=visits, readings=readings,
        yardsticks=yardsticks, outlines=(), lines=(), keep_off=(), rules=(), learned=(),
        compared_with={of: yard for of, yard in record.compared_with.items() if of == tree_id})
