"""Bring: a file waits at the desk while it is looked at and mended in place; then what is good in it is kept.

A waiting file lies in a folder of its own with a random name, which nobody but the owner of the process may open.
"""

from __future__ import annotations

import json
import secrets
import shutil
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import BinaryIO, Literal
from zipfile import ZIP_DEFLATED, ZipFile

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.intake.faults import Fault
from rootcase.fieldbook.intake.fence import folder_files
from rootcase.fieldbook.intake.foreign.limits import FILE_BYTES, MB
from rootcase.fieldbook.intake.importer import ImportResult, Written
from rootcase.fieldbook.intake.lists.listing import Given, Listing, is_list
from rootcase.fieldbook.intake.lists.told import Told, mapping_path, read_told, write_told
from rootcase.fieldbook.intake.lists.troubles import answered
from rootcase.fieldbook.photos import pieces
from rootcase.fieldbook.whole_file import private_file, write_whole
from rootcase.ground.errors import FileError, Missing, RootcaseError
from rootcase.ground.words import say
from rootcase.report.text.flags import without_flags
from rootcase.report.text.listed import counted
from rootcase.services.observe import find_property
from rootcase.services.weather import WeatherLook, WeatherSaid, look_at_weather

Kind = Literal["list", "sheet", "weather"]
Stage = Literal["open", "aside", "done"]
_OPEN_FOR = timedelta(days=1)
"""Whoever goes away from a file comes back the same day, or brings it again."""
_UNDO_FOR = timedelta(days=30)
"""JUDGEMENT: whoever took in the wrong weather sees it in the next month's casework."""
_DAY_S = _OPEN_FOR.total_seconds()
_SAID = "said"
_TABLES = (".xlsx", ".xlsm", ".xlsb", ".xls", ".ods")
_LONGEST_NAME = 100
"""Bytes of a name, so that what is added behind it still fits into a file's name."""


@dataclass(frozen=True, slots=True)
class Brought:
    """A file that was brought, and how far it has come."""

    folder: Path
    """Its own; the last part of it is its id."""
    name: str
    """As the person's machine calls it."""
    by: str
    at: datetime
    """When it was brought; once some of it is kept, when that was."""
    kind: Kind = "list"
    stage: Stage = "open"
    file: str = ""
    """What is read of it; empty once nothing is left to be read."""
    property_name: str = ""
    """Of a field sheet that does not name it; else the one it went to."""
    told: tuple[str, ...] = ()
    """What came of it."""

    @property
    def id(self) -> str:
        return self.folder.name

    @property
    def path(self) -> Path:
        return self.folder / "file" / self.file

    def said(self) -> Told:
        """What was said of a list so far."""
        mapping = mapping_path(self.path)
        return read_told(mapping) if mapping.exists() else Told()

    def written(self) -> Written:
        """The cells of a field sheet that were mended."""
        place = self.folder / "written.json"
        cells = json.loads(place.read_text(encoding="utf-8")) if place.exists() else []
        return {(page, row, column): text for page, row, column, text in cells}

    def weather_said(self) -> WeatherSaid | None:
        """What was said of a file of weather; None before anything was."""
        place = self.folder / "weather.json"
        return WeatherSaid(**json.loads(place.read_text(encoding="utf-8"))) if place.exists() else None

    def stamp(self) -> str:
        """Another one as soon as something else was said of it."""
        said = (self, self.said(), sorted(self.written().items()), self.weather_said())
        return sha256(repr(said).encode(errors="replace")).hexdigest()


@dataclass(frozen=True, slots=True)
class Look:
    """What would come of a file as it stands; nothing of it is kept."""

    listing: Listing | None = None
    sheet: ImportResult | None = None
    weather: WeatherLook | None = None

    @property
    def mark(self) -> str:
        """Another one as soon as its columns or groups have other numbers."""
        shown = ((tuple(each.header for each in self.listing.columns),
                  tuple((each.column, each.values) for each in self.listing.groups)) if self.listing else
                 tuple(each.line for each in self.sheet.faults) if self.sheet else self.weather)
        return sha256(repr(shown).encode(errors="replace")).hexdigest()[:16]


