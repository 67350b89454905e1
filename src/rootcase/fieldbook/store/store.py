"""Reading and adding: what the fieldbook does to its tables, and nothing else does."""

from __future__ import annotations

import os
import stat
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, Row, Table, bindparam, delete, func, insert, inspect, select, text
from sqlalchemy.exc import DatabaseError

from rootcase.fieldbook.events import Event, ImportUndone, PropertyOpened, SheetImported, body_text, read_body
from rootcase.fieldbook.store.applied_gate import SINCE, TRIGGERS
from rootcase.fieldbook.store.commits import Commits
from rootcase.fieldbook.store.engine import refuse_other_program, refuse_shared_folder, sqlite_engine
from rootcase.fieldbook.store.keeping import generations
from rootcase.fieldbook.store.links import Walked, link, link_the_old, walk, walk_on
from rootcase.fieldbook.store.practices import know_practice
from rootcase.fieldbook.store.schema import HEAD, contacts, events, metadata
from rootcase.fieldbook.store.sent import SentReading, SentWriting
from rootcase.fieldbook.store.weather import WeatherReading, WeatherWriting
from rootcase.fieldbook.undone import without_undone
from rootcase.ground.errors import StoreError
from rootcase.ground.words import say

_AT_ONCE = 500
_OF_OTHERS = stat.S_IRWXG | stat.S_IRWXO
_OF_PROPERTIES = (PropertyOpened.KIND, SheetImported.KIND, ImportUndone.KIND)
_HASHES = select(events.c.id, events.c.hash).where(
    events.c.practice_id == bindparam("practice"), events.c.id.in_(bindparam("ids", expanding=True)))
_AFTER = select(events).where(events.c.practice_id == bindparam("practice"),
                              events.c.received > bindparam("reach")).order_by(events.c.received)
_STARTED = "SELECT json_extract(body, '$.batch') FROM events WHERE practice_id = :practice AND kind = 'batch_started' "
_BATCH_NAMED = (f"{_STARTED} AND json_extract(body, '$.number') = :number UNION "
                f"{_STARTED} AND kind IN ({{kinds}}) AND json_extract(body, '$.batch') = :named")
_OF_BATCH = "kind IN ({kinds}) AND json_extract(body, '$.batch') = :batch"
_ADD = insert(events)
"""Made once: making them takes longer than what is asked."""
_WAYS_OUT = {"locked": "try_again", "not a database": "not_ours", "malformed": "from_a_copy", "full": "make_room"}
"""By a word of SQLite's own message."""


@dataclass(frozen=True, slots=True)
class Contact:
    """A person of a property and how to reach them; it can be erased, the readings stay."""

    id: str
    property_id: str
    role: str
    """owner, payer or site contact."""
    name: str
    phone: str = ""
    email: str = ""


