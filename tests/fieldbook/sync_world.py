"""A small world for the model test: phones, a network that loses, repeats and reorders, and the real store."""

from __future__ import annotations

import shutil
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random

from sqlalchemy import update

from rootcase.fieldbook.events import (
    KINDS,
    Body,
    Event,
    PlaceOpened,
    PropertyOpened,
    ReadingCorrected,
    ReadingTaken,
    ReadingTakenBack,
    TreeOpened,
    VisitStarted,
    body_text,
    read_body,
)
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.store import Store, open_store
from rootcase.fieldbook.store.keeping import generations
from rootcase.fieldbook.store.sent import Sent
from rootcase.fieldbook.taking_in import TakenIn, TakingIn
from rootcase.fieldbook.view import view
from rootcase.ground.ids import IdMaker
from rootcase.records.people import UNBOUND, Bounds
from rootcase.services.sync import held

BEGUN = datetime(2016, 1, 15, 12, tzinfo=UTC)
GROUND = "ground"
ANSWERED = ("new", "known", "waiting", "refused")


@dataclass
class Phone:
    """What a phone keeps and believes; the reference the real one is held to as well."""

    code: str
    ahead: timedelta
    within: Bounds
    waits: list[Sent] = field(default_factory=list)
    sent: dict[str, Sent] = field(default_factory=dict)
    """What a server has answered for."""
    generation: str = ""

    def hear(self, part: list[Sent], told: tuple[TakenIn, ...], generation: str,
             claims: list[tuple[str, str]]) -> None:
        """An answer: of what was sent only that leaves which is named with its own hash, or was kept aside."""
        self.generation = generation
        by_id = {each.id: each for each in told}
        for each in {each.hash: each for each in part if each in self.waits}.values():
            answer = by_id[each.id]
            if answer.state == "conflict" or (answer.hash == each.hash and answer.state in ANSWERED):
                self.waits.remove(each)
                self.sent[each.hash] = each
                claims.append((each.id, each.hash))

    def refill(self, held: dict[str, str], generation: str) -> None:
        """Another fieldbook answers: what it lacks is sent again."""
        for content, each in list(self.sent.items()):
            if held.get(each.id) != content:
                self.waits.append(self.sent.pop(content))
        self.generation = generation


