"""Work in hand and kept casework in words."""

from __future__ import annotations

from rootcase.ground.dates import show_date
from rootcase.ground.words import say
from rootcase.services.kept import Arrived, Kept
from rootcase.web.jobs import Job


def job_told(job: Job) -> str:
    """How far a job is, or what became of it, in a line."""
    if job.state == "running" and job.stage:
        return say(f"jobs.stage.{job.stage}", done=job.done, of=job.of)
    told = say(f"jobs.state.{job.state}")
    return f"{told} {job.error}" if job.error else told


def kept_told(kept: Kept) -> str:
    """When casework was made and what came since: explained on 3 May 2016; a lab test came on 12 May 2016."""
    if kept.made_on is None:
        return say("jobs.kept.none")
    made = say("jobs.kept.made", day=show_date(kept.made_on))
    if kept.because:
        return say("jobs.kept.came", made=made, came=", ".join(map(_came, kept.because)))
    return say("jobs.kept.current" if kept.current else "jobs.kept.nothing_new", made=made)


def _came(arrived: Arrived) -> str:
    many = "one" if arrived.count == 1 else "many"
    told = say(f"jobs.came.{arrived.what}.{many}", count=arrived.count)
    return say("jobs.came.on", what=told, day=show_date(arrived.day)) if arrived.day else told