class Store:
    """One practice's part of a fieldbook."""

    def __init__(self, engine: Engine, practice_id: str, notes: tuple[str, ...] = (), where: str = "") -> None:
        self._engine, self.practice_id, self.notes, self.where = engine, practice_id, notes, where
        self._commits = Commits(engine)
        self.walked: Walked | None = None

    @contextmanager
    def writing(self) -> Iterator[Writing]:
        """A turn at writing: all of it is durable when the block ends, or none of it is there."""
        with self.whole_file(writes=True) as connection:
            yield Writing(connection, self.practice_id)

    @contextmanager
    def reading(self) -> Iterator[Reading]:
        """A look that does not change while it lasts."""
        with self.whole_file() as connection:
            yield Reading(connection, self.practice_id)

    @contextmanager
    def whole_file(self, *, writes: bool = False) -> Iterator[Connection]:
        """The same, of every practice in the file: whose it is, is not known before somebody has come in."""
        with (_named_errors(self.where), self._engine.connect().execution_options(writes=writes) as connection,
              connection.begin()):
            yield connection

    def look_at_chain(self) -> Walked:
        """How the chain of the record stands, walked from where the look before ended."""
        with self.whole_file() as connection:
            self.walked = walk_on(connection, self.practice_id, self.walked)
            return self.walked

    def erase_contact(self, contact_id: str) -> None:
        """Take a contact out of the file itself, the journal included."""
        with self.writing() as turn:
            turn.erase_contact(contact_id)
        self.empty_journal()

    def empty_journal(self) -> None:
        """Write the journal back into the file and empty it: what was erased must not live on there."""
        with _named_errors(self.where), self._engine.connect() as connection:
            # Outside any transaction.
            driver = connection.connection.driver_connection
            if driver is not None and self._engine.dialect.name == "sqlite":
                driver.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    @cached_property
    def generation(self) -> str:
        """What another one of says that this file was brought back from a backup; the same as long as it is open."""
        with self.whole_file() as connection:
            found: str = connection.execute(select(generations.c.id)).scalar_one()
        return found

    def copy_into(self, path: Path) -> None:
        """Write the whole file, as it stands at one moment, into an empty one; others go on reading and writing."""
        driver = self._engine.dialect.dbapi
        with self._engine.connect() as connection:
            try:
                # Without what was erased: unlike SQLite's online copy it takes no free pages over.
                connection.connection.driver_connection.execute("VACUUM INTO ?", (str(path),))
            except driver.DatabaseError as error:
                raise StoreError(say("fieldbook.database"), where=self.where, value=str(error)) from error

    def commits(self) -> tuple[int, int]:
        """Figures that are others after each commit, by whatever program."""
        with _named_errors(self.where):
            return self._commits.figure()

    def close(self) -> None:
        self._commits.close()
        self._engine.dispose()


