"""The page of the practice: what it says of itself to clients, its tax and terms, and its papers that run out."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import Literal, get_args

from rootcase.fieldbook.events import Event, PracticeTold
from rootcase.fieldbook.intake.desk import Line, whole
from rootcase.fieldbook.intake.faults import Refused
from rootcase.fieldbook.intake.grid import folded
from rootcase.fieldbook.intake.named import named_id
from rootcase.fieldbook.intake.values import read_day
from rootcase.fieldbook.view import heads
from rootcase.ground.errors import UnreadableValue
from rootcase.ground.length import MOST_LINE, MOST_NAME, MOST_TERMS, require_length
from rootcase.ground.typed import read
from rootcase.ground.units import convert, convertible
from rootcase.ground.words import say
from rootcase.records.observe import Paper, Practice

PaperKind = Literal["licence", "permit", "calibration"]
PAPERS: tuple[PaperKind, ...] = get_args(PaperKind)
_TEXTS = ("name", "address", "reach", "tax_name", "terms")
_DAYS = ("valid_days", "laboratory_days")
_TAX = "tax_rate"
PRACTICE_KEYS = (*_TEXTS, _TAX, *_DAYS, *PAPERS)
_FILE = ".txt"
_MOST_SIGNS = {"name": MOST_NAME, "tax_name": MOST_NAME, "terms": MOST_TERMS}
"""Of all else a line."""
_MOST_DAYS = 3660


def take_practice(lines: list[Line]) -> dict[str, PracticeTold]:
    """What is told, by slot; it belongs to the practice, not to the property of the sheet."""
    taken: dict[str, PracticeTold] = {}
    known = {folded(key): key for key in PRACTICE_KEYS}
    for line in whole(lines):
        with line.guarding():
            key = known.get(folded(line.text("key")).replace("_", " "))
            if key is None:
                raise Refused(say("intake.no_choice", kind="key"), value=f'"{line.text("key")}"',
                              right=say("intake.one_of", choices=", ".join(PRACTICE_KEYS)))
            told = _told(line, key)
            taken[told.slot] = told
    return taken


def practice(events: Iterable[Event]) -> Practice:
    """What the practice says of itself, the newest word on each thing."""
    told = [head.event.body for head in heads(events).values()]
    said = {body.key: body for body in told if isinstance(body, PracticeTold) and body.key not in PAPERS}
    papers = [Paper(kind, body.text, body.ends) for body in told if isinstance(body, PracticeTold)
              for kind in PAPERS if kind == body.key and body.ends is not None]
    texts = {key: said[key].text for key in _TEXTS if key in said}
    days = {key: said[key].days for key in _DAYS if key in said}
    return Practice(**texts, tax_pct=said[_TAX].rate_pct if _TAX in said else None,
                    valid_days=days.get("valid_days"), laboratory_days=days.get("laboratory_days"),
                    papers=tuple(sorted(papers, key=lambda paper: (paper.ends, paper.kind, paper.what))))


def _told(line: Line, key: str) -> PracticeTold:
    """One row; a value of none takes back what was told."""
    value = line.text("value")
    if not value:
        raise Refused(say("intake.needed", column="value"), right=say("offer.practice.right_value"))
    require_length(value, _MOST_SIGNS.get(key, MOST_LINE))
    require_length(line.text("ends"), MOST_LINE)
    slot = named_id(line.desk.practice_id, "practice", key, *([folded(value)] if key in PAPERS else []))
    if key in PAPERS:
        none = folded(line.text("ends")) == say("rules.no_longer")
        if not line.text("ends"):
            raise Refused(say("intake.needed", column="ends"), right=say("offer.practice.right_ends"))
        return PracticeTold(slot=slot, key=key, text=value, ends=None if none else read_day(line.cell("ends")))
    if folded(value) == say("rules.no_longer"):
        return PracticeTold(slot=slot, key=key)
    if key == _TAX:
        return PracticeTold(slot=slot, key=key, rate_pct=_percent(value))
    if key in _DAYS:
        return PracticeTold(slot=slot, key=key, days=_days(value))
    if key == "terms" and value.casefold().endswith(_FILE) and line.desk.folder is not None:
        value = _text_beside(line.desk.folder, value)
    return PracticeTold(slot=slot, key=key, text=value)


def _percent(typed: str) -> float:
    found = _number(typed)
    # A spreadsheet turns 8.5 % into 0.085 behind one's back.
    if found is None or found[1] not in ("", "%") or not 0.0 <= found[0] <= 100.0 or (
            not found[1] and 0.0 < found[0] < 1.0):
        raise Refused(say("offer.practice.no_rate"), value=f'"{typed}"', right=say("offer.practice.right_rate"))
    return found[0]


def _days(typed: str) -> int:
    found = _number(typed)
    unit = (found[1] or "day") if found else ""
    days = convert(found[0], unit, "day") if found and convertible(unit, "day") else 0.0
    if days != int(days) or not 1 <= days <= _MOST_DAYS:
        raise Refused(say("offer.practice.no_days"), value=f'"{typed}"', right=say("offer.practice.right_days"))
    return int(days)


def _number(typed: str) -> tuple[float, str] | None:
    """Value and unit; None where it is no plain number."""
    try:
        found = read(typed)
    except UnreadableValue:
        return None
    plain = found is not None and found.value is not None and found.sign == "="
    return (found.value, found.unit or "") if plain else None


def _text_beside(folder: Path, name: str) -> str:
    """The text of a file that lies beside the sheet; a name, and no way to a file elsewhere."""
    try:
        form = os.lstat(folder / name)
        if any(sign in name for sign in "/\\:\x00") or not stat.S_ISREG(form.st_mode):
            raise Refused(say("offer.practice.not_beside"), value=name, right=say("offer.practice.right_file"))
        if form.st_size > MOST_TERMS:
            raise Refused(say("offer.practice.too_long", most=MOST_TERMS // 1000), value=name)
        return (folder / name).read_text(encoding="utf-8-sig").strip()
    except (OSError, UnicodeDecodeError, ValueError):
        raise Refused(say("offer.practice.not_beside"), value=name, right=say("offer.practice.right_file")) from None