def waiting_folder(fieldbook: Path, practice_id: str) -> Path:
    """Where a practice's files wait: beside the fieldbook, with nothing in its name that somebody typed."""
    return fieldbook.with_name(f"{fieldbook.name}.brought") / sha256(practice_id.encode()).hexdigest()[:16]


def lay(folder: Path, name: str, source: BinaryIO, kind: Kind, by: str, now: datetime) -> Brought:
    """Lay a file into a folder of its own, as it comes."""
    own = folder / secrets.token_hex(16)
    (own / "file").mkdir(mode=0o700, parents=True)
    for each in (folder, own):
        each.chmod(0o700)
    file = _plain_name(name)
    brought = Brought(own, file, by, now, kind, file=file)
    try:
        _copy(source, brought)
        if file.lower().endswith(".zip"):
            brought = _unpacked(brought)
        return _note(brought)
    except BaseException:
        shutil.rmtree(own)
        raise


def recognise(fieldbook: Fieldbook, brought: Brought) -> Brought:
    """Tell a list from a field sheet; a list that was brought before is read as it was then, where that fits."""
    if brought.kind == "weather":
        return brought
    try:
        found = replace(brought, kind="list" if is_list(brought.path) else "sheet")
        remembered = _remembered(found)
        if found.kind == "list" and remembered.exists():
            shutil.copyfile(remembered, mapping_path(found.path))
            if _fits(fieldbook, found):
                found = replace(found, told=(say("bring.remembered", name=found.name),))
            else:
                mapping_path(found.path).unlink()
    except RootcaseError as error:
        leave(brought)
        raise said_of(error, brought) from None
    return _note(found)


def waiting(folder: Path, now: datetime) -> tuple[Brought, ...]:
    """The files that wait, newest first; what nobody came back to for a day is taken away."""
    found = []
    for own in (folder.iterdir() if folder.exists() else ()):
        brought = _read(own)
        stays = _UNDO_FOR if brought and (brought.kind, brought.stage) == ("weather", "done") else _OPEN_FOR
        if brought is not None and (brought.stage == "aside" or now - brought.at < stays):
            found.append(brought)
        elif brought is not None or (own.name != _SAID and now.timestamp() - own.stat().st_mtime > _DAY_S):
            shutil.rmtree(own, ignore_errors=True)
    return tuple(sorted(found, key=lambda each: each.at, reverse=True))


def find(folder: Path, brought_id: str, now: datetime) -> Brought:
    """The file of this id."""
    found = next((each for each in waiting(folder, now) if each.id == brought_id), None)
    if found is None:
        raise Missing(say("bring.gone"), right=say("bring.bring_again"))
    return found


def leave(brought: Brought) -> None:
    """Take a file away with all that was said of it."""
    shutil.rmtree(brought.folder, ignore_errors=True)


def look(fieldbook: Fieldbook, brought: Brought) -> Look:
    """What would come of it as it stands."""
    try:
        if brought.kind == "weather":
            said = brought.weather_said()
            return Look(weather=look_at_weather(fieldbook, brought.path, said) if said else None)
        if brought.kind == "list":
            return Look(listing=fieldbook.import_list(brought.path, Given(Told())))
        return Look(sheet=fieldbook.import_sheet(brought.path, property_id=_named(fieldbook, brought),
                                                 written=brought.written(), keep=False))
    except RootcaseError as error:
        raise said_of(error, brought) from None


def tell(brought: Brought, told: Told) -> None:
    """Say all of this of a list, in the place of what was said before."""
    write_told(mapping_path(brought.path), told, (), brought.name)


