"""Long work in processes of its own: asked for, waited for, ended, told; the event loop never computes."""

from __future__ import annotations

import os
import secrets
import sys
import traceback
from collections.abc import Callable
from concurrent.futures import Future
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime
from multiprocessing import get_context
from queue import SimpleQueue
from threading import Lock, Thread
from typing import Any, Literal

from rootcase.ground.words import say
from rootcase.web.refusals import NotThere
from rootcase.web.worker import WorkFailed, work_on

State = Literal["waiting", "running", "done", "failed", "cancelled"]
LIVE: tuple[State, ...] = ("waiting", "running")
MOST_ENDED = 200
"""JUDGEMENT: jobs that ended are told for a while, then forgotten."""
_PROCESSES = get_context("spawn")


@dataclass(frozen=True, slots=True)
class Job:
    """One piece of long work as it stands now."""

    id: str
    tenant: str
    """Whose it is: the fieldbook's file and the practice."""
    work: str
    """What is done; a key of the words under jobs.work."""
    property_id: str
    leads_to: str
    """Address of the page that shows what comes of it."""
    asked_at: datetime
    state: State = "waiting"
    stage: str = ""
    done: int = 0
    of: int = 0
    error: str = ""
    """Why it failed, in one line."""
    result: Any = None

    @property
    def live(self) -> bool:
        return self.state in LIVE


@dataclass(slots=True)
class _Asked:
    """Work in a lane's queue."""

    function: Callable[..., Any]
    arguments: tuple[Any, ...]
    job_id: str = ""
    answer: Future[Any] = field(default_factory=Future)


class Jobs:
    """The work of one app. Long jobs share the cores but one; short calls have a process of their own, kept warm."""

    def __init__(self, now: Callable[[], datetime], workers: int = max(1, (os.cpu_count() or 1) - 1)) -> None:
        self._now, self._workers = now, workers
        self._jobs: dict[str, Job] = {}
        self._same: dict[str, tuple[Any, ...]] = {}
        self._turn = Lock()
        self._queue: SimpleQueue[_Asked | None] = SimpleQueue()
        self._patient: SimpleQueue[_Asked | None] = SimpleQueue()
        self._calls: SimpleQueue[_Asked | None] = SimpleQueue()
        self._lanes: list[_Lane] = []
        self._closed = False

    def start(self, tenant: str, work: str, function: Callable[..., Any], *arguments: Any, property_id: str = "",
              leads_to: str = "/", patient: bool = False) -> Job:
        """Ask for work: function(progress, *arguments), of a module, with arguments that can be sent to a process.

        What is asked for while the same is still to be done is that job. Patient work, which nobody waits for, has a
        lane to itself, so that nothing stands behind it.
        """
        with self._turn:
            same = (tenant, work, function, arguments)
            for job_id, known in self._same.items():
                if known == same and self._jobs[job_id].live:
                    return self._jobs[job_id]
            job = Job(secrets.token_hex(8), tenant, work, property_id, leads_to, self._now())
            self._jobs[job.id], self._same[job.id] = job, same
            self._forget()
            self._open()
            (self._patient if patient else self._queue).put(_Asked(function, arguments, job.id))
        return job

    def job(self, tenant: str, job_id: str) -> Job:
        """A job of this tenant; another's is not there."""
        with self._turn:
            found = self._jobs.get(job_id)
        if found is None or found.tenant != tenant:
            raise NotThere(say("jobs.no_such"), value=job_id, right=say("jobs.see_today"))
        return found

    def of(self, tenant: str, property_id: str | None = None) -> tuple[Job, ...]:
        """The jobs of a tenant, or of one of its properties, the newest first."""
        with self._turn:
            jobs = list(self._jobs.values())
        return tuple(job for job in reversed(jobs)
                     if job.tenant == tenant and property_id in (None, job.property_id))

    def cancel(self, tenant: str, job_id: str) -> Job:
        """End a job at once; what is done already stays, nothing is half-kept."""
        self.job(tenant, job_id)
        with self._turn:
            job = self._jobs[job_id]
            if job.live:
                self._jobs[job_id] = replace(job, state="cancelled")
                for lane in self._lanes:
                    lane.end(job_id)
            return self._jobs[job_id]

    def call(self, function: Callable[..., Any], *arguments: Any) -> Any:
        """The result of short work, function(*arguments), in a process that is warm; the caller's thread waits."""
        asked = _Asked(function, arguments)
        with self._turn:
            self._open()
            self._calls.put(asked)
        return asked.answer.result()

    def close(self) -> None:
        """End all work and all processes."""
        with self._turn:
            self._closed = True
            lanes = self._lanes
            for job in self._jobs.values():
                if job.live:
                    self._jobs[job.id] = replace(job, state="cancelled")
            for lane in lanes:
                lane.end()
                lane.queue.put(None)
        for lane in lanes:
            lane.thread.join()

    def told(self, job_id: str, **changed: Any) -> bool:
        """Keep what a worker says of a job; False: nobody wants it any more."""
        with self._turn:
            job = self._jobs.get(job_id)
            if job is None or not job.live:
                return False
            self._jobs[job_id] = replace(job, **changed)
            return True

    def _open(self) -> None:
        """Lanes are there from the first work on."""
        if self._closed:
            raise WorkFailed(say("jobs.closed"))
        if not self._lanes:
            queues = [self._calls, *([self._patient] if self._workers else []), *([self._queue] * self._workers)]
            self._lanes = [_Lane(self, queue) for queue in queues]

    def _forget(self) -> None:
        ended = [job.id for job in self._jobs.values() if not job.live]
        for job_id in ended[:-MOST_ENDED]:
            del self._jobs[job_id], self._same[job_id]


