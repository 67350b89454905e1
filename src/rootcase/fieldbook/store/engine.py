"""Opening an SQLite file so that what was acknowledged survives a pulled plug."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from importlib import import_module
from pathlib import Path, PurePath
from time import sleep
from types import ModuleType
from typing import Any

from sqlalchemy import Connection, Engine, QueuePool, create_engine, event

from rootcase.ground.errors import StoreError
from rootcase.ground.words import say

_BUSY_MS = 20_000
_TURN_S = 0.05

# "The WAL-reset bug": two connections that checkpoint and write at once may lose commits, SQLite 3.7.0 to 3.51.2; fixed
# in 3.51.3, carried back to 3.50.7 and 3.44.6 (SQLite, Write-Ahead Logging, section on it; seen as quoted by others).
_MENDED_BRANCHES = {(3, 44): 6, (3, 50): 7}
_MENDED_SINCE = (3, 51, 3)

# Folders that another program copies while we write, by the names they are given (memory), and mounts that lock badly.
_SYNCED = {"dropbox", "onedrive", "google drive", "googledrive", "my drive", "icloud drive", "mobile documents",
           "cloudstorage", "nextcloud", "owncloud", "pcloud", "mega", "box", "box sync", "syncthing"}
_SYNC_MARKS = (".stfolder", ".dropbox", ".dropbox.cache", ".owncloudsync.log", ".sync")
_NETWORK_MOUNTS = {"nfs", "nfs4", "cifs", "smb3", "smbfs", "afs", "ceph", "glusterfs", "davfs", "fuse.sshfs",
                   "fuse.rclone", "fuse.davfs2", "fuse.glusterfs"}


def has_wal_defect(version: tuple[int, int, int]) -> bool:
    """Whether this SQLite may lose commits in write-ahead mode.

    >>> has_wal_defect((3, 40, 1)), has_wal_defect((3, 50, 7)), has_wal_defect((3, 53, 0))
    (True, False, False)
    """
    major, minor, patch = version
    return version < _MENDED_SINCE and patch < _MENDED_BRANCHES.get((major, minor), 1000)


def sqlite_engine(path: Path) -> tuple[Engine, tuple[str, ...]]:
    """An engine on a file, and what the person ought to know about it."""
    driver = sqlite_driver()
    defect = has_wal_defect(driver.sqlite_version_info)
    engine = create_engine("sqlite+pysqlite://", module=driver, poolclass=QueuePool,
                           creator=lambda: _connect(driver, path, defect))
    event.listen(engine, "begin", _begin)
    return engine, (say("fieldbook.no_wal", version=driver.sqlite_version),) if defect else ()


def refuse_shared_folder(path: Path, mounts: str | None = None) -> None:
    """Raise StoreError where another program or computer may write under our hands."""
    folder = path.resolve().parent
    for each in (folder, *folder.parents):
        name = each.name.casefold()
        if (name in _SYNCED or name.startswith(("onedrive -", "dropbox ("))
                or any((each / mark).exists() for mark in _SYNC_MARKS)):
            raise StoreError(say("fieldbook.synced_folder", folder=each), where=str(path),
                             right=say("fieldbook.own_folder"))
    mounted = _mount_type(folder, _mounts() if mounts is None else mounts)
    if str(folder).startswith("\\\\") or mounted in _NETWORK_MOUNTS:
        raise StoreError(say("fieldbook.network_folder"), where=str(path), right=say("fieldbook.own_folder"))


def refuse_other_program(path: Path) -> None:
    """Raise StoreError where another program's tables are in the file; looked at without a change to it."""
    if not path.is_file() or not path.stat().st_size:
        return
    driver = sqlite_driver()
    try:
        with closing(driver.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as look:
            tables = {name for name, in look.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    except driver.DatabaseError:
        return  # not SQLite, or broken: opening it says so
    if tables and "alembic_version" not in tables:
        raise StoreError(say("fieldbook.another_program"), where=str(path), right=say("fieldbook.not_ours"))


def sqlite_driver() -> ModuleType:
    """The SQLite that comes with the package where there is one; its own age is known."""
    try:
        return import_module("pysqlite3.dbapi2")
    except ImportError:
        return sqlite3


def _connect(driver: ModuleType, path: Path, defect: bool) -> Any:
    connection = driver.connect(str(path), timeout=_BUSY_MS / 1000, isolation_level=None, check_same_thread=False)
    connection.execute(f"PRAGMA busy_timeout = {_BUSY_MS}")
    _set_journal(connection, "delete" if defect else "wal", driver.OperationalError)
    connection.execute(f"PRAGMA synchronous = {'EXTRA' if defect else 'FULL'}")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA secure_delete = ON")
    return connection


def _set_journal(connection: Any, mode: str, refused: type[Exception]) -> None:
    """Change how the file is journalled, once. SQLite does not wait for its turn at this, whatever the busy timeout."""
    for wait_s in [*[_TURN_S] * int(_BUSY_MS / 1000 / _TURN_S), None]:
        try:
            if connection.execute("PRAGMA journal_mode").fetchone()[0] != mode:
                connection.execute(f"PRAGMA journal_mode = {mode}")
            return
        except refused:
            if wait_s is None:
                raise
            sleep(wait_s)


def _begin(connection: Connection) -> None:
    """Writers take their turn at the start, so that nobody fails half-way; readers never wait."""
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _mounts() -> str:
    try:
        return Path("/proc/mounts").read_text(encoding="utf-8")
    except OSError:
        return ""


def _mount_type(folder: Path, mounts: str) -> str:
    """File system of the deepest mount above a folder; empty where the system does not tell."""
    best, found = -1, ""
    for line in mounts.splitlines():
        _, point, kind, *_ = line.split()
        point = point.replace("\\040", " ")
        if PurePath(folder).is_relative_to(point) and len(point) >= best:
            best, found = len(point), kind
    return found
