"""First-answer sheets: which a practice's phones need, which are made, and the making of those that are not."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from pathlib import Path
from threading import Lock

import numpy as np

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.dates import last_finished_season
from rootcase.ground.errors import Missing
from rootcase.records.first_answer import PackedSheet, SheetsTold, SheetTold
from rootcase.records.observe import Place, Property, PropertyRecord, Weather
from rootcase.services.results import fingerprint, keep_result, place_for, read_result
from rootcase.services.run import Run
from rootcase.services.weather import days_for, weather_for
from rootcase.tables.load import table

STAGE = "first_answer"
DRAWS_A_DRAW = 3
"""So many draws in a sheet for one of an explanation: a sheet's chance errors stand in all its answers. JUDGEMENT."""
PLACE_NEVER_SEEN = "lawn"
"""What ground counts as of which nobody said what it is."""
TEXTURES = ("", "sandy_loam", "loam", "silt_loam", "sandy_clay_loam", "clay_loam", "silty_clay_loam", "clay")
"""First the sheet for soil nobody felt; then those classes that are common."""
_WEATHER_YEARS = 2


@dataclass(frozen=True, slots=True)
class _Wanted:
    """Sheets that are made together: all that differs is what the shoots are compared with."""

    ground: Property
    record: PropertyRecord
    place: Place
    yardstick_id: str
    texture: str
    season: int
    bases: tuple[tuple[str, str], ...]
    """A species by growth class, or by the yardstick's id."""
    named: tuple[tuple[Path, str], ...]
    """Where each is kept, with its growth class or yardstick."""

    def told(self, path: Path, basis: str, kept: PackedSheet) -> SheetTold:
        of_yardstick = bool(self.yardstick_id)
        return SheetTold(path.name, int(kept.sent.size), kept.made, self.ground.weather_station,
                         "" if of_yardstick else basis, self.texture, self.ground.id if of_yardstick else "",
                         self.yardstick_id, self.place.id if of_yardstick else "")


class SheetsAtHand:
    """Which sheets a practice's phones need, so that the fieldbook is read only where something was written."""

    def __init__(self) -> None:
        self._held: dict[str, tuple[tuple[object, ...], tuple[_Wanted, ...]]] = {}
        self._turn = Lock()

    def told(self, fieldbook: Fieldbook, run: Run) -> SheetsTold:
        """The sheets that are made for this practice, and how many are not."""
        made, missing = [], 0
        for wanted, path, basis in self._named(fieldbook, run):
            kept = read_result(path, PackedSheet)
            missing += kept is None
            if kept is not None:
                made.append(wanted.told(path, basis, kept))
        return SheetsTold(tuple(made), missing)

    def sent(self, fieldbook: Fieldbook, run: Run, name: str) -> bytes | None:
        """A sheet of this practice by its name; None where there is none."""
        for _, path, _ in self._named(fieldbook, run):
            if path.name == name and (kept := read_result(path, PackedSheet)) is not None:
                return kept.sent.tobytes()
        return None

    def _named(self, fieldbook: Fieldbook, run: Run) -> Iterator[tuple[_Wanted, Path, str]]:
        stamp = (fieldbook.arrivals.commits(), run.today, run.draws, run.seed, run.results)
        with self._turn:
            held = self._held.get(fieldbook.arrivals.where)
        if held is None or held[0] != stamp:
            held = stamp, tuple(_wanted(fieldbook, run))
            with self._turn:
                self._held[fieldbook.arrivals.where] = held
        return ((wanted, path, basis) for wanted in held[1] for path, basis in wanted.named)


def make_sheets(fieldbook: Fieldbook, run: Run) -> None:
    """Make what is missing: first for soil nobody felt and for yardsticks, then texture by texture."""
    wanted, weather = list(_wanted(fieldbook, run)), dict[str, Weather]()
    for done, each in enumerate(wanted):
        run.progress(STAGE, done, len(wanted))
        if any(read_result(path, PackedSheet) is None for path, _ in each.named):
            if each.ground.id not in weather:
                weather[each.ground.id] = weather_for(fieldbook, each.ground, run)
            _make(each, weather[each.ground.id], run)
    run.progress(STAGE, len(wanted), len(wanted))


