"""One cell of a list held against what its column is: taken, or what is wrong with it and what would mend it."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from datetime import date, timedelta

from rootcase.fieldbook.intake.grid import Cell, folded
from rootcase.fieldbook.intake.lists import notation
from rootcase.fieldbook.intake.lists.columns import Theirs
from rootcase.fieldbook.intake.lists.troubles import Answer, Trouble
from rootcase.fieldbook.intake.lists.units import other_units, unit_text
from rootcase.fieldbook.intake.lists.words import target_of
from rootcase.fieldbook.intake.species import APART, are_apart, resolve
from rootcase.fieldbook.intake.values import Value, not_too_old, read_value
from rootcase.ground import typed
from rootcase.ground.dates import show_date
from rootcase.ground.errors import RootcaseError, TypedError, UnknownUnit
from rootcase.ground.quantity import number, with_unit
from rootcase.ground.typed import Typed
from rootcase.ground.units import convert, relatives, unit_label, unit_name
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import ReadingKind, also_shown, check, message, years_meant

_LIKE_OTHERS = 1.5
"""How far beyond the good values of its column a value in another unit may lie and still be like them (JUDGEMENT)."""
_CHOICES_SHOWN = 8
_ALIKE, _ALIKE_UNITS = 0.6, 0.5


_QUESTIONED = re.compile(r"(\d[\d.,]*)\s*\?+")
_SHORT_YEAR = re.compile(r"['’‘](\d\d)")
_WORD_FIRST, _WORD_LAST = re.compile(r"([^\W\d][^\d]*?)[\s:=]+(\d.*)"), re.compile(r"(\d.*?)\s+([^\W\d]+)")


def leave() -> Answer:
    return Answer("leave", say("lists.does.leave"), "leave")


def keep() -> Answer:
    return Answer("keep", say("lists.does.keep"), "keep")


def written(value: str, to: str, word: str = "yes") -> Answer:
    """Another text in the place of this one."""
    return Answer(word, say("lists.does.write", to=to), "write", to, ((value, to),))


class Checker:
    """Checks the cells of one column after another; what the good ones are like says what a bad one may be."""

    def __init__(self, system: System, today: date, usual: Mapping[str, tuple[float, float]]) -> None:
        self.system, self.today, self.usual = system, today, usual
        """usual: least and greatest of the values of each column that raise no doubt, in SI."""

    def value(self, row: int, theirs: Theirs, cell: Cell, day: date | None) -> Trouble | Value | None:
        """The value of a cell under a kind; None where it holds none."""
        kind = theirs.kind
        assert kind is not None  # only columns of a kind are checked so
        as_read = Cell(notation.with_comma(cell.text, theirs.comma), cell.form)
        if kind.kind == "species":
            return self._species(row, theirs, cell)
        try:
            value = read_value(kind, as_read, theirs.unit, self.system, day, theirs.factor)
        except RootcaseError as error:
            if kind.value_type == "choice":
                return self._choice(row, theirs, cell, error)
            return self._number(row, theirs, cell, as_read, day, error)
        if value and value.doubts and value.value is not None:
            try:
                found = typed.read(as_read.text)
            except TypedError as error:  # its comma was decided by the limits alone, and what came of it is unusual
                return self._number(row, theirs, cell, as_read, day, error)
            return self._other_unit(row, theirs, cell, found, may_be_right=True) or value
        return value

    def day(self, row: int, theirs: Theirs, cell: Cell) -> Trouble | date:
        """The day of a cell."""
        try:
            day = not_too_old(notation.day_of(cell, theirs.order, self.today))
        except RootcaseError as error:
            if theirs.order is None and notation.has_open_order(cell.text):
                answers = tuple(Answer(word, say(f"lists.does.{word}"), word) for word in ("day-first", "month-first"))
                return Trouble(row, theirs.header, cell.text, "day_order", error.what, "", answers)
            if meant := notation.day_of_serial(cell.text):
                return Trouble(row, theirs.header, cell.text, "day_serial", error.what, say("lists.is_it", value=meant),
                               (written(cell.text, meant), leave()), typed=True)
            return Trouble(row, theirs.header, cell.text, "day", error.what, error.right, (leave(),), typed=True,
                           key=cell.text)
        if day > self.today + timedelta(days=1):
            return Trouble(row, theirs.header, cell.text, "day_ahead", say("lists.day_ahead", day=show_date(day)),
                           say("dates.right"), (leave(),), typed=True, key=cell.text)
        return day

    def _species(self, row: int, theirs: Theirs, cell: Cell) -> Trouble | Value:
        named = resolve(cell.text)
        if named.botanical or not named.candidates:
            return Value(cell.text, choice=cell.text)
        if len(named.candidates) == 1:
            answers = (written(cell.text, named.candidates[0]),)
        else:
            answers = tuple(written(cell.text, each, each) for each in named.candidates)
        first, _, second = cell.text.partition(APART)
        what = say("lists.species_apart") if are_apart(first, second) else say(
            "lists.species" if named.how == "near" else "lists.species_several", typed=cell.text)
        return Trouble(row, theirs.header, cell.text, "species", what,
                       say("lists.is_it", value=say("readings.or").join(named.candidates)), (*answers, keep()),
                       typed=True, key=folded(cell.text))

    def _choice(self, row: int, theirs: Theirs, cell: Cell, error: RootcaseError) -> Trouble:
        kind = theirs.kind
        assert kind is not None
        words = {folded(word): code for code, definition in kind.choices.items() for word in (code, definition,
                                                                                             *definition.split())}
        near = [words[word] for word in difflib.get_close_matches(folded(cell.text), words, n=3, cutoff=_ALIKE)]
        codes = tuple(dict.fromkeys([*near, *kind.choices]))[:_CHOICES_SHOWN]
        answers = tuple(Answer(code, kind.choices[code], "write", code) for code in codes)
        return Trouble(row, theirs.header, cell.text, "choice", error.what, error.right, (*answers, keep(), leave()),
                       key=folded(cell.text))

    def _number(self, row: int, theirs: Theirs, cell: Cell, as_read: Cell, day: date | None,
                error: RootcaseError) -> Trouble:
        """Why a cell under a number cannot be taken."""
        kind = theirs.kind
        assert kind is not None

        def trouble(cause: str, what: str, right: str = "", answers: tuple[Answer, ...] = (), key: str = "",
                    typed: bool = True) -> Trouble:
            return Trouble(row, theirs.header, cell.text, cause, what, right, (*answers, leave()), typed, key)

        if cell.form == "date":
            return trouble("number_as_date", error.what, say("lists.type_it"), key=cell.text)
        if theirs.comma is None and notation.has_open_comma(cell.text):
            answers = tuple(Answer(word, say(f"lists.does.{word}"), word) for word in ("decimal", "thousands"))
            return trouble("comma", error.what, "", answers, typed=False)
        if kind.kind == "dbh" and notation.stems_of(cell.text):
            return trouble("stems", say("lists.stems"), say("lists.right_stems"),
                           (Answer("stems", say("lists.does.stems"), "stems"),))
        if meant := self._meant(theirs, as_read.text):
            what, texts = meant
            return trouble("unreadable", what, say("lists.is_it", value=say("readings.or").join(texts)),
                           tuple(written(cell.text, text, text if len(texts) > 1 else "yes") for text in texts), what)
        if isinstance(error, UnknownUnit):
            return trouble("unit", *_unit_word(kind, cell.text), key=cell.text)
        try:
            found = typed.read(as_read.text)
        except TypedError:
            return trouble("number_as_date" if error.what == say("typed.date") else "unreadable", error.what,
                           say("lists.type_it"), (keep(),), cell.text)
        if found is None or found.value is None:
            return trouble("range", error.what, say("intake.right_range"), key=cell.text)
        return self._out_of_limits(row, theirs, cell, found, day, error)

    def _meant(self, theirs: Theirs, text: str) -> tuple[str, tuple[str, ...]] | None:
        """What a text that is no value was written for, where that can be told: what is wrong with it, and values."""
        kind = theirs.kind
        assert kind is not None
        if (found := _SHORT_YEAR.fullmatch(text)) and kind.si_unit == "year":
            years = [century + int(found[1]) for century in (2000, 1900)]
            return say("typed.unreadable"), tuple(str(year) for year in years if year <= self.today.year)
        if found := _QUESTIONED.fullmatch(text):
            return say("lists.unsure"), (f"~{found[1]}",)
        first, last = _WORD_FIRST.fullmatch(text), _WORD_LAST.fullmatch(text)
        word, figure = (first[1], first[2]) if first else (last[2], last[1]) if last else ("", "")
        named = target_of(word)
        if named is None or named.target == theirs.word or named.kind is None or named.kind.kind != kind.kind:
            return None
        try:
            girth = typed.read(figure)
        except TypedError:
            return None
        if girth is None or girth.value is None:
            return None
        through = with_unit(number(girth.value * named.factor / theirs.factor, 4), girth.unit or theirs.unit)
        return say("lists.girth_in_cell", through=through), (through,)

    def _out_of_limits(self, row: int, theirs: Theirs, cell: Cell, found: Typed, day: date | None,
                       error: RootcaseError) -> Trouble:
        """A number that is read but cannot be: nothing or less, another unit, a year ahead, a lost point."""
        kind = theirs.kind
        assert kind is not None
        assert found.value is not None

        def trouble(cause: str, what: str, right: str = "", answers: tuple[Answer, ...] = (), key: str = "") -> Trouble:
            return Trouble(row, theirs.header, cell.text, cause, what, right, (*answers, leave()), True, key)

        if found.value <= 0 and (kind.lower_hard or 0) > 0:
            return trouble("nothing", say("lists.nothing", kind=kind.label), say("lists.right_nothing"))
        if day and found.value > day.year and kind.si_unit == "year":
            years = tuple(map(str, years_meant(int(found.value), day.year)))
            return trouble("year_ahead", say("lists.year_ahead", kind=kind.label, year=number(found.value, 9).replace(
                ",", "")), say("lists.is_it", value=say("readings.or").join(years)) if years else "",
                tuple(written(cell.text, year, year) for year in years), cell.text)
        if other := self._other_unit(row, theirs, cell, found, may_be_right=False):
            return other
        shown = unit_label(found.unit or theirs.unit)
        point = [number(found.value / by, 9).replace(",", "") for by in (10, 100) if check(
            kind, convert(found.value / by, found.unit or theirs.unit, kind.si_unit) * theirs.factor) == "ok"]
        answers = tuple(written(cell.text, f"{each} {shown}".strip(), each) for each in point)
        answers += _in_shown_units(theirs, cell.text, found)
        return trouble("impossible", message(kind, found.value * theirs.factor, found.unit or theirs.unit)
                       or error.what, error.right, answers, cell.text)

    def _other_unit(self, row: int, theirs: Theirs, cell: Cell, found: Typed | None, *,
                    may_be_right: bool) -> Trouble | None:
        """Whether the value is like the others of its column in one other unit."""
        kind = theirs.kind
        usual = self.usual.get(theirs.header)
        if kind is None or usual is None or found is None or found.value is None or found.unit or not theirs.unit:
            return None
        right = [unit for unit in other_units(kind) if unit != theirs.unit and usual[0] / _LIKE_OTHERS
                 <= convert(found.value, unit, kind.si_unit) * theirs.factor <= usual[1] * _LIKE_OTHERS]
        if len(right) != 1:
            return None
        turned = with_unit(number(convert(found.value, right[0], theirs.unit), 3), theirs.unit)
        right_as_it_is = (Answer("right", say("lists.does.right"), "right"),) if may_be_right else ()
        return Trouble(row, theirs.header, cell.text, "unit_slip", say("lists.unit_slip", unit=unit_text(theirs.unit),
                                                                       other=unit_text(right[0])),
                       say("lists.as_other", value=number(found.value, 6), other=unit_label(right[0]), turned=turned),
                       (Answer(right[0], say("lists.does.unit", unit=unit_text(right[0])), "unit", right[0]), leave(),
                        *right_as_it_is),
                       typed=False, key=right[0])


def _in_shown_units(theirs: Theirs, text: str, found: Typed) -> tuple[Answer, ...]:
    """The same figure in the other units that instruments and laboratories show, where it would be usual."""
    kind, unit = theirs.kind, found.unit or theirs.unit
    assert kind is not None
    assert found.value is not None
    answers = []
    for label, size in also_shown(kind) if theirs.factor == 1.0 and found.sign == "=" else ():
        value_si = found.value * float(size)
        if label == unit_label(unit) or check(kind, value_si) != "ok":
            continue
        to = with_unit(number(convert(value_si, kind.si_unit, unit), 6).replace(",", ""), unit)
        does = say("lists.does.shown", shown=with_unit(number(found.value, 9), label), to=to)
        answers.append(Answer(label.replace("µ", "u").replace("³", "3"), does, "write", to, ((text, to),)))
    return tuple(answers)


def _unit_word(kind: ReadingKind, text: str) -> tuple[str, str, tuple[Answer, ...]]:
    """A unit that is none, or none of this kind, and the one that may be meant."""
    word = re.sub(r"^[^A-Za-zµ\"']*", "", text) or re.sub(r"^[\d.,\s]*", "", text)
    right = say("lists.right_unit", units=", ".join(dict.fromkeys(kind.pair)))
    try:
        return say("lists.wrong_unit", unit=unit_name(word), kind=kind.label), right, ()
    except UnknownUnit:
        near = difflib.get_close_matches(word.lower(), relatives(kind.si_unit), n=1, cutoff=_ALIKE_UNITS)
    answers = tuple(written(text, text.removesuffix(word) + each) for each in near)
    return say("lists.no_unit", unit=word), right, answers

