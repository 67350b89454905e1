"""What stands in the form of what was put on before anybody types: from the plan, or the load."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.clock import zone
from rootcase.ground.quantity import System
from rootcase.ground.words import say
from rootcase.records.apply.jobs import Job
from rootcase.records.observe import Property, PropertyRecord
from rootcase.report.text.batch import load_named
from rootcase.services.log_boxes import boxes
from rootcase.services.make_batch import batches
from rootcase.services.planned_work import jobs_at

_AHEAD = timedelta(days=60)
"""JUDGEMENT: work that is done a little before its season."""
_LOADS_FOR = timedelta(days=3)
"""JUDGEMENT: what nobody logged in three days is typed with its id from the batch's page."""


def planned(book: Fieldbook, record: PropertyRecord, today: date) -> tuple[Job, ...]:
    """The work of the signed plan that waits at a property."""
    return jobs_at(book, record, today, today + _AHEAD, book.recording.applications())


def planned_at(book: Fieldbook, record: PropertyRecord, tree_id: str, remedy: str, today: date) -> Job | None:
    """The work of that plan at one tree; None where none waits there."""
    return next((job for job in planned(book, record, today) if (job.tree_id, job.remedy) == (tree_id, remedy)), None)


def of_job(job: Job, system: System) -> dict[str, str]:
    """What the plan says of a piece of work, as it would be typed."""
    figures = {"volume": job.litres or None, "mass": job.dose.mass_kg, "area": job.dose.area_m2}
    return {"tree": job.tree_id, "remedy": job.remedy, "plan": job.plan, "planned_l": f"{job.litres:g}",
            **boxes(figures, system, ".4g")}


def loads(book: Fieldbook, ground: Property, system: System) -> Iterable[tuple[str, str]]:
    """Id and words of each load of these days, the newest first, by the clock of the property; none before them."""
    now = book.recording.now()
    yield "", say("log.page.no_load")
    for batch in batches(book):
        for load in reversed(batch.loads):
            if now - load.at <= _LOADS_FOR:
                yield load.id, load_named(batch, load, system, zone(ground.time_zone or "UTC"))