def _make(wanted: _Wanted, weather: Weather, run: Run) -> None:
    from rootcase.casework.first_answer.axes import AXES  # slow to load, and needed only where sheets are made
    from rootcase.casework.first_answer.forward import Question
    from rootcase.casework.first_answer.packed import packed
    from rootcase.casework.first_answer.sheet import first_sheets

    question = Question(wanted.record, wanted.place, wanted.yardstick_id, wanted.texture, weather, wanted.season,
                        run.today, DRAWS_A_DRAW * run.draws, run.seed)
    sheets = first_sheets(question, dict(wanted.bases), AXES)
    for sheet, (path, _) in zip(sheets, wanted.named, strict=True):
        keep_result(path, PackedSheet(sheet.made, np.frombuffer(packed(sheet), np.uint8)))


def _named(run: Run, bases: Iterable[tuple[str, str]], *decided_by: object) -> tuple[tuple[Path, str], ...]:
    """Where each sheet is kept, by what decides it."""
    return () if run.results is None else tuple(
        (place_for(run.results, PackedSheet, (*decided_by, basis, run.draws, run.seed)), basis[0]) for basis in bases)


def _wanted(fieldbook: Fieldbook, run: Run) -> Iterable[_Wanted]:
    grounds = [each for each in fieldbook.properties() if each.weather_station]
    by_station = {each.weather_station: each for each in reversed(grounds)}
    weather = {each.id: fingerprint(found) for each in grounds if (found := _weather(fieldbook, each, run)) is not None}
    yield from (_general(ground, "", weather[ground.id], run) for ground in by_station.values()
                if ground.id in weather)
    for ground in grounds:
        if ground.id in weather:
            yield from _of_yardsticks(fieldbook.record(ground.id), weather[ground.id], run)
    yield from (_general(ground, texture, weather[ground.id], run) for texture in TEXTURES[1:]
                for ground in by_station.values() if ground.id in weather)


def _general(ground: Property, texture: str, weather: str, run: Run) -> _Wanted:
    """For a tree of which no yardstick was read, at a place nobody has seen, near a station."""
    season = last_finished_season(run.today, ground.latitude_deg)
    place = Place("place", ground.id, "", PLACE_NEVER_SEEN)
    record = PropertyRecord(ground, (place,), (), (), (), (), (), (), {})
    named = _named(run, bases := _species_by_class(), "general", ground.latitude_deg, ground.weather_station, texture,
                   season, weather)
    return _Wanted(ground, record, place, "", texture, season, bases, named)


def _of_yardsticks(record: PropertyRecord, weather: str, run: Run) -> Iterator[_Wanted]:
    """For a new tree in each place of a property, beside each of its yardsticks."""
    from rootcase.casework.first_answer.readings import with_first_look
    from rootcase.records.first_answer import FirstReadings

    season = last_finished_season(run.today, record.property.latitude_deg)
    plain = replace(record, compared_with={})
    for yardstick in record.yardsticks:
        named = [reading.choice for tree in yardstick.tree_ids for reading in record.of(tree, kind="species")
                 if reading.choice]
        species = max(sorted(set(named)), key=named.count) if named else ""
        for place in record.places:
            alone = with_first_look(plain, place, yardstick.id, FirstReadings(), "", run.today)
            bases = ((yardstick.id, species),)
            named = _named(run, bases, "yardstick", replace(alone, visits=()), yardstick.id, place.id, season, weather)
            yield _Wanted(record.property, plain, place, yardstick.id, "", season, bases, named)


def _weather(fieldbook: Fieldbook, ground: Property, run: Run) -> Weather | None:
    try:
        return _of_season(days_for(fieldbook, ground, run), last_finished_season(run.today, ground.latitude_deg))
    except Missing:
        return None


def _of_season(weather: Weather, season: int) -> Weather:
    """The days that decide a season's shoots, and none that came since."""
    kept = [at for at, day in enumerate(weather.days) if season - _WEATHER_YEARS <= day.year <= season]
    return replace(weather, told=(), **{
        each.name: tuple(values[at] for at in kept) for each in fields(Weather)
        if isinstance(values := getattr(weather, each.name), tuple) and len(values) == len(weather.days)})


def _species_by_class() -> tuple[tuple[str, str], ...]:
    """A species of each growth class."""
    found: dict[str, str] = {}
    for row in table("species").rows:
        found.setdefault(str(row["growth_class"]), str(row["botanical_name"]))
    return tuple(sorted(found.items()))
