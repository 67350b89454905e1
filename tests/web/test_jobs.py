"""Work in other processes: done, told, ended at once, and nobody left hanging."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from threading import Thread

import pytest

from rootcase.ground.errors import ImpossibleValue, Missing
from rootcase.web.jobs import Job, Jobs
from rootcase.web.worker import WorkFailed

PATIENCE_S = 60.0
NOON = datetime(2016, 1, 15, 12, tzinfo=UTC)
HERE, ELSEWHERE = "book.sqlite own", "book.sqlite other"


def counted(progress: Callable[[str, int, int], None], far: int) -> tuple[int, int]:
    for number in range(far):
        progress("explain", number, far)
    return far, os.getpid()


def endless(progress: Callable[[str, int, int], None]) -> None:
    progress("explain", 0, os.getpid())
    time.sleep(10 * PATIENCE_S)


def gone(progress: Callable[[str, int, int], None]) -> None:
    os._exit(3)


def refused(*_: object) -> None:
    raise ImpossibleValue("too deep", where="pit 4", value="3 km", right="give a depth under 3 m")


def broken(progress: Callable[[str, int, int], None]) -> None:
    raise ZeroDivisionError


@pytest.fixture(scope="module")
def jobs() -> Iterator[Jobs]:
    made = Jobs(lambda: NOON, workers=1)
    yield made
    made.close()


def until(jobs: Jobs, job: Job, found: Callable[[Job], bool]) -> Job:
    begun = time.monotonic()
    while not found(now := jobs.job(job.tenant, job.id)):
        assert time.monotonic() - begun < PATIENCE_S, now
        time.sleep(0.005)
    return now


def ended(job: Job) -> bool:
    return not job.live


def alive(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


def test_work_is_done_elsewhere_and_told(jobs: Jobs) -> None:
    job = jobs.start(HERE, "casework", counted, 3, property_id="p", leads_to="/trees")
    assert (job.state, job.asked_at, job.leads_to) == ("waiting", NOON, "/trees")
    found = until(jobs, job, ended)
    assert (found.state, found.stage, found.done, found.of) == ("done", "explain", 2, 3)
    far, process = found.result
    assert (far, process != os.getpid()) == (3, True)
    assert until(jobs, jobs.start(HERE, "casework", counted, 4), ended).result == (4, process)  # it stays warm


def test_the_same_work_is_one_job_while_it_lasts(jobs: Jobs) -> None:
    first = jobs.start(HERE, "casework", endless)
    assert jobs.start(HERE, "casework", endless).id == first.id
    assert jobs.start(ELSEWHERE, "casework", endless).id != first.id
    for job in jobs.of(HERE) + jobs.of(ELSEWHERE):
        jobs.cancel(job.tenant, job.id)
    again = jobs.start(HERE, "casework", endless)
    assert again.id != first.id
    jobs.cancel(HERE, again.id)


def test_cancelled_work_ends_at_once_and_the_next_is_done(jobs: Jobs) -> None:
    job = jobs.start(HERE, "casework", endless)
    process = until(jobs, job, lambda now: now.of > 0).of
    waiting = jobs.start(HERE, "casework", counted, 9)
    assert jobs.cancel(HERE, job.id).state == "cancelled"
    assert until(jobs, waiting, ended).state == "done"
    assert not alive(process)
    assert jobs.cancel(HERE, waiting.id).state == "done"  # too late


def test_waiting_work_that_is_cancelled_is_never_begun(jobs: Jobs) -> None:
    first, second = jobs.start(HERE, "casework", endless), jobs.start(HERE, "casework", gone)
    jobs.cancel(HERE, second.id)
    jobs.cancel(HERE, first.id)
    assert until(jobs, jobs.start(HERE, "casework", counted, 2), ended).state == "done"
    assert jobs.job(HERE, second.id).state == "cancelled"


def test_a_worker_that_dies_is_told(jobs: Jobs) -> None:
    found = until(jobs, jobs.start(HERE, "casework", gone), ended)
    assert (found.state, found.error) == (
        "failed", "the computing was ended from outside; the computer may be short of memory")
    assert until(jobs, jobs.start(HERE, "casework", counted, 1), ended).state == "done"


@pytest.mark.parametrize(("work", "told"), [
    (refused, "pit 4: too deep (got 3 km); give a depth under 3 m"), (broken, "a fault of the program itself")])
def test_why_there_is_no_result_is_one_line(jobs: Jobs, work: Callable[..., None], told: str) -> None:
    found = until(jobs, jobs.start(HERE, "casework", work), ended)
    assert found.state == "failed"
    assert told in found.error
    assert "\n" not in found.error


def test_a_short_call_waits_for_no_job_and_keeps_its_error(jobs: Jobs) -> None:
    job = jobs.start(HERE, "casework", endless)
    assert jobs.call(divmod, 7, 2) == (3, 1)
    assert jobs.call(os.getpid) == jobs.call(os.getpid) != os.getpid()
    with pytest.raises(ImpossibleValue, match="too deep") as error:
        jobs.call(refused)
    assert (error.value.where, error.value.value, error.value.right) == ("pit 4", "3 km", "give a depth under 3 m")
    with pytest.raises(WorkFailed, match="ended from outside"):
        jobs.call(os._exit, 1)
    assert jobs.call(divmod, 7, 2) == (3, 1)
    jobs.cancel(HERE, job.id)


def test_nothing_stands_behind_patient_work(jobs: Jobs) -> None:
    slow = jobs.start(HERE, "first_answer", endless, patient=True)
    until(jobs, slow, lambda now: now.state == "running")
    assert until(jobs, jobs.start(HERE, "casework", counted, 2), ended).state == "done"
    assert jobs.job(HERE, slow.id).live
    jobs.cancel(HERE, slow.id)


def test_work_that_cannot_be_sent_is_told(jobs: Jobs) -> None:
    with pytest.raises(WorkFailed, match="a fault of the program itself"):
        jobs.call(lambda: 1)
    assert jobs.call(divmod, 7, 2) == (3, 1)


def test_a_job_is_its_tenant_s_alone(jobs: Jobs) -> None:
    job = jobs.start(HERE, "casework", counted, 1, property_id="p")
    for asked in (jobs.job, jobs.cancel):
        with pytest.raises(Missing, match="no such work"):
            asked(ELSEWHERE, job.id)
    assert job.id not in {each.id for each in jobs.of(ELSEWHERE)}
    assert jobs.of(HERE)[0].id == job.id
    assert jobs.of(HERE, "p")[0].id == job.id
    assert jobs.of(HERE, "another") == ()


def test_closing_ends_everything_at_once() -> None:
    jobs, told = Jobs(lambda: NOON, workers=1), list[BaseException]()

    def call() -> None:
        try:
            jobs.call(time.sleep, 10 * PATIENCE_S)
        except WorkFailed as error:
            told.append(error)

    waits = [Thread(target=call) for _ in range(3)]
    for each in waits:
        each.start()
    job, later = jobs.start(HERE, "casework", endless), jobs.start(HERE, "casework", counted, 1)
    process = until(jobs, job, lambda now: now.of > 0).of
    jobs.close()
    for each in waits:
        each.join(PATIENCE_S)
    assert len(told) == 3
    assert not alive(process)
    assert {jobs.job(HERE, each.id).state for each in (job, later)} == {"cancelled"}
    with pytest.raises(WorkFailed, match="the app is being ended"):
        jobs.call(os.getpid)


def test_a_process_that_cannot_be_begun_is_told_and_the_next_is_tried(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_room(process: object) -> None:
        raise BlockingIOError("Resource temporarily unavailable")

    jobs = Jobs(lambda: NOON, workers=1)
    with monkeypatch.context() as short:
        short.setattr("rootcase.web.jobs._PROCESSES.Process.start", no_room)
        with pytest.raises(WorkFailed, match="ended from outside"):
            jobs.call(os.getpid)
    assert jobs.call(os.getpid) != os.getpid()
    jobs.close()
