"""Whether anything was written: asked of SQLite for every page, so it has to cost next to nothing."""

from __future__ import annotations

from itertools import count
from threading import Lock
from typing import Any

from sqlalchemy import Engine

_opened = count()


class Commits:
    """Hears of commits by a connection that does nothing else: SQLite tells each only what the others committed."""

    def __init__(self, engine: Engine) -> None:
        self._engine, self._turn, self._number = engine, Lock(), next(_opened)
        self._connection: Any = None

    def figure(self) -> tuple[int, int]:
        """Another one after each commit to the file, by this program or any other, and for each that listens."""
        with self._turn:
            if self._connection is None:
                self._connection = self._engine.raw_connection()
            version, = self._connection.driver_connection.execute("PRAGMA data_version").fetchone()
            return self._number, version

    def close(self) -> None:
        with self._turn:
            if self._connection is not None:
                self._connection.close()
                self._connection = None
