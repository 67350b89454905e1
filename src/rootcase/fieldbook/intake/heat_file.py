"""A logger's file of a heap's heat: a column of times, one or more of temperatures, whatever stands above them.

Local times are turned into moments of one clock by the place's time zone. In the hour that comes twice in autumn the
order of rows decides; a time that never was in spring is refused with what was there before and after it.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone
from hashlib import sha256
from itertools import pairwise
from pathlib import Path
from statistics import median
from typing import NamedTuple
from zoneinfo import ZoneInfo

from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.grid import Grid, column_letters, read_grids
from rootcase.fieldbook.intake.weather.daily import day_order
from rootcase.ground.clock import moments_of, read_time, the_moment
from rootcase.ground.dates import Order, read_date, show_date
from rootcase.ground.errors import FileError, Missing, RootcaseError, UnreadableValue
from rootcase.ground.typed import Limits, read
from rootcase.ground.units import convert, is_unit, unit_label, unit_name
from rootcase.ground.words import say

LOWEST_C, HIGHEST_C = -60.0, 120.0
MOST_FAULTS = 20
_MOST_ROWS_NAMED = 6
_STAMP = re.compile(r"(\S+?(?: [A-Za-z]{3,9} \d{4})?|[A-Za-z]{3,9} \d{1,2},? \d{4})"
                    r"(?:[ T]+(\d{1,2}[:.]\d{2}(?:[:.]\d{2}(?:[.,]\d+)?)?(?: ?[AaPp]\.?[Mm]?\.?)?))?"
                    r"\s*(Z|UTC|GMT|[+-]\d{2}:?\d{2})?")
_ORDERS: tuple[Order, ...] = ("month_first", "day_first")
_SHORT_YEAR = re.compile(r"(\d{1,2}[-/.]\d{1,2}[-/.])(\d{2})")
_OFFSET = re.compile(r"(?:UTC|GMT|^)\s*([+-]\d{1,2})(?::?(\d{2}))?\b|\b(UTC|GMT)\b", re.IGNORECASE)
_UNIT = re.compile(r"[(\[,]\s*([^()\[\],]+?)\s*[)\]]?$|((?:°|deg ?)[CF])\b", re.IGNORECASE)
_WARM = re.compile(r"temp|probe|sensor|channel|\bt ?\d|°", re.IGNORECASE)
_AIR = re.compile(r"\bair\b|ambient|outside", re.IGNORECASE)


_Row = tuple[int, list[str]]
"""Its number in the file, and its cells."""


class Asked(Missing):
    """Something that the file does not tell and somebody has to."""

    def __init__(self, cell: str, what: str, right: str) -> None:
        super().__init__(what, right=right)
        self.cell = cell


@dataclass(frozen=True, slots=True)
class HeatFileSaid:
    """What somebody says of a file; empty: what the file says itself."""

    unit: str = ""
    order: str = ""
    """month_first or day_first."""
    clock: str = ""
    """Of a logger that is not put forward and back, such as UTC-5."""


@dataclass(frozen=True, slots=True)
class ProbeColumn:
    """What a column tells, in order of time."""

    header: str
    at: tuple[datetime, ...]
    temperature_c: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class HeatFile:
    file: str
    mark: str
    probes: tuple[ProbeColumn, ...]
    left: tuple[str, ...]
    """Headers of columns that are not of the heap's heat."""
    faults: tuple[Fault, ...]
    """Rows and cells that could not be taken, the first ones."""
    more_faults: int
    """How many more there are of them."""
    notes: tuple[str, ...]
    """How rows were read that can be read in two ways."""


@dataclass(frozen=True, slots=True)
class _Table:
    """Where a grid's readings stand."""

    grid: Grid
    header: tuple[str, ...]
    first: int
    day: int
    time: int | None


class _Stamp(NamedTuple):
    """What a row tells of its time."""

    day: str
    clock: time
    zone: str


