"""Photos of a tree by year from one mark, beside those of the tree that a lot left without."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.records.observe import PropertyRecord, Tree
from rootcase.records.offer import SignedPlan
from rootcase.report.text.happenings import MARK, PHOTO, untreated_partner

OF = "photo"
"""The attribute that says under which mark the picture's bytes are kept."""
_AFTER = 2
"""Years that make a before and an after."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One photo."""

    reading_id: str
    year: int
    told: str
    """Of which tree and of which day; it stands for the picture where that is not seen."""


@dataclass(frozen=True, slots=True)
class Year:
    """What was photographed in a year; None: nothing."""

    year: int
    here: Shot | None
    beside: Shot | None


@dataclass(frozen=True, slots=True)
class Photos:
    """The photos of one mark."""

    mark: str
    years: tuple[Year, ...]
    partner: str
    """Label of the untreated tree; empty where none stands beside it."""
    told: str
    """What these photos can show and what not."""


def photos_by_year(record: PropertyRecord, tree: Tree, plans: Sequence[SignedPlan]) -> list[Photos]:
    """Return the photos of a tree, mark by mark, one a year; those of no named mark last."""
    partner = untreated_partner(tree.id, plans)
    label = next((each.label for each in record.trees if each.id == partner), "")
    named = [shots for mark, shots in _by_mark(record, partner, label).items() if mark]
    theirs = max(named, key=len, default={})
    return [_photos(mark, shots, theirs if mark else {}, label)
            for mark, shots in sorted(_by_mark(record, tree.id, tree.label).items(), key=lambda each: not each[0])]


def _photos(mark: str, own: dict[int, Shot], theirs: dict[int, Shot], label: str) -> Photos:
    if not mark:
        told = "case.photos.no_mark"
    elif len(own) < _AFTER:
        told = "case.photos.one"
    else:
        told = "case.photos.beside" if len(own.keys() & theirs.keys()) >= _AFTER else "case.photos.alone"
    years = tuple(Year(year, own.get(year), theirs.get(year)) for year in sorted(own.keys() | theirs.keys()))
    return Photos(mark, years, label if theirs else "", say(told, tree=label))


def _by_mark(record: PropertyRecord, tree_id: str, label: str) -> dict[str, dict[int, Shot]]:
    """The last photo of each year, of each mark, of those whose bytes are kept."""
    found: dict[str, dict[int, Shot]] = {}
    for photo in record.of(tree_id, kind=PHOTO):
        if photo.attributes.get(OF):
            told = say("case.photos.shot", tree=label, day=show_date(photo.day))
            found.setdefault(photo.attributes.get(MARK, ""), {})[photo.day.year] = Shot(photo.id, photo.day.year, told)
    return found