def mend(brought: Brought, listing: Listing, answers: Iterable[tuple[str, str]]) -> None:
    """Answer groups of a list's faults, or single values of them, by their numbers in that look."""
    told = brought.said()
    for number, word in answers:
        told = answered(told, listing.groups, number, word)
    tell(brought, told)


def can_be_written(fault: Fault) -> bool:
    """Whether a fault of a field sheet is in one cell, so that another text can be typed for it."""
    return bool(fault.column or fault.value.startswith('"')) and not fault.cells


def write_cells(brought: Brought, texts: Iterable[tuple[Fault, str]]) -> None:
    """Have other texts read in the cells that are at fault in a field sheet."""
    written = dict(brought.written())
    for fault, text in texts:
        mended = (column for (page, row, column), before in written.items() if (page, row, f'"{before}"') == (
            fault.sheet, fault.row, fault.value) and column.startswith('"'))
        written[fault.sheet, fault.row, fault.column or next(mended, fault.value)] = text
    plain = [[*key, text] for key, text in written.items()]
    write_whole({brought.folder / "written.json": json.dumps(plain).encode()})


def call(brought: Brought, property_name: str) -> Brought:
    """Say which property a field sheet belongs to."""
    return _note(replace(brought, property_name=property_name))


def save(fieldbook: Fieldbook, brought: Brought, now: datetime) -> Brought:
    """Keep what is ready; what waits is set aside, the rest of the file is taken away."""
    try:
        return _saved(fieldbook, brought, now)
    except RootcaseError as error:
        raise said_of(error, brought) from None


def _saved(fieldbook: Fieldbook, brought: Brought, now: datetime) -> Brought:
    kept_now = replace(brought, at=now)
    if brought.kind == "list":
        listing = fieldbook.under(brought.by).import_list(brought.path, Given(Told(), save=True))
        if not listing.saved:
            raise Missing(say("bring.not_ready"), right=say("bring.say_first"))
        shutil.copyfile(listing.mapping_path, _remembered(brought))
        return set_aside(kept_now, listing.rejects_path, listing.property_name, (counted("saved", listing),))
    result = fieldbook.under(brought.by).import_sheet(brought.path, property_id=_named(fieldbook, brought),
                                                      written=brought.written())
    done = say("terminal.import.done", property=result.property_name, new=f"{result.new:,}", same=f"{result.same:,}",
               corrected=f"{result.corrected:,}")
    return set_aside(kept_now, result.rejects_path, result.property_name, (done,))


def forget(brought: Brought) -> None:
    """Read a list as if it had never been brought before."""
    for place in (_remembered(brought), mapping_path(brought.path)):
        place.unlink(missing_ok=True)
    _note(replace(brought, told=()))


def set_aside_file(brought: Brought) -> tuple[str, bytes]:
    """The rows that wait, each with its reason, in the form of the file they came in; a folder as a zip."""
    if not brought.path.is_dir():
        return brought.path.name, brought.path.read_bytes()
    data = BytesIO()
    with ZipFile(data, "w", ZIP_DEFLATED) as packed:
        for each in sorted(brought.path.iterdir()):
            packed.write(each, f"{brought.file}/{each.name}")
    return f"{brought.file}.zip", data.getvalue()


def said_of(error: RootcaseError, brought: Brought) -> FileError:
    """The same trouble without where on the server's disk the file lies."""
    return placed_elsewhere(error, brought.path, brought.name)


def placed_elsewhere(error: RootcaseError, path: Path, name: str) -> FileError:
    """The same trouble with a file's own name, and no flags that only a command line has."""
    where = error.where.replace(str(path), name).replace(f"{path.parent}/", "")
    return FileError(error.what, where=where, value=error.value, right=without_flags(error.right))


