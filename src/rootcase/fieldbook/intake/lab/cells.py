"""What a laboratory's cell says beside its number: under the limit, and the laboratory's own rating."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rootcase.fieldbook.intake.grid import folded
from rootcase.ground.units import is_unit
from rootcase.ground.words import say

_NUMBER = r"(?:[<>~≤≥]=? ?)?[-−]?[\d.,]*\d[\d.,]*(?:[eE][+-]?\d+)?"
_IN_BRACKETS = re.compile(rf"({_NUMBER}(?: ?[^\W\d][^()\[\]]*?)?) ?[(\[]([^()\[\]]+)[)\]]")
_BEHIND = re.compile(rf"({_NUMBER}) ?([^\d\s].*)")
_BEHIND_UNIT = re.compile(rf"({_NUMBER}) ?([^\d\s]\S*) (\D.*)")
_BEFORE = re.compile(rf"([^\d\s<>~]+(?: [^\d\s<>~]+)?) ({_NUMBER})")
_HAS_NUMBER = re.compile(r"\d")
_LONGEST = 200
"""A figure with all that stands beside it is shorter; parting a longer text takes too long."""


@dataclass(frozen=True, slots=True)
class LabCell:
    """A cell taken apart."""

    text: str
    """What is read as the value; empty where the cell holds none."""
    rating: str = ""
    """The laboratory's own word, such as L or Optimum; kept, never read as a value."""
    said: str = ""
    """What was decided; to be told back."""
    asked: str = ""
    """What has to be asked before the cell is a value; the text is kept until then."""


def lab_cell(text: str, limit: str = "") -> LabCell:
    """Part a cell into value and rating; limit: the detection limit as the sheet prints it, if it does.

    >>> lab_cell("6.2 H"), lab_cell("Optimum").rating, lab_cell("ND", "0.5").text
    (LabCell(text='6.2', rating='H', said='', asked=''), 'Optimum', '<0.5')
    >>> lab_cell("BDL").asked
    'the laboratory found less than it can measure, and no limit is printed; write it as < and the limit'
    """
    form = " ".join(text.split())
    if len(form) > _LONGEST:
        return LabCell(text)
    if folded(form) in say("lab.not_detected").split("|") and not _HAS_NUMBER.search(form):
        if not _HAS_NUMBER.search(limit):
            return LabCell(text, asked=say("lab.no_limit"))
        under = f"<{limit.strip().lstrip('<≤ ')}"
        return LabCell(under, said=say("lab.under_limit", typed=form, under=under))
    if _is_rating(form):
        return LabCell("", form)
    if found := _IN_BRACKETS.fullmatch(form):
        return LabCell(f"{found[1]} {found[2]}") if _is_unit(found[2]) else LabCell(found[1].strip(), found[2].strip())
    if (found := _BEHIND.fullmatch(form)) and (_is_rating(found[2]) or not folded(found[2].replace("%", "x"))):
        return LabCell(found[1], found[2])
    if (found := _BEHIND_UNIT.fullmatch(form)) and _is_unit(found[2]) and _is_rating(found[3]):
        return LabCell(f"{found[1]} {found[2]}", found[3])
    if (found := _BEFORE.fullmatch(form)) and _is_rating(found[1]):
        return LabCell(found[2], found[1])
    return LabCell(text)


def _is_rating(text: str) -> bool:
    return "%" not in text and folded(text) in say("lab.ratings").split("|")


def _is_unit(text: str) -> bool:
    return is_unit(text) and not _is_rating(text)