def read_heat_file(path: Path, place: ZoneInfo, said: HeatFileSaid) -> HeatFile:
    """What a file tells; Asked where something has to be said first, FileError where it is no log."""
    found = _table(read_grids(path), path.name)
    faults: list[Fault] = []
    rows, stamps = _stamped(found, faults)
    local, exact = _times(found, rows, stamps, said)
    moments = exact if exact is not None else _of_place(found, rows, local, place)
    columns, left = _columns(found, rows, said)
    probes = tuple(_probe(found, rows, moments, column, unit, faults) for column, unit in columns)
    faults.sort(key=lambda each: each.row)
    return HeatFile(path.name, sha256(path.read_bytes()).hexdigest(), tuple(each for each in probes if each.at), left,
                    tuple(faults[:MOST_FAULTS]), max(0, len(faults) - MOST_FAULTS),
                    () if exact is not None else tuple(_lone_hours(rows, local, moments, place)))


def _table(grids: Sequence[Grid], file: str) -> _Table:
    """The first grid with rows that begin with times, and the line above as its header."""
    for grid in grids:
        for at, row in enumerate(grid.rows):
            for column, cell in enumerate(row):
                stamp = _stamp(cell.text)
                if stamp is None:
                    continue
                beside = next((other for other in range(column + 1, min(column + 3, len(row)))
                               if _is_time(row[other].text)), None) if not stamp[1] else None
                above = next((grid.rows[over] for over in range(at - 1, -1, -1)
                              if sum(bool(each.text) for each in grid.rows[over]) > 1), None)
                header = tuple(each.text for each in above) if above else ("",) * len(row)
                return _Table(grid, header, at, column, beside)
    raise FileError(say("heap.file.no_log"), where=file, right=say("heap.file.right_log"))


def _stamp(text: str) -> tuple[str, str, str] | None:
    """Day, time and zone of a text that is a day, with or without its time."""
    found = _STAMP.fullmatch(text.strip())
    if found is None or not re.search(r"\d[-/. ]|[A-Za-z]{3,9} \d", found[1]):
        return None
    day = _full_year(found[1])
    if not any(_is_day(day, order) for order in _ORDERS):
        return None
    return day, found[2] or "", found[3] or ""


def _is_day(text: str, order: Order) -> bool:
    try:
        read_date(text, order)
    except UnreadableValue:
        return False
    return True


def _full_year(day: str) -> str:
    found = _SHORT_YEAR.fullmatch(day)
    return f"{found[1]}20{found[2]}" if found else day


def _is_time(text: str) -> bool:
    try:
        read_time(text)
    except UnreadableValue:
        return False
    return True


def _stamped(found: _Table, faults: list[Fault]) -> tuple[list[_Row], list[_Stamp]]:
    """The rows with a day and a time that can be read, and these; the others are named."""
    rows, stamps = [], []
    for number, row in enumerate(found.grid.rows[found.first:], found.first + 1):
        cells = [cell.text for cell in row]
        stamp = _stamp(cells[found.day])
        clock = "" if stamp is None else cells[found.time] if found.time is not None else stamp[1]
        if stamp is not None and (not clock.strip() or _is_time(clock)):
            rows.append((number, cells))
            stamps.append(_Stamp(stamp[0], read_time(clock) if clock.strip() else time(), stamp[2]))
        elif any(each.strip() for each in cells):
            text = cells[found.day] if stamp is None else clock
            faults.append(Fault(found.grid.name, number, "", f'"{text[:60]}"', say("heap.file.no_time"),
                                say("heap.file.right_time")))
    return rows, stamps


