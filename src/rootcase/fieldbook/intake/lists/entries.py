"""The rows of a list as trees or samples: mended, named, placed, dated, each cell checked."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date

from rootcase.fieldbook.intake.grid import Cell, Row, folded
from rootcase.fieldbook.intake.lists import notation
from rootcase.fieldbook.intake.lists.checks import Checker
from rootcase.fieldbook.intake.lists.columns import Mapped, Theirs, is_blank
from rootcase.fieldbook.intake.lists.doubles import ask_twice, deed_for
from rootcase.fieldbook.intake.lists.entry import Entries, Entry
from rootcase.fieldbook.intake.lists.samples import prepare_samples
from rootcase.fieldbook.intake.lists.table import Table
from rootcase.fieldbook.intake.lists.told import Mend, Told, day_said
from rootcase.fieldbook.intake.lists.troubles import Answer, Trouble
from rootcase.fieldbook.intake.lists.units import unit_text
from rootcase.fieldbook.intake.species import APART, are_apart, names_no_kind, resolve
from rootcase.fieldbook.intake.values import read_choice
from rootcase.ground import typed
from rootcase.ground.errors import RootcaseError, UnknownUnit
from rootcase.ground.units import convert, unit_name
from rootcase.ground.words import say
from rootcase.tables.readings import check, kinds

_UNIT_BESIDE = re.compile(r"\d\s*([^\W\d][\w²³/.]*|[\"'%″′”])\s*$")
_NAMED = 8
NUMBERS = ("number", "integer", "share", "count", "profile")


def read_entries(table: Table, mapped: Mapped, told: Told, today: date) -> Entries:
    """Mend, name, place, date and check every row."""
    mends = {(mend.column, value): mend for mend in told.mends for value in mend.values}
    rows, told_of_names = _named_by_other(table.rows, mapped)
    found = Entries([_mended(mapped, row, mends) for row in rows], told=told_of_names)
    checker = Checker(mapped.system or "metric", today, _usual(mapped, found.rows))
    _days(found, mapped, told, checker, today)
    if mapped.laboratory:
        found.troubles += prepare_samples(found.rows, mapped, mapped.laboratory, table.units)
    _join_genus(found, mapped)
    _labels(found, mapped, mends)
    _places(found, mapped, told)
    trunks = [theirs.header for theirs in mapped.columns if theirs.target == "dbh"]
    found.told += [say("lists.further_stem", column=header, first=trunks[0]) for header in trunks[1:]]
    for theirs in mapped.columns:
        if theirs.kind:
            _check(found, theirs, checker, today)
    return found


def named(found: Entries, mapped: Mapped) -> list[Trouble]:
    """The troubles, each with what its row is called and what the file said before anything was mended."""
    rows = {entry.row.number: entry for entry in found.rows}
    at = {theirs.header: theirs.at for theirs in mapped.columns}
    own = mapped.labels.header if mapped.labels else None
    told = []
    for trouble in found.troubles:
        entry = rows.get(trouble.row)
        label = entry.label if entry and own not in (None, trouble.column) else ""
        first = entry.row.cells[at[trouble.column]].text if entry and trouble.column in at else ""
        told.append(replace(trouble, label=label, was=first if first != trouble.value else ""))
    return told


def not_known(found: Entries, mapped: Mapped) -> tuple[str, ...]:
    """Which of the ready trees have no kind of our tables, no diameter, or no place of their own."""
    if mapped.thing != "tree":
        return ()
    ready, told = found.ready(), []
    species, dbh, place = (mapped.of(target) for target in ("species", "dbh", "place"))
    if species:
        kinds_open = [entry for entry in ready if species.at not in entry.accepted
                      and resolve(entry.cells[species.at].text).botanical is None]
        told += _some("kind", kinds_open, species)
    if dbh:
        told += _some("dbh", [entry for entry in ready if not entry.cells[dbh.at].text or is_blank(
            entry.cells[dbh.at])], dbh)
    if place:
        told += _some("place", [entry for entry in ready if not entry.has_place], place)
    return tuple(told)


def _some(what: str, entries: Sequence[Entry], theirs: Theirs) -> list[str]:
    """One line that names them, with what stands in their cells; none where there are none."""
    if not entries:
        return []
    texts = [(entry.label, entry.cells[theirs.at].text) for entry in entries[:_NAMED]]
    names = ", ".join(say("lists.not_known.typed", label=label, typed=text) if text else label for label, text in texts)
    rest = say("lists.and_more", count=len(entries) - _NAMED) if len(entries) > _NAMED else ""
    return [say(f"lists.not_known.{what}", count=len(entries), names=names + rest, place=entries[0].place)]


def _named_by_other(rows: Sequence[Row], mapped: Mapped) -> tuple[list[Row], list[str]]:
    """A kind that one column leaves empty is taken from the other that names kinds; where both do they must agree."""
    species = mapped.of("species")
    other = next((each for each in mapped.columns if each.second_of == "species"), None)
    if species is None or other is None:
        return list(rows), []
    found, filled = [], []
    for row in rows:
        cells, (own, beside) = list(row.cells), (row.cells[each.at] for each in (species, other))
        if names_no_kind(own.text) and not names_no_kind(beside.text):
            cells[species.at] = beside
            filled.append(row.number)
        elif are_apart(own.text, beside.text):
            cells[species.at] = Cell(f"{own.text}{APART}{beside.text}")
        found.append(Row(row.number, tuple(cells)))
    if not filled:
        return found, []
    return found, [say("lists.named_by_other", column=species.header, count=len(filled), other=other.header,
                       cells=say("lists.empty_cell" if len(filled) == 1 else "lists.empty_cells"), row=filled[0],
                       name=next(row.cells[other.at].text for row in rows if row.number == filled[0]))]


def _mended(mapped: Mapped, row: Row, mends: Mapping[tuple[str, str], Mend]) -> Entry:
    entry = Entry(row, dict(enumerate(row.cells)))
    for theirs in mapped.columns:
        cell = entry.cells[theirs.at]
        mend = mends.get((theirs.header, cell.text))
        if mend is None:
            continue
        if mend.do in ("unit", "write"):
            entry.cells[theirs.at] = entry.written[theirs.at] = Cell(mend.written(cell.text))
        elif mend.do == "right" or (mend.do == "keep" and theirs.target == "species"):
            entry.accepted.add(theirs.at)
        elif mend.do == "stems" and (stems := notation.stems_of(cell.text)):
            first, *more = stems
            entry.cells[theirs.at], entry.stems[theirs.at] = Cell(first), tuple(more)
        elif mend.do in ("keep", "leave"):
            if mend.do == "keep":
                entry.kept[say("lists.kept_as", name=theirs.header)] = cell.text
            entry.cells[theirs.at] = Cell("")
    return entry


def _usual(mapped: Mapped, rows: Iterable[Entry]) -> dict[str, tuple[float, float]]:
    """Least and greatest usual value of each column of numbers, in SI."""
    found: dict[str, list[float]] = defaultdict(list)
    for theirs in mapped.columns:
        kind = theirs.kind
        if kind is None or kind.value_type not in NUMBERS or not theirs.unit:
            continue
        for entry in rows:
            try:
                read = typed.read(notation.with_comma(entry.cells[theirs.at].text, theirs.comma))
                if read and read.value is not None and not read.unit:
                    value_si = convert(read.value, theirs.unit, kind.si_unit) * theirs.factor
                    if check(kind, value_si) == "ok":
                        found[theirs.header].append(value_si)
            except RootcaseError:
                continue
    return {header: (min(values), max(values)) for header, values in found.items()}


def _days(found: Entries, mapped: Mapped, told: Told, checker: Checker, today: date) -> None:
    """The day of each row: its own, else the one somebody has said."""
    theirs, given = mapped.of("day"), day_said(told, today, mapped.system)
    for entry in found.rows:
        entry.day = given
        if theirs is None:
            continue
        cell = entry.cells[theirs.at]
        if is_blank(cell) or not cell.text:
            if given is None:
                found.troubles.append(Trouble(entry.row.number, theirs.header, cell.text, "no_day", say("lists.no_day"),
                                              say("lists.right_no_day"), typed=True))
            continue
        day = checker.day(entry.row.number, theirs, cell)
        if isinstance(day, Trouble):
            found.troubles.append(day)
        else:
            entry.day = day


def _labels(found: Entries, mapped: Mapped, mends: Mapping[tuple[str, str], Mend]) -> None:
    """What each tree is called: its tag, else its kind with a running number; one tag twice a day is asked about."""
    theirs = mapped.labels
    made: Counter[str] = Counter()
    bearing: dict[tuple[object, ...], list[Entry]] = defaultdict(list)
    for entry in found.rows:
        tag = entry.cells[theirs.at] if theirs else Cell("")
        name = _kind_name(entry, mapped)
        made[folded(name)] += 1
        wanted = theirs is None or deed_for(mends, theirs, entry) == "name"
        entry.label = tag.text if not is_blank(tag) else ""
        if not entry.label and wanted:
            entry.label = f"{name} {made[folded(name)]}"
        if not entry.label and theirs:
            found.troubles.append(Trouble(entry.row.number, theirs.header, tag.text, "no_tag", say("lists.no_tag"),
                                          say("intake.right_label"),
                                          (Answer("name", say("lists.does.name"), "name"),)))
        bearing[folded(entry.label), entry.day, entry.depth_mm].append(entry)
    if theirs is None:
        found.told.append(say("lists.labels_made", first=found.rows[0].label if found.rows else ""))
        return
    taken = {str(label) for label, *_ in bearing}
    for (label, *_), entries in bearing.items():
        if label and len(entries) > 1:
            ask_twice(found, theirs, entries, deed_for(mends, theirs, entries[0]), taken)


def _kind_name(entry: Entry, mapped: Mapped) -> str:
    species = mapped.of("species")
    text = entry.cells[species.at].text if species else ""
    return resolve(text).botanical or text or say(f"lists.thing.{mapped.thing}")


def _places(found: Entries, mapped: Mapped, told: Told) -> None:
    place, ground = mapped.of("place"), mapped.of("ground")
    for entry in found.rows:
        text = entry.cells[place.at] if place else Cell("")
        entry.has_place = bool(text.text) and not is_blank(text)
        entry.place = text.text if entry.has_place else told.place or say("lists.one_place")
        entry.ground = entry.cells[ground.at].text if ground else ""
    strange = dict.fromkeys(entry.ground for entry in found.rows if entry.ground and not ground_of(entry.ground))
    if ground and strange:
        found.told.append(say("lists.ground_unknown", column=ground.header, words=", ".join(strange)))


def ground_of(text: str) -> str:
    """A place's kind as a cell of the list gives it; empty where it is none of ours."""
    try:
        return read_choice(kinds()["place_kind"], text)
    except RootcaseError:
        return ""


