"""The work of signed plans that waits, at one property."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from rootcase.casework.apply.jobs import jobs_of_plan
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.put_on_log import put_on_of
from rootcase.records.apply.done import Application
from rootcase.records.apply.jobs import Job
from rootcase.records.observe import PropertyRecord


def jobs_at(fieldbook: Fieldbook, record: PropertyRecord, today: date, until: date, own: Sequence[Application]
            ) -> tuple[Job, ...]:
    """What of the plan that stands is still to be done in a season that is not over and begins by a day.

    own: what the practice put on anywhere, which says how long a piece of work takes.
    """
    plans = fieldbook.signed_plans(record.property.id)
    standing = next((plan for plan in plans if plan.standing == "standing"), None)
    if standing is None:
        return ()
    with fieldbook.store.reading() as look:
        put_on = put_on_of(look.events(record.property.id))
    jobs = jobs_of_plan(standing, record, put_on, own, until)
    return tuple(job for job in jobs if not job.done and job.last >= today)
