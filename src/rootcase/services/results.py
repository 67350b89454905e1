"""Results kept between commands: a file each, named by the SHA-256 of all that decides the result.

A file is a hash of its name and text, and the result as JSON with its arrays as the bytes of their numbers: reading one
runs no code. Whatever is wrong with a file or the folder, the result is computed anew and nothing is said.
"""

from __future__ import annotations

import json
import os
import platform
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import fields, is_dataclass
from datetime import date
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from tempfile import mkstemp
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

import numpy as np

from rootcase.science.tree.engine import ENGINE

Result = TypeVar("Result")

PACKAGE = Path(__file__).parents[1]
DECIDING = ("ground", "tables", "records", "science", "casework")
"""Floors whose sources decide a result: a changed formula or figure never meets an old one."""
LIBRARIES = ("numpy", "scipy", "numba")
"""A newer one may move the last bit."""
MOST_BYTES = 256 * 2**20
"""JUDGEMENT: some two thousand trees at a thousand draws, and no disk feels it; what was written first goes first."""


def remembered(folder: Path | None, kind: type[Result], made_from: tuple[object, ...],
               make: Callable[[], Result]) -> Result:
    """The result that was kept for these parts, else made and kept; where there is no folder, made."""
    if folder is None:
        return make()
    path = place_for(folder, kind, made_from)
    found = read_result(path, kind)
    if found is not None:
        return found
    made = make()
    keep_result(path, made)
    return made


def place_for(folder: Path, kind: type[object], made_from: tuple[object, ...]) -> Path:
    """The file of a result that is made from these parts by the formulas and tables of this program."""
    return folder / fingerprint(kind.__name__, ENGINE, _sources_met(), _versions(), made_from)


def read_result(path: Path, kind: type[Result]) -> Result | None:
    """What was kept in this file; None where that is nothing, or not what was written."""
    try:
        kept = path.read_bytes()
    except OSError:
        return None
    seal, _, text = kept.partition(b"\n")
    return _typed(kind, json.loads(text)) if seal == _seal(path, text) else None


def keep_result(path: Path, made: object) -> None:
    """Under a name of its own first, so that nobody reads half a file and two programs may write at once."""
    if sources_digest(PACKAGE) != _sources_met():  # it may be made of sources that changed while they were loaded
        return
    text = _written(made)
    part = ""
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, part = mkstemp(dir=path.parent)
        with open(handle, "wb") as file:
            file.write(_seal(path, text) + b"\n" + text)
        os.replace(part, path)
        _drop_oldest(path.parent)
    except OSError:
        with suppress(OSError):
            os.unlink(part)


def fingerprint(*parts: object) -> str:
    """SHA-256 of records, numbers and arrays, to the last bit."""
    return sha256(_written(parts)).hexdigest()


def sources_digest(package: Path) -> str:
    """SHA-256 of every formula and every table that stands in the package now."""
    found = sha256()
    for floor in DECIDING:
        for file in sorted((package / floor).rglob("*")):
            if file.is_file() and "__pycache__" not in file.parts:
                found.update(f"{file.relative_to(package).as_posix()} {sha256(file.read_bytes()).hexdigest()}".encode())
    return found.hexdigest()


@cache
def _versions() -> list[str]:
    return [platform.machine(), platform.python_version(), *map(version, LIBRARIES)]


@cache
def _sources_met() -> str:
    """Of the sources as this process found them, taken before the casework is loaded."""
    return sources_digest(PACKAGE)


def _seal(path: Path, text: bytes) -> bytes:
    return sha256(path.name.encode() + text).hexdigest().encode()


def _drop_oldest(folder: Path) -> None:
    """Parts that a killed program left behind go with the rest."""
    with os.scandir(folder) as entries:
        kept = [(entry.stat(), entry.path) for entry in entries if entry.is_file(follow_symlinks=False)]
    too_many = sum(about.st_size for about, _ in kept) - MOST_BYTES
    for about, path in sorted(kept, key=lambda each: each[0].st_mtime_ns):
        if too_many <= 0:
            break
        os.unlink(path)
        too_many -= about.st_size


def _written(value: object) -> bytes:
    return json.dumps(value, default=_plain, ensure_ascii=False, separators=(",", ":")).encode("utf-8", "surrogatepass")


def _plain(value: Any) -> object:
    """What JSON does not know, in what it knows; _typed is the way back."""
    if is_dataclass(value):
        return {each.name: getattr(value, each.name) for each in fields(value)}
    if isinstance(value, Mapping):
        return dict(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, np.ndarray):
        return [value.dtype.str, value.shape, b64encode(value.tobytes()).decode()]
    raise TypeError(f"a result cannot hold a {type(value).__name__}")


def _typed(kind: Any, plain: Any) -> Any:
    """What was written of a value of this type, as that value."""
    if get_origin(kind) in (Union, UnionType):
        kind, = (each for each in get_args(kind) if each is not NoneType)
    of = get_args(kind)
    if plain is None:
        return None
    if isinstance(kind, type) and is_dataclass(kind):
        return kind(**{name: _typed(_kinds(kind)[name], each) for name, each in plain.items()})
    if kind is date:
        return date.fromisoformat(plain)
    if get_origin(kind) is np.ndarray:
        form, shape, numbers = plain
        return np.frombuffer(b64decode(numbers), form).reshape(shape).copy()
    if get_origin(kind) is tuple:
        return tuple(_typed(one, each) for one, each in zip(
            of[:1] * len(plain) if of[-1] is Ellipsis else of, plain, strict=True))
    return plain


_kinds = cache(get_type_hints)
