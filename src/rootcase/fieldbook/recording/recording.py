"""The door for the record of what was put on: told, corrected, copied, walked."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime

from sqlalchemy import String, func, literal_column, select, text

from rootcase.fieldbook.applied.log import ClientCopyGiven, LitresTold
from rootcase.fieldbook.canonical import read_canonical
from rootcase.fieldbook.events import Event, read_body
from rootcase.fieldbook.making.by_batch import told_by_batch
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.recording.outline import AT_ONCE, Outline, in_turns, outline, outlined, told_once, tree_labels
from rootcase.fieldbook.signed import require_code
from rootcase.fieldbook.sound import moment_of
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.links import Walked, head_of, walk
from rootcase.fieldbook.store.schema import events, record_links
from rootcase.fieldbook.view import heads, view
from rootcase.ground.clock import is_zone
from rootcase.ground.errors import Missing, UnreadableValue
from rootcase.ground.ids import SIGNS
from rootcase.ground.words import say
from rootcase.records.apply.done import Application, ChainHead, Product

_PUT_ON, _SLOT = "events.kind = 'put_on_logged'", literal_column("json_extract(events.body, '$.slot')", String())
_LOAD = literal_column("json_extract(events.body, '$.load')", String())
"""As an index has them, which answers what is asked in just these words."""
_MOST_DIGITS = 18
Told = PutOnLogged | ClientCopyGiven | LitresTold
Link = tuple[int, str, str, str]
"""Number, flags, the mark before, its own."""


@dataclass(frozen=True, slots=True)
class _Held:
    """Every record as it stood at a head of the chain."""

    head: ChainHead
    every: tuple[Application, ...]


class Recording:
    """What was put on, each word of it linked to the one before."""

    def __init__(self, store: Store, now: Callable[[], datetime], device: str, new_id: Callable[[], str]) -> None:
        self._store, self._now, self._device, self._new_id = store, now, device, new_id
        self._held: _Held | None = None
        self._outline: Outline | None = None

    def new_id(self) -> str:
        """An id for the slot of what is told once."""
        return self._new_id()

    def now(self) -> datetime:
        """The moment by the fieldbook's clock."""
        return self._now().astimezone(UTC)

    def applications(self, property_id: str | None = None) -> tuple[Application, ...]:
        """Every record as it stands, newest day first; of one property, or of all."""
        if property_id is None:
            return self._all_at_hand()
        return _newest_first(words[-1] for words in self._words(PutOnLogged.KIND, property_id).values())

    def outline(self) -> Outline:
        """Which records stand and in what order; only those to which something came since are asked about anew."""
        held, head = self._outline, self.head()
        if held is not None and held.head == head:
            return held
        slots = self._came_since(held.head) if held else None
        if held is None or slots is None or len(slots) > AT_ONCE:
            with self._store.whole_file() as file:
                known, slots = told_once(file, self._store.practice_id) if file.dialect.name == "sqlite" else ([], None)
        else:
            came = set(slots)
            known = [one for one in held.every if one.slot not in came]
        found = self.applications() if slots is None else self.of_slots(slots)
        self._outline = outline(head, [*known, *map(outlined, found)])
        return self._outline

    def of_slots(self, slots: Sequence[str]) -> tuple[Application, ...]:
        """The records of these slots as they stand, in this order."""
        found = {slot: words[-1] for some in in_turns(slots)
                 for slot, words in self._words(PutOnLogged.KIND, None, some).items()}
        return tuple(found[slot] for slot in slots if slot in found)

    def of_loads(self, loads: Sequence[str]) -> tuple[Application, ...]:
        """What was put on from these loads, as it stands; of what was told by its batch, what can only be of one."""
        wanted = set(loads)
        asked = select(_SLOT).where(events.c.practice_id == self._store.practice_id, text(_PUT_ON))
        with self._store.whole_file() as file:
            if file.dialect.name != "sqlite":
                return tuple(one for one in self.applications() if one.load_id in wanted)
            told = [slot for some in in_turns(loads) for slot in file.scalars(asked.where(_LOAD.in_(some)))]
        found = self.of_slots([*dict.fromkeys([*told, *self._slots_meant(wanted)])])
        return tuple(one for one in found if one.load_id in wanted)

    def tree_labels(self, trees: Iterable[str]) -> dict[str, str]:
        """What trees are called, by id, without reading what else is known at their properties."""
        with self._store.whole_file() as file:
            if file.dialect.name == "sqlite":
                return tree_labels(file, self._store.practice_id, trees)
        with self._store.reading() as look:
            return {tree.id: tree.label for opened in look.properties().values() for tree in view(opened).trees}

    def words(self, slot: str) -> tuple[Application, ...]:
        """Every word that was ever told of one record, the oldest first."""
        return self._words(PutOnLogged.KIND, None, [slot]).get(slot, ())

    def named(self, named: str) -> Application:
        """The record of this number in the chain, or else whose id or slot is or ends so."""
        told = named.strip()
        standing = [words[-1] for words in self._words(PutOnLogged.KIND, None, self._slots_named(told)).values()]
        found = [one for one in standing if told == str(one.number)] or [
            one for one in standing if told in (one.id, one.slot)
            or (len(told) >= SIGNS and (one.id.endswith(told) or one.slot.endswith(told)))]
        if len(found) != 1:
            raise Missing(say("log.several" if found else "log.no_such"), value=named, right=say("log.see_list"))
        return found[0]

    def as_told(self, property_id: str, body: PutOnLogged) -> Application:
        """A record as it would stand, before it is kept."""
        made_at = written(self.now())
        return self._application(Event("", self._store.practice_id, property_id, made_at, self._device, body),
                                 (0, "", "", ""))

    def copies(self) -> Mapping[str, date]:
        """When the client was given a copy, by slot of the record; the first time."""
        found: dict[str, date] = {}
        for event in self._standing(ClientCopyGiven.KIND):
            assert isinstance(event.body, ClientCopyGiven)
            found.setdefault(event.body.record, event.body.day)
        return found

    def litres(self) -> tuple[LitresTold, ...]:
        """Where litres of batches went, as it stands."""
        return tuple(self.litres_by_id().values())

    def litres_by_id(self) -> dict[str, LitresTold]:
        """The same, by the id of each word."""
        return {event.id: event.body for event in self._standing(LitresTold.KIND)
                if isinstance(event.body, LitresTold)}

    def tell(self, property_id: str, body: Told) -> Event:
        """Keep one word. What happened is kept whatever stands against it; its link says what that is."""
        require_code(body.by, [])
        with self._store.writing() as turn:
            here = [each for each in turn.events(property_id) if each.body.slot == body.slot]
            head = heads(here).get(body.slot)
            if head is not None:
                if replace(body, supersedes=head.event.body.supersedes) == head.event.body:
                    return head.event  # a key pressed twice tells once
                body = replace(body, supersedes=head.event.id)
            event = Event(self._new_id(), self._store.practice_id, property_id, written(self.now()), self._device, body)
            turn.add([event])
        return event

    def head(self) -> ChainHead:
        """How long the chain is, and the mark of its last link."""
        with self._store.whole_file() as file:
            return head_of(file, self._store.practice_id)

    def look_on(self) -> Walked:
        """How the chain stands, walked from where the look before ended: a page costs what is new. What was changed
        before that since is seen by `verify` alone."""
        return self._store.look_at_chain()

    def links_ahead(self) -> int:
        """How many links the next look on has to walk."""
        walked = self._store.walked
        return self.head().count - (walked.head.count if walked and not walked.fault else 0)

    def look_on_from(self, walked: Walked) -> Walked:
        """The same, from where another process came to."""
        self._store.walked = walked
        return self.look_on()

    def verify(self, anchors: Sequence[ChainHead] = ()) -> Walked:
        """Walk the chain. anchors: heads that were printed, or stood in a backup."""
        with self._store.whole_file() as file:
            return walk(self._store.practice_id, lambda asked, of: file.execute(text(asked), of), anchors)

    def _slots_named(self, named: str) -> list[str]:
        """Slots of the records that a number or the end of an id may mean; all it may be where nothing can be asked so.
        """
        asked = select(_SLOT).where(events.c.practice_id == self._store.practice_id, text(_PUT_ON))
        ends = (func.substr(events.c.id, -len(named)) == named) | (func.substr(_SLOT, -len(named)) == named)
        number = int(named) if named.isdecimal() and len(named) <= _MOST_DIGITS else 0
        numbered = select(record_links.c.event_id).where(record_links.c.practice_id == self._store.practice_id,
                                                         record_links.c.number == number)
        with self._store.whole_file() as file:
            if file.dialect.name != "sqlite":
                return []
            found = list(file.scalars(asked.where(events.c.id == file.scalar(numbered))))
            return found or list(dict.fromkeys(file.scalars(asked.where(ends)))) or [""]

    def _all_at_hand(self) -> tuple[Application, ...]:
        """Every record; those to which something came are read anew, and all where the chain is not the one held."""
        held, head = self._held, self.head()
        slots = self._came_since(held.head) if held else None
        if held and slots is not None:  # what else decides may be told anew beside the chain: loads, the clock's place
            slots += [one.slot for one in held.every if one.batch_id or "zone_not_known" in one.flags]
        if held is None or slots is None or len(slots) > AT_ONCE:
            held, found = None, self._words(PutOnLogged.KIND, None)
        else:
            found = {one.slot: (one,) for one in held.every} | (
                self._words(PutOnLogged.KIND, None, slots) if slots else {})
        if held is None or held.head != head or slots:
            held = _Held(head, _newest_first(words[-1] for words in found.values()))
            self._held = held
        return held.every

    def _came_since(self, known: ChainHead) -> list[str] | None:
        """Slots of records that were linked since; None where that link is not there, or nothing can be asked so."""
        asked = (select(record_links.c.number, record_links.c.mark, events.c.kind, _SLOT.label("slot"))
                 .join(events, (record_links.c.practice_id == events.c.practice_id)
                       & (record_links.c.event_id == events.c.id))
                 .where(record_links.c.practice_id == self._store.practice_id, record_links.c.number >= known.count)
                 .order_by(record_links.c.number))
        with self._store.whole_file() as file:
            last, *came = (file.execute(asked).all() if file.dialect.name == "sqlite" else ()) or (None,)
        if last is None or (last.number, last.mark) != (known.count, known.mark):
            return None
        return list(dict.fromkeys(row.slot for row in came if row.kind == PutOnLogged.KIND))

    def _rows(self, kind: str, property_id: str | None, slots: Sequence[str] = ()) -> list[tuple[Event, Link]]:
        """Events of a kind with their links, in the order received. slots: of records, only these; none named: all."""
        before = record_links.alias("before")
        asked = (select(events, record_links.c.number, record_links.c.flags, record_links.c.mark,
                        before.c.mark.label("prev"))
                 .outerjoin(record_links, (record_links.c.practice_id == events.c.practice_id)
                            & (record_links.c.event_id == events.c.id))
                 .outerjoin(before, (before.c.practice_id == events.c.practice_id)
                            & (before.c.number == record_links.c.number - 1))
                 .where(events.c.practice_id == self._store.practice_id, events.c.kind == kind))
        if property_id is not None:
            asked = asked.where(events.c.property_id == property_id)
        with self._store.whole_file() as file:
            if slots and file.dialect.name == "sqlite":
                asked = asked.where(text(_PUT_ON), _SLOT.in_(slots))
            rows = sorted(file.execute(asked), key=lambda row: row.received)  # asked in order, it goes through all
            return [(Event(row.id, row.practice_id, row.property_id, row.made_at, row.device,
                           read_body(row.kind, row.body)),
                     (row.number or 0, row.flags or "", row.prev or "", row.mark or ""))
                    for row in rows]

    def _standing(self, kind: str) -> Iterable[Event]:
        return [head.event for head in heads(event for event, _ in self._rows(kind, None)).values()]

    def _words(self, kind: str, property_id: str | None, slots: Sequence[str] = ()
               ) -> dict[str, tuple[Application, ...]]:
        """Every word by slot, the standing one last."""
        rows = self._rows(kind, property_id, slots)
        meant = self._meant() if any(getattr(event.body, "batch", "") for event, _ in rows) else {}
        standing = {head.event.id for head in heads(event for event, _ in rows).values()}
        before: Counter[str] = Counter(event.body.slot for event, _ in rows)
        found: dict[str, list[Application]] = defaultdict(list)
        for event, link in sorted(rows, key=lambda row: row[0].id in standing):
            one = self._application(event, link)
            one = replace(one, load_id=meant.get(one.id, "")) if one.batch_id and not one.load_id else one
            found[one.slot].append(replace(one, corrects=before[one.slot] - 1))
        return {slot: tuple(words) for slot, words in found.items() if words[-1].id in standing}

    def _slots_meant(self, loads: Collection[str]) -> list[str]:
        """Slots of records that tell a batch and can only be of one of these loads."""
        with self._store.whole_file() as file:
            return [read_canonical(each.row.put)["slot"] for each in told_by_batch(file, self._store.practice_id)
                    if each.load_id in loads]

    def _meant(self) -> dict[str, str]:
        """Of records that tell a batch: the only load that each can be of."""
        with self._store.whole_file() as file:
            return {each.row.put_id: each.load_id for each in told_by_batch(file, self._store.practice_id)}

    def _application(self, event: Event, link: Link) -> Application:
        """One word of the record; a zone that nobody knows is that of the property, and flagged."""
        body, flags = event.body, tuple(link[1].split())
        assert isinstance(body, PutOnLogged)
        if body.time_zone and not is_zone(body.time_zone):
            body, flags = replace(body, time_zone=self._zone_of(event.property_id)), (*flags, "zone_not_known")
        return _application(event, body, flags, link)

    def _zone_of(self, property_id: str) -> str:
        with self._store.reading() as look:
            opened = look.properties().get(property_id)
        return view(opened).property.time_zone if opened else ""