class Reading(WeatherReading, SentReading):
    """What can be asked of the store."""

    def __init__(self, connection: Connection, practice_id: str) -> None:
        self._connection, self._practice_id = connection, practice_id

    def events(self, property_id: str | None = None, kinds: Collection[str] = ()) -> list[Event]:
        """Events in the order received: of one property, of the practice itself (empty id), or all. kinds: only these;
        none named: of every kind."""
        asked = select(events).where(events.c.practice_id == self._practice_id).order_by(events.c.received)
        if property_id is not None:
            asked = asked.where(events.c.property_id == property_id)
        if kinds:
            asked = asked.where(events.c.kind.in_(kinds))
        return [_event(row) for row in self._connection.execute(asked)]

    def told_of_batch(self, named: str, kinds: tuple[str, ...]) -> list[Event]:
        """Events of these kinds of the one batch of this number or id, by the indexes of `gate.py`, in their words: of
        the first kinds is its start."""
        if self._connection.dialect.name != "sqlite":
            return []
        asked = {"practice": self._practice_id, "named": named, "number": int(named) if named.isdecimal() else None}
        ids = set(self._connection.scalars(text(_BATCH_NAMED.format(kinds=kinds[0])), asked))
        if len(ids) != 1:
            return []
        batch, found = ids.pop(), list[Row[Any]]()
        for some in kinds:
            of_it = select(events).where(events.c.practice_id == self._practice_id, text(_OF_BATCH.format(kinds=some)))
            found += self._connection.execute(of_it, {"batch": batch})
        return [_event(row) for row in sorted(found, key=lambda row: row.received)]

    def newest_received(self) -> int:
        """Number of the event that came last; 0 where there is none."""
        newest: int | None = self._connection.scalar(
            select(func.max(events.c.received)).where(events.c.practice_id == self._practice_id))
        return newest or 0

    def received_after(self, received: int, property_ids: Iterable[str]) -> list[Event]:
        """Events of these properties (the practice's own: empty id) that came after that number, in order."""
        asked = select(events).where(events.c.practice_id == self._practice_id, events.c.received > received,
                                     events.c.property_id.in_(tuple(property_ids))).order_by(events.c.received)
        return [_event(row) for row in self._connection.execute(asked)]

    def events_after(self, received: int) -> list[tuple[int, Event]]:
        """Everything that came after that number, each with its own."""
        asked = {"practice": self._practice_id, "reach": received}
        return [(row.received, _event(row)) for row in self._connection.execute(_AFTER, asked)]

    def property_of(self, event_id: str) -> str | None:
        """The property an event speaks of; None where no such event is here."""
        asked = select(events.c.property_id).where(events.c.practice_id == self._practice_id, events.c.id == event_id)
        found: str | None = self._connection.execute(asked).scalar()
        return found

    def hashes(self, ids: Iterable[str]) -> dict[str, str]:
        """Hash of each of these events that is here."""
        wanted, found = list(ids), dict[str, str]()
        for start in range(0, len(wanted), _AT_ONCE):
            asked = {"practice": self._practice_id, "ids": wanted[start:start + _AT_ONCE]}
            found |= {row.id: row.hash for row in self._connection.execute(_HASHES, asked)}
        return found

    def properties(self) -> dict[str, list[Event]]:
        """What stands of each property itself, which says which properties there are."""
        asked = select(events).where(events.c.practice_id == self._practice_id, events.c.kind.in_(_OF_PROPERTIES))
        found: dict[str, list[Event]] = defaultdict(list)
        for row in self._connection.execute(asked.order_by(events.c.received)):
            found[row.property_id].append(_event(row))
        told = {each: [event for event in without_undone(said) if isinstance(event.body, PropertyOpened)]
                for each, said in found.items()}
        return {each: said for each, said in told.items() if said}

    def contacts(self, property_id: str) -> list[Contact]:
        asked = select(contacts).where(contacts.c.practice_id == self._practice_id,
                                       contacts.c.property_id == property_id)
        return [Contact(row.id, row.property_id, row.role, row.name, row.phone, row.email)
                for row in self._connection.execute(asked.order_by(contacts.c.role, contacts.c.name, contacts.c.id))]

    def walk_chain(self) -> Walked:
        """The chain of the record of what was put on, from its first link."""
        return walk(self._practice_id, lambda asked, of: self._connection.execute(text(asked), of))

    def rows(self, table: Table) -> Iterator[dict[str, Any]]:
        """The practice's rows of a table as they are stored, without what is not known."""
        asked = select(table).where(table.c.practice_id == self._practice_id).order_by(*table.primary_key)
        for row in self._connection.execute(asked):
            yield {name: value for name, value in row._mapping.items() if value is not None}

    def is_empty(self) -> bool:
        """Whether the file holds nothing of any practice."""
        return not any(self._connection.execute(select(table).limit(1)).first() for table in metadata.sorted_tables)


