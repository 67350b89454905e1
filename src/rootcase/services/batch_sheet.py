"""A batch as it is put on paper: with its slides, what may be said of it, and the tables behind."""

from __future__ import annotations

from rootcase.casework.make.balance import mass_balance
from rootcase.casework.make.claims import honest_claims, usual_rate_l_m2
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.make.balance import Balance
from rootcase.records.make.batch import Batch
from rootcase.records.make.claims import Claims
from rootcase.records.make.paper import BatchPaper
from rootcase.records.make.slide import Slide, SlideCount
from rootcase.records.observe import System
from rootcase.services.batch_seen import batch_seen
from rootcase.services.heap import heap_named
from rootcase.services.slides import reckoned, slides
from rootcase.tables.load import table

_TABLES = ("compost/heat_rules", "tank/claim_figures", "tank/holding", "tank/hygiene_limits", "tank/neutralisers",
           "tank/oxygen_floors", "tank/source_water", "tank/trials", "tank/water_origins")
_BACTERIA = ("bacteria", "bacterium", "bacterial cells")
"""As it may be typed, before a comma: bacteria, all."""


def batch_paper(book: Fieldbook, named: str, system: System) -> BatchPaper:
    """A batch by its number or id, ready to be put on paper; counts on it go into what may be said of it."""
    at = book.making.now()
    seen = batch_seen(book, named, at)
    counted = tuple((slide, reckoned(slide)[0]) for slide in _slides_of(book, seen.batch))
    return BatchPaper(practice=book.practice(), system=system, seen=seen, at=at, slides=counted,
                      balance=balance_of(book, seen.batch),
                      claims=claims_of(book, seen.batch),
                      tables=tuple((name, table(name).version) for name in _TABLES),
                      went=book.making.tracing.of("batch", seen.batch.id) if seen.batch.loads else ())


def claims_of(book: Fieldbook, batch: Batch) -> Claims:
    """What may be said of a batch, with the bacteria that were counted on it."""
    counted = tuple((slide, reckoned(slide)[0]) for slide in _slides_of(book, batch))
    return honest_claims(usual_rate_l_m2(), _bacteria_per_ml(counted))


def balance_of(book: Fieldbook, batch: Batch) -> Balance:
    """How much of its compost's life came across by count, or what is missing to say it."""
    heap = heap_named(book, batch.heap_id)
    compost = tuple((slide, reckoned(slide)[0]) for slide in slides(book)
                    if slide.source == "heap" and slide.source_id == heap.id)
    extract = tuple((slide, reckoned(slide)[0]) for slide in _slides_of(book, batch))
    moist = [each for each in heap.figures if each.quantity == "moisture" and each.unit == "%"]
    newest = max(moist, key=lambda each: each.day, default=None)
    return mass_balance(batch, extract, compost, newest.value if newest else None)


def _slides_of(book: Fieldbook, batch: Batch) -> tuple[Slide, ...]:
    """Slides that were made of the batch; one of something else that a step names is none of its own."""
    return tuple(slide for slide in slides(book)
                 if slide.source == "batch" and slide.source_id in (batch.id, str(batch.number)))


def _bacteria_per_ml(counted: tuple[tuple[Slide, SlideCount | None], ...]) -> float | None:
    """Of the newest slide on which bacteria were counted."""
    return next((span.value for slide, count in counted
                 if count and slide.counted.casefold().partition(",")[0].strip() in _BACTERIA
                 for span in count.numbers if span.unit == "1/mL"), None)