def _newest_first(found: Iterable[Application]) -> tuple[Application, ...]:
    return tuple(sorted(found, key=lambda one: (one.day, one.number), reverse=True))


def _application(event: Event, body: PutOnLogged, flags: tuple[str, ...], link: Link) -> Application:
    number, _, prev, mark = link
    named = body.product or body.registration or body.restricted
    product = Product(name=body.product, registration=body.registration, restricted=body.restricted) if named else None
    return Application(
        id=event.id, slot=body.slot, property_id=event.property_id, place_id="", tree_ids=(body.tree,),
        remedy=body.remedy, day=body.day, plan=body.plan, job_ids=body.jobs, part=body.part, load_id=body.load,
        batch_id=body.batch,
        started=_moment(body.started), ended=_moment(body.ended), time_zone=body.time_zone, applicator=body.by,
        applicator_licence=body.licence, helpers=body.helpers, no_helper=body.no_helper, amount=body.amount,
        litres=body.volume_l, mass_kg=body.mass_kg, area_m2=body.area_m2, area=body.area, site=body.site,
        product=product, method=body.method, weather=body.weather, soil=body.soil, not_done=body.not_done,
        note=body.note, flags=flags,  # type: ignore[arg-type]  # as the chain wrote them
        number=number, prev=prev, mark=mark)


def _moment(text: str) -> datetime | None:
    """As it was told; of what was taken in before anybody looked at it, none where it is no moment."""
    try:
        return moment_of(text) if text else None
    except UnreadableValue:
        return None
