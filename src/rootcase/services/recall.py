"""Recall: whom to ring about a batch, and the way from a heap to a tree and back."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from itertools import groupby
from zoneinfo import ZoneInfo

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.making.heap_log import heaps_of
from rootcase.fieldbook.making.tracing import Level
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.ground.errors import Missing
from rootcase.ground.ids import SIGNS
from rootcase.ground.length import MOST_LINE, too_long
from rootcase.ground.words import say
from rootcase.records.make.batch import Batch
from rootcase.records.make.heap import Heap, HeapPart
from rootcase.records.make.trace import Recall, RecalledProperty, Traced, TracedPart
from rootcase.services.make_batch import batch_named, batches


def recall(book: Fieldbook, batch: Batch) -> Recall:
    """Every property that had of a batch, those that nobody rang yet first."""
    ways = book.making.tracing.of("batch", batch.id)
    children = book.making.tracing.with_children()
    applied = sorted((way.applied for way in ways if way.applied),
                     key=lambda each: (each.property_name.casefold(), each.property_id))
    properties = [RecalledProperty(
        property_id=property_id, name=name, applied=tuple(own), children=property_id in children,
        rung=tuple(ring for ring in batch.rung if ring.property_id == property_id))
        for (property_id, name), own in groupby(applied, lambda each: (each.property_id, each.property_name))]
    return Recall(
        batch=batch, heap_name=ways[0].heap_name if ways else "", time_zone=_zone(ways), why=_why(batch),
        properties=tuple(sorted(properties, key=lambda each: bool(each.rung))),
        loads_not_put_on=tuple(way.load_id for way in ways if way.load_id and way.applied is None),
        extract_without_load=_without_load(book, batch, ways))


def recalled_at(book: Fieldbook, property_id: str) -> tuple[Recall, ...]:
    """Every batch that went to a property and was called back."""
    tracing = book.making.tracing
    loads = dict.fromkeys(one.load_id for one in book.recording.applications(property_id)
                          if one.load_id and not one.not_done)
    made = dict.fromkeys(way.batch_id for load in loads for way in tracing.of("load", load))
    made |= dict.fromkeys(way.batch_id for tree in dict.fromkeys(
        tree for one in book.recording.applications(property_id) if one.batch_id and not one.not_done
        for tree in one.tree_ids) for way in tracing.of("tree", tree))
    found = (batch_named(book, each) for each in made)
    return tuple(recall(book, batch) for batch in found if batch.refused_since)


def load_went_to(book: Fieldbook, batch: Batch, cells: Mapping[str, str], by: str) -> Mapping[str, str]:
    """Say afterwards to which tree a load went, on the day it was filled; returns what is wrong, by field.

    cells: load, tree (its label, or the end of its id), amount, mark.
    """
    load = next((each for each in batch.loads if each.id == cells.get("load", "")), None)
    named, amount = cells.get("tree", "").strip(), cells.get("amount", "").strip()
    found = [(ground.id, tree.id) for ground in book.properties() for tree in book.record(ground.id).trees
             if named and (named in (tree.id, tree.label) or (len(named) >= SIGNS and tree.id.endswith(named)))]
    wrong = dict(too_long({"tree": named, "amount": amount}, MOST_LINE))
    wrong |= {} if load else {"load": say("made.recall.which_load")}
    wrong |= {} if len(found) == 1 else {"tree": say("made.recall.several_trees" if found else "made.recall.no_tree")}
    if wrong or load is None:
        return wrong
    property_id, tree_id = found[0]
    zone = ZoneInfo(_zone(book.making.tracing.of("batch", batch.id)))
    slot = named_id(book.store.practice_id, "went to", cells.get("mark", ""), load.id, tree_id, amount)
    book.making.put_on(property_id, PutOnLogged(
        slot=slot, tree=tree_id, remedy="extract", day=load.at.astimezone(zone).date(), by=by, amount=amount,
        load=load.id))
    return {}


def trace(book: Fieldbook, named: str, level: Level | None = None) -> tuple[Traced, ...]:
    """Every way through what went into a heap, a heap, batch, load or tree: by a feedstock, supplier or lot as told, a
    batch's number, a heap's name, a tree's label, or an id or its end; through all that fit, where `level` names
    none. A heap with such a part of which nothing was made is a way of its own."""
    tracing = book.making.tracing
    fitting = [(each, found(book, named)) for each, found in _FOUND.items() if level in (None, each)]
    ways = dict.fromkeys(way for each, ids in fitting for an_id in ids for way in tracing.of(each, an_id))
    made_of = {way.heap_id for way in ways}
    for heap in heaps_of(book.making.events()):
        if heap.id not in made_of and any({_PARTS[each](part) for part in heap.parts} & {*words}
                                          for each, words in fitting if each in _PARTS):
            ways[_unused(heap)] = None
    if ways:
        return tuple(ways)
    raise Missing(say("batch.trace.nothing"), value=named, right=say("batch.trace.right"))


def _why(batch: Batch) -> str:
    judged = batch.judgement
    return batch.refused_since or (judged.why[0] if judged and judged.why else "")


def _without_load(book: Fieldbook, batch: Batch, ways: Sequence[Traced]) -> int:
    """From the day of its first load to that until which it was good, where the heap lies; a record names a day and no
    hour."""
    if not batch.loads:
        return 0
    zone, until = ZoneInfo(_zone(ways)), batch.judgement and batch.judgement.good_until
    moments = [*(load.at for load in batch.loads), *([until] if until else [])]
    days = sorted(moment.astimezone(zone).date().isoformat() for moment in moments)
    return book.making.tracing.extract_without_load(days[0], days[-1])


def _zone(ways: Sequence[Traced]) -> str:
    return next((way.time_zone for way in ways), "") or "UTC"


def _heaps(book: Fieldbook, named: str) -> Sequence[str]:
    return [heap.id for heap in heaps_of(book.making.events())
            if named in (heap.id, heap.name) or (len(named) >= SIGNS and heap.id.endswith(named))]


def _batches(book: Fieldbook, named: str) -> Sequence[str]:
    return [batch.id for batch in batches(book) if named.strip().lstrip("#") == str(batch.number)
            or named == batch.id or (len(named) >= SIGNS and batch.id.endswith(named))]


def _loads(book: Fieldbook, named: str) -> Sequence[str]:
    return [load.id for batch in batches(book) for load in batch.loads
            if named == load.id or (len(named) >= SIGNS and load.id.endswith(named))]


def _trees(book: Fieldbook, named: str) -> Sequence[str]:
    return sorted({tree.id for ground in book.properties() for tree in book.record(ground.id).trees
                   if named in (tree.id, tree.label) or (len(named) >= SIGNS and tree.id.endswith(named))})


def _unused(heap: Heap) -> Traced:
    parts = tuple(TracedPart(material=part.material, bought_from=part.bought_from, lot=part.lot) for part in heap.parts)
    return Traced(heap_id=heap.id, heap_name=heap.name, time_zone=heap.time_zone, parts=parts)


_PARTS: Mapping[Level, Callable[[HeapPart], str]] = {
    "feedstock": lambda part: part.material, "supplier": lambda part: part.bought_from, "lot": lambda part: part.lot}
"""What is told of each part of a heap."""


def _told_of_parts(book: Fieldbook, named: str, level: Level) -> Sequence[str]:
    """Each wording in which it stands; of a feedstock a word of its name is enough, since a recall errs to more."""
    asked = _plain(named)
    told = {_PARTS[level](part) for heap in heaps_of(book.making.events()) for part in heap.parts}
    return sorted(each for each in told if asked and (
        _plain(each) == asked or (level == "feedstock" and asked in _plain(each).split())))


def _plain(words: str) -> str:
    """A material of the library has underscores in its name."""
    return " ".join(words.casefold().replace("_", " ").split())


_FOUND: Mapping[Level, Callable[[Fieldbook, str], Sequence[str]]] = {
    **{level: partial(_told_of_parts, level=level) for level in _PARTS},
    "heap": _heaps, "batch": _batches, "load": _loads, "tree": _trees}
"""Ids of what is called so, by level."""