def _times(found: _Table, rows: Sequence[_Row], stamps: Sequence[_Stamp], said: HeatFileSaid
           ) -> tuple[list[datetime], list[datetime] | None]:
    """The local time of each row; and its moment, where the file or somebody says the clock's own offset."""
    days = {each.day for each in stamps}
    order = said.order if said.order in ("month_first", "day_first") else day_order(sorted(days))
    known = {day: _day(day, order) for day in days}  # type: ignore[arg-type]
    local = [datetime.combine(known[each.day], each.clock) for each in stamps]
    zones = [each.zone for each in stamps]
    header = " ".join(found.header[at] for at in (found.day, found.time) if at is not None)
    fixed = _offset(said.clock) or _offset(header)
    if said.clock.strip() and _offset(said.clock) is None:
        raise Asked("clock", say("heap.file.no_clock"), say("heap.file.right_clock"))
    own = [(_offset(zone) or UTC) if zone else None for zone in zones]
    if fixed is None and any(own) and not all(own):
        raise _some_without(found, rows, own)
    if fixed is None and not any(own):
        return local, None
    if all(own):  # what somebody says of the whole file goes before what the file says
        own = [_offset(said.clock) or each for each in own]
    return local, [each.replace(tzinfo=offset or fixed).astimezone(UTC)
                   for each, offset in zip(local, own, strict=True)]


def _some_without(found: _Table, rows: Sequence[_Row], own: Sequence[timezone | None]) -> Asked:
    """Some rows say their clock's offset: whether the others are of that clock or the place's nobody knows."""
    number, cells = next(row for row, offset in zip(rows, own, strict=True) if offset is None)
    return Asked("clock", say("heap.file.some_clocks", row=number, time=cells[found.day]), say("heap.file.right_rest"))


def _day(text: str, order: Order | None) -> date:
    try:
        return read_date(text, order)
    except UnreadableValue as error:
        raise Asked("order", say("heap.file.which_order", day=text), error.right) from None


def _offset(text: str) -> timezone | None:
    found = _OFFSET.search(text.strip())
    if found is None or (found[1] and abs(int(found[1])) > 14):
        return None
    if found[1] is None:
        return UTC
    hours = int(found[1])
    minutes = int(found[2] or 0) * (-1 if found[1].startswith("-") else 1)
    return timezone(timedelta(hours=hours, minutes=minutes))


def _of_place(found: _Table, rows: Sequence[_Row], local: list[datetime], place: ZoneInfo
              ) -> list[datetime]:
    """The moment of each row; of a time that came twice the one that follows the row before."""
    steps = [(after - before).total_seconds() for before, after in pairwise(local)]
    backward = sum(step < 0 for step in steps) > len(steps) / 2
    usual = timedelta(seconds=abs(median(steps))) if steps else timedelta()
    moments: list[datetime] = []
    order = range(len(local) - 1, -1, -1) if backward else range(len(local))
    for at in order:
        both = moments_of(local[at], place)
        if len(both) < 2:
            try:
                moments.append(the_moment(local[at], place))
            except UnreadableValue as error:
                raise Asked("clock", say("heap.file.never", row=rows[at][0], time=f"{local[at]:%Y-%m-%d %H:%M}"),
                            f"{error.right}; {say('heap.file.right_clock')}") from None
            continue
        later = [each for each in both if not moments or each > moments[-1]]
        due = moments[-1] + usual if moments else both[0]
        moments.append(min(later or both, key=lambda each: abs(each - due)))
    return moments[::-1] if backward else moments


def _lone_hours(rows: Sequence[_Row], local: Sequence[datetime], moments: Sequence[datetime], place: ZoneInfo
                ) -> Iterator[str]:
    """How rows were read of an hour that came twice and stands once: there no order of rows tells which."""
    twice: dict[date, list[int]] = defaultdict(list)
    for at, each in enumerate(local):
        if len(moments_of(each, place)) > 1:
            twice[each.date()].append(at)
    for day, those in twice.items():
        steps = [local[two] > local[one] for one, two in pairwise(those)]
        if (any(steps) and not all(steps)) or len({local[at] for at in those}) < len(those):
            continue
        named = [say("heap.file.read_first" if moments[at] == moments_of(local[at], place)[0] else
                     "heap.file.read_second", row=rows[at][0], time=f"{local[at]:%H:%M}") for at in those]
        beyond = len(named) - _MOST_ROWS_NAMED
        more = [say("heap.file.more_rows", count=beyond)] if beyond > 0 else []
        yield say("heap.file.lone_hour", day=show_date(day), rows=", ".join([*named[:_MOST_ROWS_NAMED], *more]))


