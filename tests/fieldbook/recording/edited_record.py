"""Files whose record of what was put on says something else, with as much made right again as somebody can."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from datetime import date
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any
from zipfile import ZipFile

from rootcase.fieldbook.backup.keeping import DATABASE
from rootcase.fieldbook.events import Event, body_text, read_body
from rootcase.fieldbook.own_zip import MANIFEST
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.state import state_hash

_GATES = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
_LINKED = ("SELECT links.number, links.event_id, events.kind, events.body, events.property_id "
           "FROM record_links AS links JOIN events ON events.id = links.event_id ORDER BY links.number")


def rehashed(row: dict[str, Any], **told: str) -> dict[str, Any]:
    """An event's row that says something else under a right hash."""
    body: Any = read_body(row["kind"], row["body"])
    body = replace(body, **told)
    return row | {"body": body_text(body),
                  "hash": Event(row["id"], "own", row["property_id"], "", "", body).hash}


def chain_anew(file: Any) -> None:
    """Make every link right again for what stands, as who knows how it is done would."""
    told = [dict(zip(("id", "kind", "body", "property_id", "hash", "made_at", "device", "received"), row, strict=True))
            for row in file.execute("SELECT id, kind, body, property_id, hash, made_at, device, received FROM events "
                                    "WHERE kind IN ('put_on_logged', 'client_copy_given', 'litres_told') "
                                    "ORDER BY received")]
    flags = dict(file.execute("SELECT event_id, flags FROM record_links"))
    file.execute("DELETE FROM record_links")
    prev = ""
    for number, row in enumerate(told, 1):
        said = {"device": row["device"], "event": row["id"], "flags": flags.get(row["id"], ""), "hash": row["hash"],
                "made_at": row["made_at"], "number": number, "practice": "own", "prev": prev,
                "received": row["received"]}
        prev = sha256(json.dumps(said, sort_keys=True, separators=(",", ":")).encode()).hexdigest()
        file.execute("INSERT INTO record_links VALUES ('own', ?, ?, ?, ?)",
                     (number, row["id"], said["flags"], prev))


def _linked(file: Any, chance: Random, before: int) -> tuple[Any, ...]:
    row: tuple[Any, ...] = chance.choice([row for row in file.execute(_LINKED).fetchall() if row[0] <= before])
    return row


def edit(file: Any, chance: Random, before: int) -> None:
    _, an_id, kind, body, property_id = _linked(file, chance, before)
    row = rehashed({"id": an_id, "kind": kind, "body": body, "property_id": property_id},
                   **({"note": "another"} if kind != "litres_told" else {"where": "elsewhere"}))
    file.execute("UPDATE events SET body = ?, hash = ? WHERE id = ?", (row["body"], row["hash"], an_id))


def edit_without_hash(file: Any, chance: Random, before: int) -> None:
    an_id = _linked(file, chance, before)[1]
    file.execute("UPDATE events SET body = replace(body, '\"by\":\"', '\"by\":\"x') WHERE id = ?", (an_id,))


def date_anew(file: Any, chance: Random, before: int) -> None:
    file.execute("UPDATE events SET made_at = '2016-05-01T00:00:00.000Z' WHERE id = ?",
                 (_linked(file, chance, before)[1],))


def take_away(file: Any, chance: Random, before: int) -> None:
    file.execute("DELETE FROM events WHERE id = ?", (_linked(file, chance, before)[1],))


def take_link_away(file: Any, chance: Random, before: int) -> None:
    file.execute("DELETE FROM record_links WHERE number = ?", (_linked(file, chance, before)[0],))


def take_both_away(file: Any, chance: Random, before: int) -> None:
    number, an_id, *_ = _linked(file, chance, before)
    file.execute("DELETE FROM events WHERE id = ?", (an_id,))
    file.execute("DELETE FROM record_links WHERE number = ?", (number,))


