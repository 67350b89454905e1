"""The pages of work in hand: asked for by a form, looked at without script, ended, and the page behind it."""

from __future__ import annotations

from collections.abc import Callable

from fastapi.testclient import TestClient

from rootcase.ground.dates import show_date
from rootcase.services.demo import DAY
from rootcase.web.desk import Desk
from rootcase.web.jobs import Jobs
from tests.web.conftest import NOW


def desk_of(client: TestClient) -> Desk:
    desk: Desk = client.app.state.desk  # type: ignore[attr-defined]
    return desk


def test_work_is_asked_for_shown_and_ended_by_plain_forms(app_to_change: TestClient) -> None:
    desk = desk_of(app_to_change)
    desk.jobs.close()
    desk.jobs = Jobs(lambda: NOW, workers=0)  # it waits for ever
    ground = next(iter(desk.grounds("own").values()))
    asked = app_to_change.post(f"/properties/{ground.id}/compute", follow_redirects=False)
    job = asked.headers["location"]
    assert (asked.status_code, job.startswith("/jobs/")) == (303, True)
    assert app_to_change.post(f"/properties/{ground.id}/compute", follow_redirects=False).headers["location"] == job
    page = app_to_change.get(job).text
    assert f"Explaining {ground.name}" in page
    assert '<noscript><meta http-equiv="refresh" content="2"></noscript>' in page
    assert f'action="{job}/cancel"' in page
    assert "Waiting for other work to end." in page
    waiting = app_to_change.get("/").text
    assert f'<a class="target" href="{job}">{ground.name}</a>' in waiting
    assert "<progress" not in waiting, "what waits has no bar"
    desk.jobs.told(job.removeprefix("/jobs/"), state="running")
    assert "<progress" in app_to_change.get("/").text
    ended = app_to_change.post(f"{job}/cancel").text
    assert "Ended. What was kept before still stands." in ended
    assert 'http-equiv="refresh"' not in ended
    assert app_to_change.get("/jobs/none").status_code == 404


def test_work_that_is_done_leads_to_its_page(app_to_change: TestClient) -> None:
    desk = desk_of(app_to_change)
    ground = next(iter(desk.grounds("own").values()))
    job = desk.compute("own", ground)
    assert desk.jobs.told(job.id, state="done")
    answer = app_to_change.get(f"/jobs/{job.id}", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/properties/{ground.id}")


def test_a_demo_desk_begins_to_explain_what_is_not_explained(app_to_change: TestClient,
                                                             begins: Callable[[Desk], None]) -> None:
    desk = desk_of(app_to_change)
    desk.jobs.close()
    desk.jobs = Jobs(lambda: NOW, workers=0)  # it waits for ever
    not_yet = {ground.id for ground in desk.grounds("own").values() if desk.kept("own", ground).casework is None}
    begins(desk)
    assert {job.property_id for job in desk.jobs.of(desk.tenant("own")) if job.live} == not_yet != set()


def test_a_page_of_casework_says_when_it_was_made_and_what_came_since(app_to_change: TestClient) -> None:
    desk = desk_of(app_to_change)
    ground = next(iter(desk.grounds("own").values()))
    record = desk.book("own").record(ground.id)
    page = f"/properties/{ground.id}/trees/{next(iter(record.compared_with))}"
    assert f"Explained on {show_date(DAY)}" in app_to_change.get(page).text
    reading = next(each for each in record.readings if each.kind == "dbh")
    desk.book("own").correct(reading.id, "16 in", "read again")
    told = app_to_change.get(page).text
    assert "a reading was corrected on" in told
    assert f'action="/properties/{ground.id}/compute"' in told
