"""What today's rounds take of a batch: the stops of each fill and their sum, beside the form that loads a tank."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.apply.rounds import GivenRound, GivenStep
from rootcase.records.make.batch import Batch
from rootcase.services.week import known_of


@dataclass(frozen=True, slots=True)
class FillWanted:
    """One fill of a round with the stops that it is for, up to the next fill."""

    crew: str
    """Its name; empty: not told any more."""
    starts_min: float
    """After midnight by the yard's clock."""
    stops: tuple[tuple[str, float], ...]
    """Name of the property, and liquid put on there. [L]"""

    @property
    def litres(self) -> float:
        return sum(litres for _, litres in self.stops)


def fills_wanted(book: Fieldbook, batch: Batch, today: date) -> tuple[FillWanted, ...]:
    """In the order of the clock."""
    known = known_of(book, (), {}, today, (today,))
    ids = {batch.id, *(planned for planned, made in known.extract.made_of.items() if made == batch.id)}
    crews = {each.id: each.name for each in known.fleet.crews}
    names = {each.id: each.name for each in book.properties()}
    found = [FillWanted(crews.get(given.crew_id, ""), fill.starts_min,
                        tuple((names.get(stop.property_id, ""), stop.litres) for stop in stops))
             for given in known.given for fill, stops in _fills(given, ids)]
    return tuple(sorted(found, key=lambda each: each.starts_min))


def _fills(given: GivenRound, batch_ids: Collection[str]) -> Iterator[tuple[GivenStep, list[GivenStep]]]:
    """Fills of these batches, each with the stops behind it that take of the tank."""
    starts = [at for at, step in enumerate(given.steps) if step.kind == "fill"]
    for start, stop in zip(starts, [*starts, len(given.steps)][1:], strict=True):
        if given.steps[start].batch_id in batch_ids:
            yield given.steps[start], [step for step in given.steps[start:stop]
                                       if step.kind == "stop" and step.litres > 0.0]