def set_aside(brought: Brought, rejects: Path | None, property_name: str, told: tuple[str, ...]) -> Brought:
    """Leave of a file only the rows that wait."""
    (brought.folder / "written.json").unlink(missing_ok=True)
    if rejects is None:
        shutil.rmtree(brought.folder / "file")
        return _note(replace(brought, stage="done", file="", property_name=property_name, told=told))
    ending = say("intake.rejects_name")
    stem = Path(brought.name).stem.removesuffix(f"-{ending}")
    if brought.path.is_dir():  # rows that wait may name pictures
        for each in [each for each in brought.path.iterdir() if each.suffix.lower() != ".csv"]:
            each.replace(rejects / each.name)
        shutil.rmtree(brought.path)
    else:
        brought.path.unlink()
    place = rejects.with_name(f"{stem}-{ending}{rejects.suffix}")
    rejects.rename(place)
    file = place.relative_to(brought.folder / "file").as_posix()
    return _note(replace(brought, stage="aside", file=file, property_name=property_name, told=told))


def _named(fieldbook: Fieldbook, brought: Brought) -> str | None:
    return find_property(fieldbook, brought.property_name).id if brought.property_name else None


def _fits(fieldbook: Fieldbook, brought: Brought) -> bool:
    """Whether what was said of an earlier file of this name can be said of this one."""
    try:
        fieldbook.import_list(brought.path, Given(Told()))
    except RootcaseError:
        return False
    return True


def _remembered(brought: Brought) -> Path:
    """Where what was said of a list is kept for the next time a file of its name is brought."""
    said = brought.folder.parent / _SAID
    said.mkdir(mode=0o700, exist_ok=True)
    return said / f"{sha256(brought.name.casefold().encode()).hexdigest()[:32]}.toml"


def _copy(source: BinaryIO, brought: Brought) -> None:
    size = 0
    with private_file(brought.path) as file:
        for piece in pieces(source):
            size += len(piece)
            if size > FILE_BYTES:
                raise FileError(say("fence.large", most=FILE_BYTES // MB), where=brought.name,
                                right=say("fence.right_large"))
            file.write(piece)
    if not size:
        raise FileError(say("intake.empty_file"), where=brought.name, right=say("intake.right_file"))


def _unpacked(brought: Brought) -> Brought:
    """The folder that came as a zip; a workbook alone with its pictures is the sheet."""
    try:
        files = folder_files(brought.path)
    except RootcaseError as error:
        raise said_of(error, brought) from None
    brought.path.unlink()
    place = brought.path.with_suffix("")
    place.mkdir(mode=0o700)
    for name, content in files.items():
        with private_file(place / name) as file:
            file.write(content)
    books = [name for name in files if name.lower().endswith(_TABLES)]
    if len(books) == 1 and not any(name.lower().endswith(".csv") for name in files):
        return replace(brought, file=f"{place.name}/{books[0]}")
    return replace(brought, file=place.name)


def _plain_name(name: str) -> str:
    """A name without a way to it, as a file may have it."""
    last = name.replace("\\", "/").rpartition("/")[2]
    plain = "".join(sign if sign.isprintable() else " " for sign in last.encode(errors="replace").decode()).strip(" .")
    stem, dot, ending = plain.rpartition(".")
    cut = (stem if dot else plain).encode()[:_LONGEST_NAME].decode(errors="ignore").strip() or say("bring.nameless")
    return f"{cut}.{ending[:10]}" if dot else cut


def _note(brought: Brought) -> Brought:
    plain = {**asdict(brought), "folder": "", "at": brought.at.isoformat()}
    write_whole({brought.folder / "brought.json": json.dumps(plain).encode()})
    return brought


def _read(own: Path) -> Brought | None:
    try:
        plain: dict[str, object] = json.loads((own / "brought.json").read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    told: Sequence[str] = plain["told"]  # type: ignore[assignment]
    return Brought(**{**plain, "folder": own, "at": datetime.fromisoformat(str(plain["at"])),  # type: ignore[arg-type]
                      "told": tuple(told)})
