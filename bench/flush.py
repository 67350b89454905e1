"""What bench sync measures, where a disk takes as long over a flush as drives do that answer for what they hold."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping

from sqlalchemy import event
from sqlalchemy.engine import Connection

from bench.sync import WRITERS, one_by_one, opened, overwriting, together
from bench.work import Work

FLUSH_S = 0.005
"""JUDGEMENT: drives without a protected cache take one to ten milliseconds."""


def flush() -> None:
    time.sleep(FLUSH_S)


def _flush_too(connection: Connection) -> None:
    if connection.get_execution_options().get("writes"):
        flush()


def about() -> Work:
    return Work(what=f"The same as bench sync, and each sync waits {1000 * FLUSH_S:.0f} ms more, as a drive's flush "
                     f"does: simulated, in the page's turn and in ours alike. strace counts one sync a reading of "
                     f"ours. Bars: .8 of the page written over, and 15 times one after the other. All candidates keep "
                     f"{WRITERS}.",
                unit="durable reading", units=WRITERS,
                yardsticks=("a page written over and flushed", "one reading after the other"))


def run() -> Mapping[str, Callable[[], object]]:
    book = opened("flushed.sqlite")
    event.listen(book.store._engine, "commit", _flush_too)
    return {"a page written over and flushed": overwriting(flush), "one reading after the other": one_by_one(book),
            "as many writers at once": together(book)}
