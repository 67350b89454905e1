"""A slide as it is typed: what each method asks for, and what comes of a form."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import get_args

from rootcase.ground.dates import read_date
from rootcase.ground.errors import RootcaseError, UnreadableValue
from rootcase.ground.length import MOST_LINE, MOST_NAME, require_length
from rootcase.ground.words import say
from rootcase.records.make.batch import Figure
from rootcase.records.make.slide import Method, Slide, SlideRow, Source
from rootcase.records.observe import System
from rootcase.science.microscope.nematodes import GROUPS
from rootcase.services.asked import Ask, read_one
from rootcase.tables.load import table

METHODS: tuple[Method, ...] = tuple(sorted(get_args(Method), key=lambda name: float(
    table("microscope/methods").row(method=name)["order"])))
SOURCES: tuple[Source, ...] = get_args(Source)
UNNAMED = "unnamed"
"""Nematodes whose feeding group was not told."""
ROWS = (*GROUPS, UNNAMED)
MOST_COUNTS = 2000
_MOST_ROWS = 40
_NO_UNIT = ("1", "1")
_MM, _MM2, _UL, _ML, _G, _UM = ("mm", "mm"), ("mm2", "mm2"), ("uL", "uL"), ("mL", "mL"), ("g", "g"), ("um", "um")


def _ask(name: str, pair: tuple[str, str], low: float, high: float, *, needed: bool = True) -> Ask:
    return Ask(name, name, pair[0], pair, low, high, needed)


_SQUARE = _ask("square_mm2", _MM2, 1e-6, 1000.0)
_DILUTION = _ask("dilution", _NO_UNIT, 1.0, 1e9, needed=False)
_EYEPIECE = (_ask("field_number_mm", _MM, 1.0, 40.0), _ask("objective", _NO_UNIT, 1.0, 200.0))
_COVER, _DROP = _ask("spread_mm2", _MM2, 1.0, 5000.0), _ask("drop_ul", _UL, 0.1, 1000.0)
_SUSPENSION = (_ask("suspension_ml", _ML, 1e-3, 1e6, needed=False), _ask("mass_g", _G, 1e-6, 1e6, needed=False))
_RECOVERY = _ask("recovery", _NO_UNIT, 0.01, 1.5, needed=False)
_CELL = _ask("cell_um3", _NO_UNIT, 1e-3, 1e6, needed=False)
_DIAMETER = _ask("diameter_um", _UM, 0.1, 100.0, needed=False)
_FILTER = (_ask("filter_mm2", _MM2, 1.0, 1e4, needed=False), _ask("filtered_g", _G, 1e-9, 10.0, needed=False))


def _may_stay_empty(*asks: Ask) -> tuple[Ask, ...]:
    return tuple(_ask(ask.name, ask.pair, ask.low, ask.high, needed=False) for ask in asks)


_LENGTH = (*_may_stay_empty(_COVER, _DROP), _DILUTION, *_SUSPENSION, *_FILTER, _RECOVERY, _DIAMETER)
ASKS: Mapping[Method, tuple[Ask, ...]] = {
    "chamber": (_SQUARE, _ask("depth_mm", _MM, 1e-3, 5.0), _DILUTION, *_SUSPENSION, _RECOVERY, _CELL),
    "fields": (*_EYEPIECE, _COVER, _DROP, _DILUTION, *_SUSPENSION, _RECOVERY, _CELL),
    "smear": (*_EYEPIECE, *_may_stay_empty(_COVER), _DROP, _DILUTION, *_SUSPENSION, _RECOVERY, _CELL),
    "crossings": (_SQUARE, _ask("mesh_mm", _MM, 1e-3, 100.0), *_LENGTH),
    "photos": _LENGTH,
    "tubes": _SUSPENSION,
    "sieve": (_ask("aliquot_ml", _ML, 1e-3, 1e5), _ask("extract_ml", _ML, 1e-3, 1e5), _ask("mass_g", _G, 0.1, 1e5),
              _ask("recovery", _NO_UNIT, 0.01, 1.0, needed=False)),
}
"""What each method asks of its geometry, in the order of the work."""
_LENGTHS = ("crossings", "photos")


def constants_for(method: Method) -> tuple[str, ...]:
    """Constants of biomass that there are for what this method counts."""
    if method in ("tubes", "sieve"):
        return ()
    organism = "hyphae" if method in _LENGTHS else "bacteria"
    return tuple(row["constant"] for row in table("microscope/biomass_constants").rows if row["organism"] == organism)


def typed_slide(slide_id: str, cells: Mapping[str, str], *, by: str, today: date, system: System,
                said: list[str]) -> tuple[Slide | None, dict[str, str]]:
    """A slide from what was typed, or what is wrong, by cell."""
    method: Method = next((each for each in METHODS if each == cells.get("method")), METHODS[0])
    wrong: dict[str, str] = {}
    figures = tuple(Figure(ask.into, value) for ask in ASKS[method]
                    if (value := _figure(ask, cells, system, said, wrong)) is not None)
    rows = _rows(method, cells, wrong)
    source: Source = next((each for each in SOURCES if each == cells.get("source")), "soil")
    source_id, counted = (_line(cells, name, wrong) for name in ("source_id", "counted"))
    constant = cells.get("constant", "")
    if constant and constant not in constants_for(method):
        wrong["constant"] = say("slide.no_constant", names=", ".join(constants_for(method)))
    day = _day(cells, today, wrong)
    if wrong:
        return None, wrong
    return Slide(id=slide_id, method=method, source=source, source_id=source_id, counted=counted, day=day, by=by,
                 rows=rows, figures=figures, constant=constant, repeat_of=cells.get("repeat_of", "")), wrong


def cells_of(slide: Slide) -> dict[str, str]:
    """A slide as it would be typed."""
    return {"method": slide.method, "source": slide.source, "source_id": slide.source_called, "counted": slide.counted,
            "day": slide.day.isoformat(), "constant": slide.constant, "repeat_of": slide.repeat_of,
            **figure_cells(slide), **_row_cells(slide)}


def figure_cells(slide: Slide) -> dict[str, str]:
    """The geometry of a slide as it would be typed."""
    units = {ask.name: ask.unit for ask in ASKS[slide.method]}
    return {each.name: f"{each.value:.12g}" if units.get(each.name, "1") == "1" else
            f"{each.value:.12g} {units[each.name]}" for each in slide.figures}


def _row_cells(slide: Slide) -> dict[str, str]:
    if slide.method == "sieve":
        return {f"counts.{row.label}": _plain(row.counts) for row in slide.rows}
    if slide.method == "tubes":
        return {"counts": "\n".join(f"{row.figure('inoculum_ml'):.12g} {row.figure('tubes'):g} {_plain(row.counts)}"
                                    for row in slide.rows)}
    return {"counts": "\n".join(
        (f"{row.figure('inner_mm'):.12g}-{row.figure('outer_mm'):.12g}: " if row.figures else "") + _plain(row.counts)
        for row in slide.rows)}


def _plain(counts: tuple[int, ...]) -> str:
    return " ".join(str(count) for count in counts)


def _figure(ask: Ask, cells: Mapping[str, str], system: System, said: list[str],
            wrong: dict[str, str]) -> float | None:
    text = cells.get(ask.name, "").strip()
    try:
        require_length(text, MOST_LINE)
        return read_one(ask, text, system, said)
    except RootcaseError as error:
        wrong[ask.name] = str(error)
        return None


def _rows(method: Method, cells: Mapping[str, str], wrong: dict[str, str]) -> tuple[SlideRow, ...]:
    if method == "photos":
        return ()
    try:
        if method == "sieve":
            return _groups(cells)
        lines = [line.strip() for line in cells.get("counts", "").splitlines() if line.strip()]
        if not lines or len(lines) > _MOST_ROWS:
            raise UnreadableValue(say("slide.no_counts"), right=say(f"slide.right_{_LINES.get(method, 'counts')}"))
        if method == "tubes":
            return tuple(_dilution(line) for line in lines)
        if method == "smear" and ":" in lines[0]:
            return tuple(_ring(line) for line in lines)
        return (SlideRow(counts=_counts(" ".join(lines))),)
    except RootcaseError as error:
        wrong["counts"] = str(error)
        return ()


_LINES: Mapping[Method, str] = {"tubes": "tubes", "smear": "rings"}


def _groups(cells: Mapping[str, str]) -> tuple[SlideRow, ...]:
    """The feeding groups that were told; each has as many aliquots as the others."""
    told = {name: _counts(text) for name in ROWS if (text := cells.get(f"counts.{name}", "").strip())}
    if not told or len({len(counts) for counts in told.values()}) != 1:
        raise UnreadableValue(say("slide.uneven") if told else say("slide.no_counts"), right=say("slide.right_sieve"))
    return tuple(SlideRow(label=name, counts=counts) for name, counts in told.items())


def _ring(line: str) -> SlideRow:
    found = re.fullmatch(r"([\d.]+)\s*[-–]\s*([\d.]+)\s*(?:mm)?\s*:(.*)", line)
    if found is None:
        raise UnreadableValue(say("slide.no_ring"), value=f'"{line[:60]}"', right=say("slide.right_rings"))
    inner, outer = (_number(text, line) for text in found.groups()[:2])
    return SlideRow(counts=_counts(found[3]), figures=(Figure("inner_mm", inner), Figure("outer_mm", outer)))


def _dilution(line: str) -> SlideRow:
    parts = line.split()
    if len(parts) != 3:
        raise UnreadableValue(say("slide.no_dilution"), value=f'"{line[:60]}"', right=say("slide.right_tubes"))
    counts = _counts(" ".join(parts[1:]))
    if len(counts) != 2:
        raise UnreadableValue(say("slide.no_dilution"), value=f'"{line[:60]}"', right=say("slide.right_tubes"))
    tubes, positive = counts
    return SlideRow(counts=(positive,), figures=(Figure("inoculum_ml", _number(parts[0], line)),
                                                 Figure("tubes", float(tubes))))


def _number(text: str, line: str) -> float:
    if re.fullmatch(r"\d{1,9}(?:\.\d{0,12})?|\.\d{1,12}", text) is None:
        raise UnreadableValue(say("rates.no_number"), value=f'"{text[:60]}"', where=f'"{line[:60]}"',
                              right=say("slide.right_number"))
    return float(text)


def _counts(text: str) -> tuple[int, ...]:
    grouped = re.search(r"(?<!\d)\d{1,3}(?:,\d{3})+(?!\d)", text)
    if grouped is not None:
        raise UnreadableValue(say("slide.grouped"), value=f'"{grouped[0][:60]}"', right=say(
            "slide.right_grouped", one=grouped[0].replace(",", "")[:60], several=grouped[0].replace(",", " ")[:60]))
    parts = re.split(r"[\s,;]+", text.strip())
    odd = next((part for part in parts if re.fullmatch(r"[0-9]{1,7}", part) is None), None)
    if odd is not None or len(parts) > MOST_COUNTS:
        raise UnreadableValue(say("slide.no_count"), value=f'"{(odd or text)[:60]}"', right=say("slide.right_counts"))
    return tuple(int(part) for part in parts)


def _line(cells: Mapping[str, str], name: str, wrong: dict[str, str]) -> str:
    text = " ".join(cells.get(name, "").split())
    if not text or len(text) > MOST_NAME:
        wrong[name] = say("heap.empty") if not text else say("heap.too_long", most=MOST_NAME)
    return text


def _day(cells: Mapping[str, str], today: date, wrong: dict[str, str]) -> date:
    text = cells.get("day", "").strip()
    try:
        require_length(text, MOST_LINE)
        day = read_date(text, None) if text else today
    except RootcaseError as error:
        wrong["day"] = str(error)
        return today
    if day > today or day.year < 1980:
        wrong["day"] = say("slide.no_day")
    return day