def _check(found: Entries, theirs: Theirs, checker: Checker, today: date) -> None:
    """Check the cells of one column."""
    own_units: list[str] = []
    for entry in found.rows:
        cell = whole = entry.cells[theirs.at]
        if not cell.text or theirs.at in entry.accepted or theirs.target in ("latitude", "longitude"):
            continue
        if theirs.target == "planting_year" and (year := _year_of(cell)):
            entry.kept[say("lists.kept_as", name=theirs.header)], entry.cells[theirs.at] = cell.text, Cell(year)
            cell = Cell(year)
        for text in (cell.text, *entry.stems.get(theirs.at, ())):
            result = checker.value(entry.row.number, theirs, Cell(text, cell.form), entry.day or today)
            if isinstance(result, Trouble):
                found.troubles.append(result.of(whole.text) if theirs.target == "planting_year" else result)
            elif result and result.value is not None and (beside := _UNIT_BESIDE.search(text)):
                own_units += [] if _same_unit(beside[1], theirs.unit) else [text]
    if several := sum(bool(entry.stems.get(theirs.at)) for entry in found.rows):
        found.told.append(say("lists.stems_kept", column=theirs.header, count=several))
    if own_units:
        found.told.append(say("lists.own_unit", column=theirs.header, count=len(own_units), first=own_units[0],
                              unit=unit_text(theirs.unit)))


def _same_unit(text: str, unit: str) -> bool:
    try:
        return unit_name(text) == unit_name(unit)
    except UnknownUnit:
        return True  # a word that belongs to the number, such as its sign


def _year_of(cell: Cell) -> str:
    """The year of a whole date, where a year is wanted."""
    found = re.match(r"((?:1[5-9]|20)\d\d)-\d\d-\d\d", cell.text) or re.fullmatch(
        r"\d{1,2}[-/.]\d{1,2}[-/.]((?:1[5-9]|20)\d\d)", cell.text)
    return found[1] if found else ""


def _join_genus(found: Entries, mapped: Mapped) -> None:
    """A genus and a species in two columns are one name."""
    genus, species = mapped.of("genus"), mapped.of("species")
    if not genus or not species:
        return
    for entry in found.rows:
        first, second = entry.cells[genus.at].text, entry.cells[species.at].text
        if first and second and not second.casefold().startswith(first.casefold()):
            entry.cells[species.at] = Cell(f"{first} {second}")