class World:
    """One schedule, drawn from its seed."""

    def __init__(self, seed: int, folder: Path, template: Path) -> None:
        self.chance = Random(seed)
        self.path = folder / "book.sqlite"
        shutil.copy(template, self.path)
        self.now = BEGUN
        self.claims: list[tuple[str, str]] = []
        """Id and hash of all that was ever acknowledged."""
        self.made: dict[str, Event] = {}
        self.bad: set[str] = set()
        self.copies: list[tuple[str, str]] = []
        """Id and hash of what took another's id."""
        self.new_id = IdMaker(lambda: int(self.now.timestamp() * 1000), self.chance.randbytes)
        skews = [timedelta(0), timedelta(hours=self.chance.uniform(-30, 20)), timedelta(days=self.chance.uniform(1, 9))]
        bounds = [UNBOUND, Bounds("crew1"), UNBOUND]
        self.phones = [Phone(f"crew{number}", skews[number], bounds[number]) for number in range(3)]
        self.backup: Path | None = None
        self._open()

    def _open(self) -> None:
        self.store = open_store(self.path, "own")
        self.door = TakingIn(self.store)

    def close(self) -> None:
        self.store.close()

    def play(self, steps: int) -> None:
        """Some steps of everything that can happen, and then peace: everybody sends until nothing waits."""
        happenings = (*[self.write] * 5, *[self.send] * 4, self.restart, self.back_up, self.restore, self.clone)
        for _ in range(steps):
            self.now += timedelta(minutes=self.chance.randint(1, 90))
            self.chance.choice(happenings)()
        for phone in (*self.phones, *self.phones):  # the second time nobody can lack what another had to send again
            self._exchange(phone, list(phone.waits))

    def write(self) -> None:
        """Somebody notes something: of what they know, or on ground of their own."""
        phone = self.chance.choice(self.phones)
        readings = [each for each in self.made.values() if isinstance(each.body, ReadingTaken)
                    and each.id not in self.bad]
        if readings and self.chance.random() < 0.5:
            old = self.chance.choice(readings)
            again = {"slot": old.body.slot, "supersedes": old.id, "reason": "slip"}
            if self.chance.random() < 0.3:
                return self._note(phone, ReadingTakenBack(**again), old.property_id)
            return self._note(phone, _reading(old.body, self.chance.uniform(100, 900), again), old.property_id)
        return self._visit(phone)

    def _visit(self, phone: Phone) -> None:
        """A visit, a tree, and readings of it; at times on a property that is new, at times with one that cannot be."""
        property_id, place, tree, visit = GROUND, "lawn", self.new_id(), self.new_id()
        if self.chance.random() < 0.3:
            property_id, place = self.new_id(), self.new_id()
            self._note(phone, PropertyOpened(slot=self.new_id(), name="Elm Court", weather_station="", system="us",
                                             invented=False), property_id)
            self._note(phone, PlaceOpened(slot=self.new_id(), place=place, name="lawn", place_kind=""), property_id)
        self._note(phone, TreeOpened(slot=self.new_id(), tree=tree, label="B1", place=place), property_id)
        self._note(phone, VisitStarted(slot=self.new_id(), visit=visit, label="1", day=date(2016, 1, 15),
                                       observer=phone.within.code), property_id)
        for _ in range(self.chance.randint(1, 3)):
            body = ReadingTaken(slot=self.new_id(), kind="dbh", of=tree, visit=visit, typed="12 in", value=304.8)
            wrong = self.chance.random() < 0.2
            event = self._note(phone, replace(body, value=90_000.0) if wrong else body, property_id, bad=wrong)
            if wrong and self.chance.random() < 0.5:
                self._note(phone, _reading(body, 300.0, {"slot": body.slot, "supersedes": event.id}), property_id)

    def _note(self, phone: Phone, body: Body, property_id: str, *, bad: bool = False) -> Event:
        event = Event(self.new_id(), "own", property_id, written(self.now + phone.ahead), phone.code, body)
        self.made[event.id] = event
        self.bad |= {event.id} if bad else set()
        phone.waits.append(_sent(event))
        return event

    def clone(self) -> None:
        """A phone that was copied uses an id again, for something else."""
        phone = self.chance.choice(self.phones)
        known = [each for each in phone.sent.values() if each.kind == "reading_taken" and each.id not in self.bad]
        if known:
            old = self.made[self.chance.choice(known).id]
            assert isinstance(old.body, ReadingTaken)
            other = _sent(replace(old, body=replace(old.body, value=self.chance.uniform(100, 900))))
            self.copies.append((other.id, other.hash))
            phone.waits.append(other)

    def send(self) -> None:
        """A part of what waits goes out in any order; it is lost on the way, or its answer is, or it comes twice."""
        phone = self.chance.choice(self.phones)
        part = self.chance.sample(phone.waits, self.chance.randint(0, len(phone.waits)))
        part += self.chance.sample(part, self.chance.randint(0, len(part)))
        fate = self.chance.random()
        if fate < 0.2:
            return
        self._exchange(phone, part, lost=fate < 0.4)
        if fate > 0.8:
            self._exchange(phone, part)

    def _exchange(self, phone: Phone, part: list[Sent], *, lost: bool = False) -> None:
        """One sending, and before it the question what is held, where another fieldbook answers."""
        generation = self.store.generation
        if phone.generation not in ("", generation):
            phone.refill(held(self.store, [each.id for each in phone.sent.values()]).held, generation)
        told = self.door.take(part, self.now, within=phone.within, by=phone.code,
                              told_now=written(self.now + phone.ahead))
        if not lost:
            phone.hear(part, told, generation, self.claims)

    def restart(self) -> None:
        self.store.close()
        self._open()

    def back_up(self) -> None:
        self.backup = self.path.with_name("backup.sqlite")
        self.backup.write_bytes(b"")
        self.store.copy_into(self.backup)

    def restore(self) -> None:
        """An older copy takes the fieldbook's place."""
        if self.backup is None:
            return
        self.store.close()
        for ending in ("", "-wal", "-shm"):
            self.path.with_name(self.path.name + ending).unlink(missing_ok=True)
        shutil.copy(self.backup, self.path)
        self._open()
        bring_back(self.store, self.new_id())
        self.restart()

    def check(self) -> None:
        """All that was made is held once, all that was acknowledged too, and it looks as it does in any order."""
        with self.store.reading() as look:
            events = look.events()
            here = {each.id: each for each in events}
            aside = {(each.id, each.hash) for each in look.aside()}
            claimed, waiting = look.clock_claims(), look.waiting()
        assert not waiting, "everything has come"
        assert len(events) == len(here)
        wanted = {each.id: each for each in self.made.values() if each.id not in self.bad}
        ours = {an_id: each for an_id, each in here.items() if an_id in self.made or each.property_id != GROUND}
        assert ours.keys() == wanted.keys()
        own = {(an_id, each.hash) for an_id, each in here.items()}
        kept = own | aside
        assert {(an_id, self.made[an_id].hash) for an_id in self.bad} <= aside
        assert set(self.claims) <= kept
        assert all(pair in kept for pair in self.copies)
        for an_id, each in wanted.items():
            arrived = claimed.get(an_id)
            assert here[an_id].made_at == (arrived[1] if arrived else each.made_at)
            assert arrived is None or arrived[0] == each.made_at
        self._check_views(here, own)

    def _check_views(self, here: dict[str, Event], own: set[tuple[str, str]]) -> None:
        """Each property as it is told by what was made, in the order it was made."""
        begun = [each for each in here.values() if each.id not in self.made]
        copied = {an_id for an_id, content in self.copies if (an_id, content) in own}
        for property_id in {each.property_id for each in here.values()}:
            told = [replace(each, made_at=here[each.id].made_at, body=here[each.id].body if each.id in copied
                            else each.body) for each in (*begun, *self.made.values())
                    if each.property_id == property_id and each.id not in self.bad]
            assert view(self._of(property_id)) == view(told)

    def _of(self, property_id: str) -> list[Event]:
        with self.store.reading() as look:
            return look.events(property_id)