class Writing(Reading, WeatherWriting, SentWriting):
    """What can be added."""

    def add(self, new: Sequence[Event]) -> int:
        """Add the events that are not here yet and return how many those were; the same id must be the same content."""
        here = self.hashes(event.id for event in new)
        hashes = dict(here)
        fresh: dict[str, Event] = {}
        for event in new:
            content = event.hash
            if hashes.setdefault(event.id, content) != content:
                raise StoreError(say("fieldbook.id_twice"), value=event.id, right=say("fieldbook.id_once"))
            if event.id not in here:
                fresh[event.id] = event
        self.append([(event, body_text(event.body), hashes[event.id]) for event in fresh.values()],
                    self.newest_received() + 1 if fresh else 0)
        return len(fresh)

    def append(self, fresh: Sequence[tuple[Event, str, str]], first: int) -> None:
        """Add events that are known not to be here, each with its body's text and its hash, by this number and on."""
        if fresh:
            if first == 1:
                know_practice(self._connection, self._practice_id)
            self._connection.execute(_ADD, [
                {"practice_id": self._practice_id, "id": event.id, "property_id": event.property_id,
                 "kind": event.body.KIND, "made_at": event.made_at, "device": event.device, "body": body,
                 "hash": content, "received": number}
                for number, (event, body, content) in enumerate(fresh, first)])
            link(self._connection, self._practice_id,
                 [(event, content, number) for number, (event, _, content) in enumerate(fresh, first)])

    def keep_contacts(self, wanted: Iterable[Contact]) -> int:
        """Keep these contacts, each once by its id; returns how many are new or changed."""
        changed = 0
        for contact in wanted:
            if contact in self.contacts(contact.property_id):
                continue
            know_practice(self._connection, self._practice_id)
            self.erase_contact(contact.id)
            self._connection.execute(insert(contacts).values(practice_id=self._practice_id, **asdict(contact)))
            changed += 1
        return changed

    def erase_contact(self, contact_id: str) -> None:
        self._connection.execute(delete(contacts).where(contacts.c.practice_id == self._practice_id,
                                                        contacts.c.id == contact_id))

    def link_the_old(self) -> None:
        """Chain what came out of a file without a chain."""
        link_the_old(self._connection)

    @contextmanager
    def letting_in(self, schema: str) -> Iterator[None]:
        """Let rows of a file of an older form in by the gates of the chain that it had."""
        later = [name for name, since in SINCE.items()
                 if schema < since and self._connection.dialect.name == "sqlite"]
        for name in later:
            self._connection.execute(text(f"DROP TRIGGER {name}"))
        yield
        for name in later:
            self._connection.exec_driver_sql(TRIGGERS[name])

    def put_rows(self, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
        """Put rows into an empty table just as they stood in another file."""
        blank = dict.fromkeys(table.columns.keys())
        self._connection.execute(insert(table), [blank | dict(row) for row in rows])


def _event(row: Row[Any]) -> Event:
    return Event(row.id, row.practice_id, row.property_id, row.made_at, row.device, read_body(row.kind, row.body))


def open_store(path: Path, practice_id: str) -> Store:
    """Open a fieldbook's file, make it where there is none, bring it to the newest form."""
    refuse_shared_folder(path)
    refuse_other_program(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(say("fieldbook.no_folder"), where=str(path), value=error.strerror or "") from None
    _keep_private(path)
    engine, notes = sqlite_engine(path)
    with _named_errors(str(path)):
        _migrate(engine, path)
    return Store(engine, practice_id, notes, str(path))


def _keep_private(path: Path) -> None:
    """Let only its owner read the file and its journal, an older one too: clients, passwords' hashes and secrets of
    second steps stand in it. Where that cannot be, SQLite says why, or the folder has rights of its own."""
    with suppress(OSError):
        os.close(os.open(path, os.O_CREAT | os.O_EXCL, 0o600))
    for each in (path, Path(f"{path}-wal"), Path(f"{path}-shm")):
        with suppress(OSError):
            mode = each.stat().st_mode
            if mode & _OF_OTHERS:
                each.chmod(stat.S_IMODE(mode) & ~_OF_OTHERS)


def _migrate(engine: Engine, path: Path) -> None:
    with engine.connect() as connection:
        if _revision(connection) == HEAD:
            return
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        found = _revision(connection)
        if found == HEAD:
            return
        if found is not None and found > HEAD:
            raise StoreError(say("fieldbook.newer_file"), where=str(path), right=say("fieldbook.newer_program"))
        from alembic import command
        from alembic.config import Config

        config = Config()
        config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
        config.attributes["connection"] = connection
        command.upgrade(config, "head")


def _revision(connection: Connection) -> str | None:
    """The migration the file stands at; None for a new one."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    found: str | None = connection.scalar(text("SELECT version_num FROM alembic_version"))
    return found


@contextmanager
def _named_errors(where: str = "") -> Iterator[None]:
    """The database's own errors as one line of ours."""
    try:
        yield
    except DatabaseError as error:
        reason = str(error.orig or error)
        right = next((say(f"fieldbook.{way_out}") for sign, way_out in _WAYS_OUT.items() if sign in reason), "")
        raise StoreError(say("fieldbook.database"), where=where, value=reason, right=right) from error
