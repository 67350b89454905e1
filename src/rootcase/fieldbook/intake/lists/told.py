"""What somebody has said about a list, by flags or by hand, and the small file it is kept in from run to run."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any, Literal

from rootcase.fieldbook.intake.doubts.positions import slips
from rootcase.fieldbook.whole_file import write_whole
from rootcase.ground.dates import read_date
from rootcase.ground.errors import FileError, UnreadableValue
from rootcase.ground.position import place_in, trees_grow_at
from rootcase.ground.words import say
from rootcase.records.observe import System

KEEP, LEAVE = "keep", "leave"
DAY_ORDERS = ("day-first", "month-first")
COMMAS = ("decimal", "thousands")
DEEDS = ("unit", "write", "right", "keep", "leave", "join", "number", "stems", "swap", "minus", "name", "of")
"""What a mend can do: write another unit or value, take it as it stands, keep as text, take for no reading; for tags
join the rows or number them; part stems; swap or turn the sign of a position; name a tree after its kind; name a
sample's tree or place."""


@dataclass(frozen=True, slots=True)
class Mend:
    """One repair, for every cell of a column that holds one of these values."""

    column: str
    values: tuple[str, ...]
    do: str
    to: str = ""
    """The unit or the value that is written."""

    def written(self, value: str) -> str:
        """What stands in a cell of this value once it is mended."""
        return f"{value} {self.to}" if self.do == "unit" else self.to if self.do == "write" else value


@dataclass(frozen=True, slots=True)
class Told:
    """Everything said about a list so far; empty where nothing was."""

    sheet: str = ""
    header_row: int | None = None
    matrix: str = ""
    property_name: str = ""
    at: str = ""
    system: str = ""
    currency: str = ""
    station: str = ""
    """What the property's daily weather is kept under."""
    place: str = ""
    ground: str = ""
    grounds: Mapping[str, str] = field(default_factory=dict)
    day: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    """What each of their columns is: a kind with its unit, keep or leave."""
    days: Mapping[str, str] = field(default_factory=dict)
    commas: Mapping[str, str] = field(default_factory=dict)
    mends: tuple[Mend, ...] = ()

    def with_mend(self, mend: Mend) -> Told:
        """With one more repair; what was said before of the same cells gives way, also where it is mended itself."""
        earlier = (value for each in self.mends if each.column == mend.column
                   for value in each.values if each.written(value) in mend.values)
        mend = replace(mend, values=tuple(dict.fromkeys((*mend.values, *earlier))))
        left = tuple(replace(each, values=tuple(value for value in each.values if value not in mend.values))
                     if each.column == mend.column else each for each in self.mends)
        return replace(self, mends=(*(each for each in left if each.values), mend))

    def without(self, of: Literal["mends", "days", "commas"], which: int) -> Told:
        """Without one thing that was said, counted from 0; what is not there is not missed."""
        if of == "mends":
            return replace(self, mends=self.mends[:which] + self.mends[which + 1:])
        left = {column: said for at, (column, said) in enumerate(getattr(self, of).items()) if at != which}
        return replace(self, days=left) if of == "days" else replace(self, commas=left)

    def with_notation(self, of: Literal["days", "commas"], column: str, notation: str) -> Told:
        """With how a column writes its days or its numbers."""
        if of == "days":
            return replace(self, days={**self.days, column: notation})
        return replace(self, commas={**self.commas, column: notation})


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the file that is decided without anybody having said it, shown behind a #."""

    column: str
    means: str
    why: str


_SINGLE = (("list", "sheet", "sheet"), ("list", "header_row", "header_row"),
           ("list", "matrix", "matrix"), ("property", "name", "property_name"),
           ("property", "at", "at"), ("property", "system", "system"),
           ("property", "currency", "currency"), ("property", "station", "station"),
           ("place", "name", "place"), ("place", "ground", "ground"), ("visit", "day", "day"))
_TABLES = (("grounds", "grounds", None), ("columns", "columns", None), ("days", "days", DAY_ORDERS),
           ("commas", "commas", COMMAS))


def position_said(told: Told) -> tuple[float, float] | None:
    """The property's corner as somebody has said it."""
    if not told.at:
        return None
    place = place_in(told.at)
    if not place or abs(place[0]) > 90 or abs(place[1]) > 180:
        raise FileError(say("lists.no_at"), value=f'"{told.at}"', right=say("lists.right_at"))
    if not trees_grow_at(place[0]):
        slip = next((slip for slip, there in slips(place).items() if trees_grow_at(there[0])), "")
        raise FileError(say("intake.no_tree_there"), value=f'"{told.at}"',
                        right=say(f"doubts.slipped.{slip}") if slip else say("lists.right_at"))
    return place


def day_said(told: Told, today: date, system: System | None) -> date | None:
    """The day of the list as somebody has said it; with US units the month stands first, else two days are asked about.

    Common practice, no source: day first is not certain elsewhere, as Canada writes both.
    """
    if not told.day:
        return None
    try:
        day = read_date(told.day, "month_first" if system == "us" else None)
    except UnreadableValue as error:
        raise FileError(error.what, value=f'"{told.day}"', right=say("lists.right_day")) from None
    if day > today:
        raise FileError(say("intake.day_ahead"), value=told.day, right=say("lists.right_day"))
    return day


def mapping_path(file: Path) -> Path:
    """Where what is said about a file is kept; for rejects, beside the file they were set aside from."""
    stem = file.stem
    own = file.with_name(f"{stem}-{say('lists.mapping_name')}.toml")
    base = re.sub(rf"(-{say('intake.rejects_name')}(-\d+)?)+$", "", stem)
    return own if own.exists() or base == stem else file.with_name(f"{base}-{say('lists.mapping_name')}.toml")


