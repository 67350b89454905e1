"""What measuring photos needs done once on a machine: its loops compiled, in a process of their own, for no page."""

from __future__ import annotations

import os
from pathlib import Path
from time import monotonic, sleep

from rootcase.services.run import Progress
from rootcase.web.desk import Desk
from rootcase.web.jobs import Job
from rootcase.web.who import Visitor

_WORK = "photo"
_PATIENCE_S, _OFTEN_S = 4.0, 0.1
"""How long a page waits before it says what is in hand. JUDGEMENT."""


def make_ready(progress: Progress) -> None:
    """Compile what measures a photo, and remember on this machine that it is done."""
    from rootcase.services.hyphae import compile_all

    compile_all()
    if (mark := ready_mark()) is not None:
        mark.touch()


def getting_ready(desk: Desk, visitor: Visitor, leads_to: str) -> Job | None:
    """The work that photos still wait for on this machine, begun where nobody did; None: they are measured at once."""
    tenant, mark = desk.tenant(visitor.practice_id), ready_mark()
    known = next((job for job in desk.jobs.of(tenant) if job.work == _WORK), None)
    if (known is not None and not known.live) or (known is None and mark is not None and mark.exists()):
        return None
    job = known or desk.jobs.start(tenant, _WORK, make_ready, leads_to=leads_to, patient=True)
    return job if job.live else None


def unready(desk: Desk, visitor: Visitor, leads_to: str) -> Job | None:
    """The same after a little patience, leading to the page that waits."""
    until = monotonic() + _PATIENCE_S
    while (job := getting_ready(desk, visitor, leads_to)) is not None:
        if monotonic() > until:
            desk.jobs.told(job.id, leads_to=leads_to)
            return job
        sleep(_OFTEN_S)
    return None


def wait_until_ready(desk: Desk, visitor: Visitor, leads_to: str) -> None:
    """For what was sent and would be lost by another page."""
    while getting_ready(desk, visitor, leads_to) is not None:
        sleep(_OFTEN_S)


def ready_mark() -> Path | None:
    """Beside what was compiled of this source; None where nobody said where that lies."""
    folder = os.environ.get("NUMBA_CACHE_DIR")
    return Path(folder) / "photos_ready" if folder else None