def _columns(found: _Table, rows: Sequence[_Row], said: HeatFileSaid
             ) -> tuple[list[tuple[int, str]], tuple[str, ...]]:
    """The columns of the heap's heat with their unit, and the headers of the others."""
    numbers = [column for column in range(len(found.header)) if column not in (found.day, found.time)
               and 2 * sum(_number(cells[column]) is not None for _, cells in rows) >= len(rows)]
    units = {column: _unit_of(found.header[column], [cells[column] for _, cells in rows[:20]]) for column in numbers}
    warm = [column for column in numbers if units[column] in ("degC", "degF")
            or (not units[column] and _WARM.search(found.header[column]))]
    chosen = [column for column in (warm or [each for each in numbers if not units[each]])
              if not _AIR.search(found.header[column])]
    if not chosen:
        raise FileError(say("heap.file.no_warmth"), where=found.grid.file, value=", ".join(filter(None, found.header)),
                        right=say("heap.file.right_log"))
    asked = {"C": "degC", "F": "degF", "degC": "degC", "degF": "degF"}.get(said.unit, "")
    differ = next((column for column in chosen if asked and units[column] not in ("", asked)), None)
    if differ is not None:
        raise Asked("unit", say("heap.file.units_differ", header=found.header[differ] or column_letters(differ),
                                said=unit_label(asked)), say("heap.file.right_units"))
    if not asked and not all(units[column] for column in chosen):
        raise Asked("unit", say("heap.file.which_unit"), say("heap.file.right_unit"))
    left = tuple(found.header[column] for column in range(len(found.header))
                 if column not in (*chosen, found.day, found.time) and found.header[column])
    return [(column, units[column] or asked) for column in chosen], left


def _unit_of(header: str, cells: Sequence[str]) -> str:
    """Unit of a column: of its header, else behind its numbers; empty where nobody says."""
    texts = [found[1] or found[2] for found in _UNIT.finditer(header)]
    texts += [rest for cell in cells if (rest := re.sub(r"^[\s\d.,+-]+", "", cell))][:1]
    letters = {"c": "degC", "f": "degF", "°c": "degC", "°f": "degF", "celsius": "degC", "fahrenheit": "degF"}
    for text in texts:
        if text.casefold() in letters:
            return letters[text.casefold()]
        if is_unit(text):
            return unit_name(text)
    return ""


def _number(text: str) -> float | None:
    form = re.sub(r"\s*(?:°|deg)? ?[CF]?$", "", text.strip(), flags=re.IGNORECASE)
    try:
        typed = read(form, Limits(LOWEST_C, HIGHEST_C, "degC", "degC"))
    except RootcaseError:
        return None
    return None if typed is None else typed.value


def _probe(found: _Table, rows: Sequence[_Row], moments: Sequence[datetime], column: int, unit: str,
           faults: list[Fault]) -> ProbeColumn:
    taken = []
    for (number, cells), at in zip(rows, moments, strict=True):
        if not cells[column].strip():
            continue
        value = _number(cells[column])
        warm = None if value is None else convert(value, unit, "degC")
        if warm is None or not LOWEST_C <= warm <= HIGHEST_C:
            faults.append(_fault(found, number, column, cells[column]))
        else:
            taken.append((at, warm))
    taken.sort()
    name = found.header[column] or column_letters(column)
    return ProbeColumn(name, tuple(at for at, _ in taken), tuple(warm for _, warm in taken))


def _fault(found: _Table, number: int, column: int, text: str) -> Fault:
    return Fault(found.grid.name, number, found.header[column] or column_letters(column), f'"{text[:60]}"',
                 say("heap.file.no_reading"), say("heap.file.right_reading"))
