"""What an import brought and what needs the person, faults of one cause told together."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Protocol

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.report.terminal.paper import Paper
from rootcase.report.text.figures import sentence

_ROWS_SHOWN = 10


class FaultLine(Protocol):
    """A fault says itself in one line; its cause is what is wrong and what would be right."""

    @property
    def line(self) -> str: ...
    @property
    def where(self) -> str: ...
    @property
    def value(self) -> str: ...
    @property
    def what(self) -> str: ...
    @property
    def right(self) -> str: ...


class SheetResult(Protocol):
    """What is shown of an import; the fieldbook's own result is one."""

    @property
    def property_name(self) -> str: ...
    @property
    def new(self) -> int: ...
    @property
    def same(self) -> int: ...
    @property
    def corrected(self) -> int: ...
    @property
    def faults(self) -> Sequence[FaultLine]: ...
    @property
    def rejects_path(self) -> Path | None: ...
    @property
    def told(self) -> Sequence[str]: ...
    @property
    def unknown_columns(self) -> Sequence[str]: ...
    @property
    def unknown_pages(self) -> Sequence[str]: ...


class WeatherFile(Protocol):
    """What is shown of a file of daily weather."""

    @property
    def station(self) -> str: ...
    @property
    def new(self) -> int: ...
    @property
    def replaced(self) -> int: ...
    @property
    def same(self) -> int: ...
    @property
    def first(self) -> date | None: ...
    @property
    def ends(self) -> date | None: ...
    @property
    def told(self) -> Sequence[str]: ...
    @property
    def gaps(self) -> Sequence[str]: ...
    @property
    def faults(self) -> Sequence[FaultLine]: ...


def import_text(result: SheetResult, width: int = 80, colour: bool = False) -> str:
    """Return what a field sheet brought, then what is kept as text, then what needs the person."""
    paper = Paper(width, colour)
    paper.say(say("terminal.import.done", property=result.property_name, new=f"{result.new:,}",
                  same=f"{result.same:,}", corrected=f"{result.corrected:,}"), bold=True)
    for told in result.told:
        paper.item("·", told)
    for key, names in (("columns", result.unknown_columns), ("pages", result.unknown_pages)):
        if names:
            paper.item("·", say(f"terminal.import.unknown_{key}", names=", ".join(names)))
    _faults(paper, result.faults, "more_in_rejects" if result.rejects_path else "more")
    if result.rejects_path:
        paper.say(say("terminal.import.rejects", path=result.rejects_path))
    return paper.text()


def weather_text(result: WeatherFile, width: int = 80, colour: bool = False) -> str:
    """Return how far the weather of a station reaches, how its file was read, and its gaps by name."""
    paper = Paper(width, colour)
    paper.say(say("terminal.import.weather", station=result.station, first=show_date(result.first),
                  ends=show_date(result.ends), new=f"{result.new:,}", replaced=f"{result.replaced:,}",
                  same=f"{result.same:,}") if result.first and result.ends else
              say("terminal.import.typical", station=result.station, new=f"{result.new:,}"), bold=True)
    for line in (*result.told, *result.gaps):
        paper.item("·", line)
    _faults(paper, result.faults, "more")
    return paper.text()


def _faults(paper: Paper, faults: Sequence[FaultLine], rest: str) -> None:
    """Each cause once, then where it stands; past ten places they are counted."""
    if faults:
        paper.say(say("terminal.import.faults", count=f"{len(faults):,}"))
    causes: dict[tuple[str, str], list[FaultLine]] = {}
    for fault in faults:
        causes.setdefault((fault.what, fault.right), []).append(fault)
    for (what, right), members in causes.items():
        if len(members) == 1:
            paper.item("!", members[0].line)
            continue
        paper.item("!", say("terminal.import.cause", what=sentence(what), right=sentence(right),
                            count=f"{len(members):,}").strip())
        for fault in members[:_ROWS_SHOWN]:
            paper.item("  ·", say("terminal.import.at", where=fault.where, value=fault.value) if fault.value
                       else fault.where)
        if len(members) > _ROWS_SHOWN:
            paper.item("  ·", say(f"terminal.import.{rest}", count=f"{len(members) - _ROWS_SHOWN:,}"))