class _Lane:
    """A thread that hands work to a process of its own and hears what comes of it."""

    def __init__(self, jobs: Jobs, queue: SimpleQueue[_Asked | None]) -> None:
        self._jobs, self.queue, self._turn = jobs, queue, Lock()
        self._process: Any = None
        self._line: Any = None
        self._doing = ""
        self._ended = False
        self.thread = Thread(target=self._run, name="rootcase-jobs", daemon=True)
        self.thread.start()

    def end(self, job_id: str = "") -> None:
        """End the process where it does this job, or for good."""
        with self._turn:
            self._ended = self._ended or not job_id
            if self._process is not None and (not job_id or self._doing == job_id):
                self._process.kill()

    def _run(self) -> None:
        while (asked := self.queue.get()) is not None:
            with self._turn:
                self._doing = asked.job_id
            if not asked.job_id or self._jobs.told(asked.job_id, state="running"):
                self._tell(asked, self._done(asked))
            with self._turn:
                self._doing = ""
        self._stop()

    def _tell(self, asked: _Asked, told: tuple[str, Any]) -> None:
        said, what = told
        if said == "done":
            self._jobs.told(asked.job_id, state="done", result=what)
            asked.answer.set_result(what)
        else:
            self._jobs.told(asked.job_id, state="failed", error=str(what))
            asked.answer.set_exception(what)

    def _done(self, asked: _Asked) -> tuple[str, Any]:
        """What the process says at the end; one that dies is told, and the next work has a new one."""
        try:
            if not self._begin():
                return "failed", WorkFailed(say("jobs.closed"))
            self._line.send((asked.function, asked.arguments, bool(asked.job_id)))
            while self._wanted(asked) and (told := self._line.recv())[0] == "progress":
                self._jobs.told(asked.job_id, stage=told[1], done=told[2], of=told[3])
        except (EOFError, OSError):
            self._stop()
            return "failed", WorkFailed(say("jobs.died"))
        except Exception:  # noqa: BLE001 - whoever waits is told, whatever it was; the terminal holds the rest
            traceback.print_exc(file=sys.stderr)
            self._stop()
            return "failed", WorkFailed(say("jobs.broke"))
        return told

    def _wanted(self, asked: _Asked) -> bool:
        """Whether it was not cancelled before its process could be ended for it; then it is now."""
        if asked.job_id and not self._jobs.told(asked.job_id):
            self._stop()
            raise EOFError
        return True

    def _begin(self) -> bool:
        """Have a living process; False where none may be begun any more."""
        if self._process is not None and not self._process.is_alive():
            self._stop()
        with self._turn:
            if self._ended:
                return False
            if self._process is None:
                self._line, theirs = _PROCESSES.Pipe()
                process = _PROCESSES.Process(target=work_on, args=(theirs,), daemon=True)
                process.start()
                self._process = process  # only now: one that could not be started cannot be ended either
                theirs.close()  # so that its end is heard here
            return True

    def _stop(self) -> None:
        with self._turn:
            process, self._process = self._process, None
            if process is None:
                return
            with suppress(OSError):
                self._line.close()
        process.kill()
        process.join()
