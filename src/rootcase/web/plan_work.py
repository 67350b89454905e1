"""What the plan's pages have done in the warm process: short work, that needs what is slow to load or to compute."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.observe import Property, PropertyRecord, Reading
from rootcase.records.offer import MadeOffer, Signing
from rootcase.records.prove import SignedEffect
from rootcase.records.report import Author, Casework
from rootcase.records.what_if import WhatIf
from rootcase.report.pdf.offer import offer_pdf
from rootcase.report.pdf.report import report_pdf
from rootcase.report.text.offer import Shown
from rootcase.services.feed import Replanned, replanned
from rootcase.services.kept import Kept, Shelf
from rootcase.services.log import record_line
from rootcase.services.offer import make_offer, show_offer
from rootcase.services.otherwise import Otherwise, otherwise
from rootcase.services.proof import proofs
from rootcase.services.run import Run
from rootcase.services.sign import Signed, Wanted, sign_property, signed_property, to_sign
from rootcase.services.what_if import Supposed, suppose
from rootcase.services.wishes import Tried, ready_to_try, try_wishes
from rootcase.web.elsewhere import Elsewhere

_shelf = Shelf()
"""Of the process this runs in."""


def tried(at: Elsewhere, property_id: str, run: Run, wanted: Tried) -> Casework:
    with _opened(at, property_id, run) as (book, ground, kept):
        return try_wishes(book, ground, run, kept, wanted)


def ready(at: Elsewhere, property_id: str, run: Run) -> None:
    """So that the first wish that is turned is tried as soon as any other."""
    with _opened(at, property_id, run) as (book, ground, kept):
        if kept.casework is not None and not kept.because:
            ready_to_try(book, ground, run, kept)


def supposed(at: Elsewhere, property_id: str, run: Run,
             wanted: Supposed) -> tuple[PropertyRecord, WhatIf]:
    with _opened(at, property_id, run) as (book, ground, _):
        return suppose(book, ground, run, wanted)


def read_otherwise(at: Elsewhere, property_id: str, run: Run, reading: Reading) -> Otherwise:
    with _opened(at, property_id, run) as (book, ground, kept):
        return otherwise(book, ground, run, kept, reading)


def to_be_signed(at: Elsewhere, property_id: str, run: Run, wanted: Wanted) -> Signing:
    with _opened(at, property_id, run) as (book, ground, _):
        return to_sign(book, ground, run, wanted)[1]


def sign(at: Elsewhere, property_id: str, run: Run, wanted: Wanted) -> str:
    """Returns the mark of what was signed."""
    with _opened(at, property_id, run) as (book, ground, _):
        return sign_property(book, ground, run, wanted).plans[0].mark


def signed(at: Elsewhere, property_id: str, run: Run) -> Signed:
    with _opened(at, property_id, run) as (book, ground, _):
        return signed_property(book, ground, run)


def offer(at: Elsewhere, property_id: str, run: Run,
          budgets: tuple[float, ...]) -> tuple[Shown, tuple[str, ...]]:
    with _opened(at, property_id, run) as (book, ground, kept):
        return make_offer(book, ground, run, budgets, kept.casework.plan if kept.casework and kept.current else None)


def shown(at: Elsewhere, property_id: str, run: Run, made: MadeOffer) -> Shown | None:
    with _opened(at, property_id, run) as (book, ground, kept):
        return show_offer(book, ground, run, made, kept.casework.plan if kept.casework else None)


def offer_paper(offered: Shown, author: Author) -> bytes:
    return offer_pdf(offered, author)


def report_paper(at: Elsewhere, property_id: str, run: Run, author: Author) -> bytes:
    with _opened(at, property_id, run) as (book, _, kept):
        assert kept.casework is not None
        return report_pdf(replace(kept.casework, author=author), record_line(book, kept.casework.made_on),
                          proofs(book, [property_id]))


def replanned_by(at: Elsewhere, run: Run, remedy: str, effect: SignedEffect | None) -> tuple[Replanned, ...]:
    with at.opened() as book:
        return replanned(book, book.properties(), run, remedy, effect)


@contextmanager
def _opened(at: Elsewhere, property_id: str, run: Run) -> Iterator[tuple[Fieldbook, Property, Kept]]:
    with at.opened() as book:
        ground = next(each for each in book.properties() if each.id == property_id)
        yield book, ground, _shelf.casework(book, ground, run)
