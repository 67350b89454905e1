"""A reading put right by hand."""

from __future__ import annotations

from dataclasses import fields, replace

from rootcase.fieldbook.events import ReadingCorrected, ReadingTaken
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import Cell
from rootcase.fieldbook.intake.lists.words import factor_of
from rootcase.fieldbook.intake.values import Value, read_value
from rootcase.ground.errors import TypedError
from rootcase.ground.typed import read
from rootcase.ground.words import say
from rootcase.records.observe import System
from rootcase.tables.readings import kinds


def corrected(body: ReadingTaken, event_id: str, typed: str, reason: str, system: System) -> ReadingCorrected:
    """The same reading with another value, measured as the one it replaces was: in its unit, a girth as a girth."""
    kind, factor = kinds().get(body.kind), factor_of(body.attributes.get("measured", ""))
    value = read_value(kind, Cell(typed), unit_of(body.typed), system, None, factor) if kind else Value(
        typed, choice=typed)
    if value is None:
        raise Refused(say("intake.nothing_typed"), value=f'"{typed}"', right=say("intake.right_take_back"))
    kept = {each.name: getattr(body, each.name) for each in fields(ReadingTaken)}
    return replace(ReadingCorrected(**kept), supersedes=event_id, typed=value.typed, value=value.value,
                   choice=value.choice, sign=value.sign, nothing=value.nothing, doubts=value.doubts, source="",
                   reason=reason)


def unit_of(typed: str) -> str:
    try:
        found = read(typed)
    except TypedError:
        return ""
    return (found.unit or "") if found else ""
