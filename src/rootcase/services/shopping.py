"""Apply: the shopping list of the week, from the rounds that stand and those that are proposed."""

from __future__ import annotations

from collections.abc import Iterable

from rootcase.casework.apply.shopping import batches_needed, needs_of
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.records.apply.rounds import Week
from rootcase.records.apply.shopping import Behind, Shopping
from rootcase.records.make.batch import Batch
from rootcase.services.make_batch import batches
from rootcase.services.week_known import Gathered


def shopping_of(book: Fieldbook, found: Gathered, week: Week) -> Shopping:
    """What the rounds of the week take; compost as the newest batch that came out fit took it."""
    known = found.known
    jobs = {each.job.id: each.job for each in known.waiting}
    made = batches(book)
    number, compost_kg_l = _own_ratio(made)
    behind = Behind(logged=known.logged, loaded_l={each.id: sum(load.volume_l for load in each.loads) for each in made})
    needed = batches_needed(week.rounds, known.extract.batches, known.extract.made_of, compost_kg_l, behind)
    return Shopping(days=known.days, needs=needs_of(week.rounds, jobs, known.days, behind), batches=needed,
                    as_batch=number if any(each.compost_kg is not None for each in needed) else 0,
                    left_out=len(week.left_out))


def _own_ratio(made: Iterable[Batch]) -> tuple[int, float | None]:
    """Number of the newest fit batch of which compost and water are told, and its compost by its water. [kg L-1]"""
    for batch in made:
        compost, water = batch.newest("compost"), batch.newest("water")
        mass = compost.figure("mass_kg") if compost else None
        volume = water.figure("volume_l") if water else None
        if mass and volume and batch.judgement and batch.judgement.verdict == "fit":
            return batch.number, mass / volume
    return 0, None