def take_the_last_away(file: Any, chance: Random, before: int) -> None:
    """With all that came after the anchor."""
    file.execute("DELETE FROM events WHERE id IN (SELECT event_id FROM record_links WHERE number >= ?)", (before,))
    file.execute("DELETE FROM record_links WHERE number >= ?", (before,))


def swap(file: Any, chance: Random, before: int) -> None:
    one, other = _linked(file, chance, before), _linked(file, chance, before)
    other = other if other[0] != one[0] else next(row for row in file.execute(_LINKED).fetchall() if row[0] != one[0])
    file.execute("UPDATE record_links SET event_id = 'x' WHERE number = ?", (one[0],))
    file.execute("UPDATE record_links SET event_id = ? WHERE number = ?", (one[1], other[0]))
    file.execute("UPDATE record_links SET event_id = ? WHERE number = ?", (other[1], one[0]))


def flag(file: Any, chance: Random, before: int) -> None:
    file.execute("UPDATE record_links SET flags = CASE flags WHEN '' THEN 'late' ELSE '' END WHERE number = ?",
                 (_linked(file, chance, before)[0],))


def put_in(file: Any, chance: Random, before: int) -> None:
    body = PutOnLogged(slot="in", tree="t1", remedy="mulch", day=date(2016, 5, 3), by="rs")
    event = Event("put in", "own", "p", "2016-05-03T08:00:00.000Z", "sql", body)
    file.execute("INSERT INTO events SELECT 'own', 'put in', 'p', ?, ?, 'sql', ?, ?, max(received) + 1 FROM events",
                 (body.KIND, event.made_at, body_text(body), event.hash))


def edit_and_chain_anew(file: Any, chance: Random, before: int) -> None:
    edit(file, chance, before)
    chain_anew(file)


def take_away_and_chain_anew(file: Any, chance: Random, before: int) -> None:
    take_away(file, chance, before)
    chain_anew(file)


WAYS: tuple[Callable[[Any, Random, int], None], ...] = (
    edit, edit_without_hash, date_anew, take_away, take_link_away, take_both_away, take_the_last_away, swap, flag,
    put_in, edit_and_chain_anew, take_away_and_chain_anew)


def with_gates_off(file: Any, change: Callable[[Any], None]) -> None:
    """Change what no program may, and put every trigger back."""
    gates = file.execute(_GATES).fetchall()
    for name, _ in gates:
        file.execute(f"DROP TRIGGER {name}")
    change(file)
    for _, made in gates:
        file.execute(made)
    file.commit()


def change_backup(path: Path, change: Callable[[Any], None]) -> None:
    """Change the database in a backup; every mark of the manifest but the heads is made right again."""
    with ZipFile(path) as found:
        files = {name: found.read(name) for name in found.namelist()}
    with closing(sqlite3.connect(":memory:")) as copy:
        copy.deserialize(files[DATABASE])
        with_gates_off(copy, change)
        files[DATABASE] = copy.serialize()
    _write(path, files, {})


def change_archive(path: Path, change: Callable[[dict[str, list[dict[str, Any]]]], None]) -> None:
    """Change the lines of an archive; the marks of files and state are made right again."""
    with ZipFile(path) as found:
        files = {name: found.read(name) for name in found.namelist()}
    lines = {name: [json.loads(line) for line in data.splitlines()] for name, data in files.items()
             if name.startswith("lines/")}
    change(lines)
    for name, rows in lines.items():
        files[name] = b"".join(json.dumps(row, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode()
                               + b"\n" for row in rows)
    state = state_hash([(name[6:-6], row) for name, rows in lines.items() for row in rows], lambda mark: False)
    _write(path, files, {"state": state})


def _write(path: Path, files: dict[str, bytes], more: dict[str, object]) -> None:
    manifest = json.loads(files[MANIFEST]) | more
    manifest["files"] = {name: sha256(data).hexdigest() for name, data in files.items() if name != MANIFEST}
    files[MANIFEST] = json.dumps(manifest).encode()
    with ZipFile(path, "w") as zipped:
        for name, data in files.items():
            zipped.writestr(name, data)
