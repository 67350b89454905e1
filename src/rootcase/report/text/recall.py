"""A recall in words: the facts, and to whom they are told; what they mean for health the authority says."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from zoneinfo import ZoneInfo

from rootcase.ground.dates import show_date
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.make.trace import Applied, Recall, RecalledProperty, Traced
from rootcase.report.text.batch import day_and_clock, load_told
from rootcase.report.text.naming import remedy_name
from rootcase.report.text.record import flags_told


def recall_finding(found: Recall) -> str:
    """Title of a recall: what is known, and how far it went."""
    loads, properties = len(found.batch.loads), len(found.properties)
    children = sum(each.children for each in found.properties)
    lines = [say("batch.recall.finding" if found.why else "batch.recall.not_called_back", number=found.batch.number,
                 why=found.why),
             say("batch.recall.went", loads=loads, trees=found.trees, properties=properties)]
    lines += [say("batch.recall.children", count=children)] if children else []
    return " ".join(lines)


def recall_doubts(found: Recall, system: System) -> tuple[str, ...]:
    """What the list may lack; a load that went nobody knows where is named."""
    lines = []
    if found.loads_not_put_on:
        lines.append(say("batch.recall.not_put_on", count=len(found.loads_not_put_on)))
        lines += _lost(found, system)
    if found.extract_without_load:
        lines.append(say("batch.recall.without_load", count=found.extract_without_load))
    return tuple(lines)


def _lost(found: Recall, system: System) -> Iterator[str]:
    zone = ZoneInfo(found.time_zone)
    for load in found.batch.loads:
        if load.id in found.loads_not_put_on:
            at, tank, volume, *_ = load_told(found.batch, load, system, zone)
            yield say("batch.recall.lost", at=at, tank=tank, volume=volume)


def put_on_lines(one: RecalledProperty) -> tuple[str, ...]:
    """What was put on at a property, a line a record."""
    return tuple(say("batch.recall.put_on", tree=each.tree_label or each.tree_id, remedy=remedy_name(each.remedy),
                     day=show_date(date.fromisoformat(each.day)),
                     amount=each.amount_typed or say("batch.recall.no_amount")) for each in one.applied)


def against_lines(one: RecalledProperty) -> tuple[str, ...]:
    """What stood against each piece of work there when it was put on, a line each that has something."""
    return tuple(say("batch.recall.against", number=each.number, why=" ".join(flags_told(each.flags)))
                 for each in one.applied if each.flags)


def went_lines(ways: Iterable[Traced]) -> tuple[tuple[Applied, str, str], ...]:
    """Each tree that had of a batch, with what was put on in words, and what stood against that."""
    return tuple((one, say("batch.recall.went_to", tree=one.tree_label or one.tree_id, property=one.property_name,
                           day=show_date(date.fromisoformat(one.day)),
                           amount=one.amount_typed or say("batch.recall.no_amount")), " ".join(flags_told(one.flags)))
                 for one in (way.applied for way in ways) if one)


def client_lines(recalls: Iterable[Recall], property_id: str) -> tuple[str, ...]:
    """What a client is told of batches that were called back after they went to their ground: as at a call."""
    return tuple(words_to_say(found, one) for found in recalls for one in found.properties
                 if one.property_id == property_id)


def words_to_say(found: Recall, one: RecalledProperty) -> str:
    """What is said at a call: what was put on, where and when, and what is known of the batch since."""
    days = sorted({each.day for each in one.applied})
    trees = sorted({each.tree_label or each.tree_id for each in one.applied})
    return say("batch.recall.say", days=", ".join(show_date(date.fromisoformat(day)) for day in days),
               trees=", ".join(trees), number=found.batch.number, why=found.why or say("batch.recall.nothing_known"))


def rung_lines(found: Recall, one: RecalledProperty) -> tuple[str, ...]:
    """Calls on record, by the day where the heap lies, or that there is none."""
    zone = ZoneInfo(found.time_zone)
    return tuple(say("batch.recall.rung", day=show_date(ring.at.astimezone(zone).date()), by=ring.by, note=ring.note)
                 for ring in one.rung) or (say("batch.recall.not_rung"),)


def calls_elsewhere(found: Recall, names: Mapping[str, str]) -> tuple[str, ...]:
    """Calls to properties of which no record says that they had of it."""
    listed, zone = {each.property_id for each in found.properties}, ZoneInfo(found.time_zone)
    return tuple(say("batch.recall.rung_other", name=names.get(ring.property_id, ring.property_id), by=ring.by,
                     day=show_date(ring.at.astimezone(zone).date()), note=ring.note)
                 for ring in found.batch.rung if ring.property_id not in listed)


def load_choices(found: Recall, system: System) -> list[tuple[str, str]]:
    """Every load of the batch, as one picks it; those that went nobody knows where first."""
    zone, lost = ZoneInfo(found.time_zone), set(found.loads_not_put_on)
    told = [(load.id, *load_told(found.batch, load, system, zone)[:3])
            for load in sorted(found.batch.loads, key=lambda load: load.id not in lost)]
    return [(load_id, say("batch.recall.lost", at=at, tank=tank, volume=volume)) for load_id, at, tank, volume in told]


def recall_lines(found: Recall, system: System) -> Iterator[str]:
    """The list to ring, with what was put on, who was rung and the words to say."""
    yield recall_finding(found)
    yield from recall_doubts(found, system)
    for one in found.properties:
        yield one.name or one.property_id
        yield from put_on_lines(one)
        yield from against_lines(one)
        yield from rung_lines(found, one)
        yield say("batch.recall.say_this", words=words_to_say(found, one))


def traced_line(way: Traced) -> str:
    """One way from a heap to a tree."""
    parts = ", ".join(" ".join(filter(None, (part.material, part.bought_from, part.lot))) for part in way.parts)
    said = [say("batch.trace.heap", heap=way.heap_name or way.heap_id, parts=parts or say("batch.trace.no_parts")),
            say("batch.trace.not_used") if way.batch_number is None else say("batch.named", number=way.batch_number)]
    if way.load_at is not None:
        said.append(say("batch.trace.load", at=day_and_clock(way.load_at, ZoneInfo(way.time_zone or "UTC"))))
    if way.applied is not None:
        said.append(say("batch.trace.tree", tree=way.applied.tree_label or way.applied.tree_id,
                        property=way.applied.property_name, day=show_date(date.fromisoformat(way.applied.day))))
    return " → ".join(said)