def make_template(path: Path) -> None:
    """A fieldbook with one property that everybody knows."""
    store = open_store(path, "own")
    bodies = (PropertyOpened(slot="p", name="Oak Lane", latitude_deg=47.6, longitude_deg=-122.3, weather_station="",
                             system="us", invented=False),
              PlaceOpened(slot="pl", place="lawn", name="lawn", place_kind="lawn"))
    with store.writing() as turn:
        turn.add([Event(f"begun {number}", "own", GROUND, "2016-01-01T12:00:00.000Z", "desk", body)
                  for number, body in enumerate(bodies)])
    store.empty_journal()
    store.close()


def bring_back(store: Store, generation: str) -> None:
    """What a restore does to the file beside copying it."""
    with store.whole_file(writes=True) as file:
        file.execute(update(generations).values(id=generation))


def _reading(body: Body, value: float, more: dict[str, str]) -> ReadingCorrected:
    assert isinstance(body, ReadingTaken)
    return ReadingCorrected(kind=body.kind, of=body.of, visit=body.visit, typed=f"{value} mm", value=value, **more)


def _sent(event: Event) -> Sent:
    text = body_text(event.body)
    assert read_body(event.body.KIND, text) == event.body
    assert event.body.KIND in KINDS
    return Sent(event.id, event.property_id, event.body.KIND, event.made_at, event.device, text, event.hash)
