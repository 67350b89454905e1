"""A job in parts on the phone: each part is its own stop, and one that is logged leaves the others."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.field_phone import modules_in

LOGGED = """async ([steps, logs]) => {
  const { loggedAt, logsOf } = await import("/real/round.js");
  const events = logs.map((body, at) => ({ id: String(at), kind: "put_on_logged", body: { by: "rs", ...body } }));
  const field = { book: { events: async () => events }, start: { who: { code: "rs" } } };
  const tasks = (step) => ({ ...step, property_id: "p", tasks: [{ id: "j", done: Boolean(step.done) }] });
  return Promise.all(steps.map(tasks).map(async (step) =>
    [(await loggedAt(field, step)).has("j"), (await logsOf(field, step, "j")).map(({ id }) => id).join("")]));
}"""
NAMES = """async () => { const { jobAt } = await import("/real/round.js");
  return [0, 1, 2].map((part) => jobAt({ part }, "j")); }"""


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with modules_in(browser) as opened:
        yield opened


def test_a_log_is_of_its_part_alone(page: Page) -> None:
    parts = [{"part": 1}, {"part": 2}]

    def logged(*logs: dict[str, object], steps: object = parts) -> list[list[object]]:
        found: list[list[object]] = page.evaluate(LOGGED, [steps, [{"jobs": ["j"], **each} for each in logs]])
        return found

    assert logged() == [[False, ""], [False, ""]]
    assert logged({"part": 1}) == [[True, "0"], [False, ""]]
    assert logged({"part": 2}) == [[False, ""], [True, "0"]]
    assert logged({"part": 1}, {"part": 2}, {"part": 2, "supersedes": "1"}) == [[True, "0"], [True, "2"]]
    assert logged({"part": 1}, steps=[{"part": 2}]) == [[False, ""]]
    assert logged({}, steps=[{"part": 0}, {"part": 2}]) == [[True, "0"], [False, ""]]
    assert logged(steps=[{"part": 1, "done": True}, {"part": 2}]) == [[True, ""], [False, ""]]


def test_what_is_half_typed_at_one_part_does_not_stand_at_the_other(page: Page) -> None:
    assert page.evaluate(NAMES) == ["j", "j", "j-2"]