def read_told(path: Path) -> Told:
    """What a mapping file says; one line names the key that is wrong."""
    try:
        plain = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (ValueError, RecursionError) as error:  # also a number or a nest that is too deep for the reader
        raise FileError(say("lists.no_toml"), where=path.name, value=str(error).splitlines()[0],
                        right=say("lists.right_toml")) from None
    known = {section for section, *_ in _SINGLE} | {section for section, *_ in _TABLES} | {"mends"}
    for section in plain:
        if section not in known:
            raise _wrong(path, section, "", say("intake.one_of", choices=", ".join(sorted(known))))
    found: dict[str, Any] = {}
    for section, key, name in _SINGLE:
        value = _table(path, plain, section).get(key)
        if value is not None:
            wanted = int if key == "header_row" else str
            if not isinstance(value, wanted) or isinstance(value, bool):
                raise _wrong(path, f"{section}.{key}", value, say("lists.right_number" if wanted is int
                                                                  else "lists.right_text"))
            found[name] = value
    for section, name, allowed in _TABLES:
        found[name] = {key: _text(path, f'{section}."{key}"', value, allowed)
                       for key, value in _table(path, plain, section).items()}
    _no_strangers(path, plain)
    return Told(**found, mends=tuple(_mends(path, plain.get("mends", []))))


def write_told(path: Path, told: Told, decided: Sequence[Line], file: str) -> None:
    """Write it with what was decided beside it, if that changes the file."""
    text = _written(told, decided, file)
    if not path.exists() or path.read_text(encoding="utf-8-sig") != text:
        write_whole({path: text.encode("utf-8")})


def _written(told: Told, decided: Sequence[Line], file: str) -> str:
    lines = [f"# {line}" for line in say("lists.file_head", file=_one_line(file)).strip().splitlines()]
    section = ""
    for table, key, name in _SINGLE:
        if table != section:
            lines += ["", f"[{table}]", f"# {say(f'lists.file_about.{table}')}"]
            section = table
        value = getattr(told, name)
        lines.append(f"{key} = {value if isinstance(value, int) else _quoted(value)}" if value
                     else f"# {key} = {say(f'lists.file_example.{table}_{key}')}")
    for table, name, _ in _TABLES:
        lines += ["", f"[{table}]", *(f"# {line}" for line in say(f"lists.file_about.{table}").strip().splitlines())]
        lines += [f"{_quoted(key)} = {_quoted(value)}" for key, value in getattr(told, name).items()]
        if table == "columns":
            lines += [f"# {_quoted(each.column)} = {_quoted(each.means)}  # {_one_line(each.why)}".rstrip(" #")
                      for each in decided if each.column not in told.columns]
    lines += ["", *(f"# {line}" for line in say("lists.file_about.mends").strip().splitlines())]
    for mend in told.mends:
        lines += ["", "[[mends]]", f"column = {_quoted(mend.column)}",
                  f"values = [{', '.join(_quoted(value) for value in mend.values)}]", f"do = {_quoted(mend.do)}"]
        lines += [f"to = {_quoted(mend.to)}"] if mend.to else []
    return "\n".join(lines) + "\n"


def _mends(path: Path, plain: object) -> Iterable[Mend]:
    if not isinstance(plain, list):
        raise _wrong(path, "mends", plain, say("lists.right_mends"))
    for number, each in enumerate(plain, 1):
        where = say("lists.mend_number", number=number)
        if not isinstance(each, dict) or not {"column", "values", "do"} <= each.keys() <= {"column", "values", "do",
                                                                                          "to"}:
            raise _wrong(path, where, "", say("lists.right_mends"))
        values = each["values"]
        if not isinstance(values, list) or not all(isinstance(value, str) for value in values):
            raise _wrong(path, f"{where}, values", values, say("lists.right_values"))
        column, to = (_text(path, f"{where}, {key}", each.get(key, ""), None) for key in ("column", "to"))
        yield Mend(column, tuple(values), _text(path, f"{where}, do", each["do"], DEEDS), to)


def _no_strangers(path: Path, plain: Mapping[str, Any]) -> None:
    """A key of our own sections that is none of ours is a slip of the pen."""
    for section in {section for section, *_ in _SINGLE}:
        keys = [key for each, key, _ in _SINGLE if each == section]
        for key in _table(path, plain, section):
            if key not in keys:
                raise _wrong(path, f"{section}.{key}", "", say("intake.one_of", choices=", ".join(keys)))


def _table(path: Path, plain: Mapping[str, Any], section: str) -> dict[str, Any]:
    found = plain.get(section, {})
    if not isinstance(found, dict):
        raise _wrong(path, section, found, say("lists.right_section", section=section))
    return found


def _text(path: Path, key: str, value: object, allowed: Sequence[str] | None) -> str:
    if not isinstance(value, str):
        raise _wrong(path, key, value, say("lists.right_text"))
    if allowed and value not in allowed:
        raise _wrong(path, key, value, say("intake.one_of", choices=", ".join(allowed)))
    return value


def _wrong(path: Path, key: str, value: object, right: str) -> FileError:
    return FileError(say("lists.wrong_key"), where=f"{path.name}, {key}", value=str(value), right=right)


def _quoted(text: str) -> str:
    """A basic string of TOML: as JSON writes it, but for the one sign TOML has to have escaped besides."""
    return json.dumps(text.encode("utf-8", "replace").decode("utf-8"), ensure_ascii=False).replace("\x7f", "\\u007f")


def _one_line(text: str) -> str:
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
