"""Work past midnight on the phone: its end has its own day, and the record stays of the day it began."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.field_phone import modules_in

TOLD = """async ([now, typed]) => {
  const { learnWords } = await import("/real/words.js");
  const words = Object.fromEntries(["ends_before", "ended_on_wrong", "ended_hour"].map(
    (each) => [`field.log.${each}`, each]));
  window.fetch = async () => ({ json: async () => words });
  await learnWords();
  const { hoursTold } = await import("/real/log_hours.js");
  const moment = (day, hour, minute) => new Date(2016, ...day, hour, minute, 20).toISOString();
  const seen = Object.fromEntries(Object.entries(now.seen ?? {}).map(([which, at]) => [which, moment(...at)]));
  const wrong = {}, told = hoursTold({ day: "2016-05-02", today: "2016-05-03", ...now, seen }, typed, wrong);
  const local = (at) => at && new Date(at).toLocaleString("sv").slice(0, 16);
  return [local(told.started), local(told.ended), Object.keys(wrong)];
}"""
LATE = {"started": "22:30", "ended": "0:40"}


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with modules_in(browser) as opened:
        yield opened


def test_the_end_has_its_own_day(page: Page) -> None:
    def told(typed: dict[str, str], **now: object) -> list[object]:
        found: list[object] = page.evaluate(TOLD, [now, typed])
        return found

    assert told(LATE)[2] == ["ended"]
    assert told({**LATE, "ended_on": "2016-05-03"}) == ["2016-05-02 22:30", "2016-05-03 00:40", []]
    assert told({"ended_on": "2016-05-02"}) == ["", "", []]
    assert told({"started": "22:30", "ended_on": "2016-05-03"})[2] == ["ended"]
    for last in ("2016-05-01", "2016-05-04"):
        assert "ended_on" in told({**LATE, "ended_on": last}, today="2016-05-09")[2]  # type: ignore[operator]
    assert told({**LATE, "ended_on": "2016-05-03"}, today="2016-05-02")[2] == ["ended_on"]
    # As the clock saw it: begun and ended behind midnight, on a round of the day before.
    seen = {"started": [[4, 3], 0, 5], "ended": [[4, 3], 0, 40]}
    by_clock = {"started": "00:05", "ended": "00:40", "ended_on": "2016-05-03"}
    assert told(by_clock, seen=seen) == ["2016-05-03 00:05", "2016-05-03 00:40", []]
    assert told({**by_clock, "ended_on": "2016-05-02"}, seen=seen)[2] == ["ended"]
