"""Archives and backups whose batches say something else, with every mark made right again."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import datetime, timedelta
from hashlib import sha256
from pathlib import Path
from random import Random
from typing import Any
from zipfile import ZipFile

from rootcase.fieldbook.backup.keeping import DATABASE
from rootcase.fieldbook.body import Body
from rootcase.fieldbook.events import Event, body_text, read_body
from rootcase.fieldbook.made.batches import BatchCalledBack, BatchJudged, BatchStepTold, LoadFilled
from rootcase.fieldbook.own_zip import MANIFEST
from rootcase.fieldbook.people.tokens import written
from rootcase.fieldbook.state import state_hash
from rootcase.fieldbook.store.gate import TRIGGERS

LINES = "lines/events.jsonl"


def event_hash(an_id: str, body: Body) -> str:
    return Event(an_id, "own", "", "", "", body).hash


def edit_archive(path: Path, chance: Random) -> None:
    """Let a batch's lines say something else; the marks of events, files and state are made anew."""
    with ZipFile(path) as found:
        files = {name: found.read(name) for name in found.namelist()}
    kept = [edited(json.loads(line), chance) for line in files.get(LINES, b"").splitlines()]
    files[LINES] = b"".join(json.dumps(row, ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode() + b"\n"
                            for row in kept if chance.random() < 0.95)
    manifest = json.loads(files[MANIFEST])
    tables = [(name[6:-6], json.loads(line)) for name, data in files.items() if name.startswith("lines/")
              for line in data.splitlines()]
    manifest["state"] = state_hash(tables, lambda mark: False)
    manifest["files"] = {name: sha256(data).hexdigest() for name, data in files.items() if name != MANIFEST}
    files[MANIFEST] = json.dumps(manifest).encode()
    with ZipFile(path, "w") as zipped:
        for name, data in files.items():
            zipped.writestr(name, data)


def edited(row: dict[str, Any], chance: Random) -> dict[str, Any]:
    """An event that says something else, as often as not."""
    body: Any = read_body(row["kind"], row["body"])
    if chance.random() < 0.2:
        row["received"] = row["received"] + 1000 * chance.choice((-1, 1))
    if chance.random() < 0.5:
        if isinstance(body, BatchJudged):
            body = replace(body, verdict="fit", why=(), good_until=body.good_until or body.ended_at,
                           own_limit_h=chance.choice((None, 1.5)))
        elif isinstance(body, LoadFilled):
            body = replace(body, at=written(datetime.fromisoformat(body.at) + timedelta(hours=chance.choice((-2, 2)))))
        elif isinstance(body, BatchCalledBack):
            body = replace(body, batch="another")
        elif isinstance(body, BatchStepTold) and body.step == "end":
            moved = datetime.fromisoformat(body.at) + timedelta(minutes=chance.choice((-9, 9)))
            body = replace(body, at=written(moved))
    return row | {"body": body_text(body), "hash": event_hash(row["id"], body)}


def edit_backup(path: Path, body: Body, put_on_again: bool) -> None:
    with ZipFile(path) as found:
        files = {name: found.read(name) for name in found.namelist()}
    with closing(sqlite3.connect(":memory:")) as copy:
        copy.deserialize(files[DATABASE])
        for trigger in TRIGGERS:
            copy.execute(f"DROP TRIGGER {trigger}")
        copy.execute("INSERT INTO practices SELECT 'own' WHERE NOT EXISTS (SELECT 1 FROM practices)")
        copy.execute("INSERT OR REPLACE INTO events SELECT 'own', ?, '', ?, ?, 'sql', ?, ?, "
                     "coalesce(max(received), 0) + 1 FROM events",
                     (body.slot, body.KIND, getattr(body, "at", "2016-05-03T08:00:00.000Z"), body_text(body),
                      event_hash(body.slot, body)))
        if put_on_again:
            for made_by in TRIGGERS.values():
                copy.execute(made_by)
        copy.commit()
        files[DATABASE] = copy.serialize()
    manifest = json.loads(files[MANIFEST])
    manifest["files"] = {name: sha256(data).hexdigest() for name, data in files.items() if name != MANIFEST}
    files[MANIFEST] = json.dumps(manifest).encode()
    with ZipFile(path, "w") as zipped:
        for name, data in files.items():
            zipped.writestr(name, data)
