"""The tank's account on two phones of one crew: made is applied, left and lost, whatever of it each has told."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.field_phone import modules_in

ACCOUNT = """async ([loads, heard, entries, batches]) => {
  const { tankAccounts } = await import("/real/tank_account.js");
  return tankAccounts(loads, heard, entries, new Set(batches));
}"""
LOADS = [{"id": "l1", "batch_id": "b", "volume_l": 600.0, "told": "first"},
         {"id": "l2", "batch_id": "b", "volume_l": 500.0, "told": "second"},
         {"id": "l3", "batch_id": "c", "volume_l": 300.0, "told": "other"}]


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with modules_in(browser) as opened:
        yield opened


def heard(slot: str, an_id: str, litres: float, what: str = "applied", batch: str = "b") -> dict[str, Any]:
    return {"slot": slot, "id": an_id, "batch_id": batch, "what": what, "litres": litres}


def put_on(slot: str, an_id: str, litres: float, **more: object) -> dict[str, Any]:
    settled = more.pop("settled", None)
    return {"id": an_id, "kind": "put_on_logged", "settled": settled,
            "body": {"slot": slot, "volume_l": str(litres), "load": "l1", **more}}


def went(slot: str, an_id: str, what: str, litres: float) -> dict[str, Any]:
    return {"id": an_id, "kind": "litres_told", "body": {"slot": slot, "batch": "b", "what": what,
                                                         "volume_l": str(litres)}}


def test_two_phones_of_a_crew_account_for_the_same_tank(page: Page) -> None:
    def account(known: list[dict[str, Any]], *own: dict[str, Any]) -> tuple[float, ...]:
        found, = page.evaluate(ACCOUNT, [LOADS, known, list(own), ["b"]])
        assert (found["batch"], found["told"]) == ("b", ["first", "second"])
        return tuple(found[each] for each in ("loaded", "applied", "left", "lost"))

    mine, theirs = put_on("s1", "e1", 400.0), put_on("s2", "e2", 500.0)
    rest, spilt = went("s3", "e3", "left", 150.0), went("s4", "e4", "lost", 50.0)
    all_of_it = [heard("s1", "e1", 400.0), heard("s2", "e2", 500.0), heard("s3", "e3", 150.0, "left"),
                 heard("s4", "e4", 50.0, "lost")]
    whole = (1100.0, 900.0, 150.0, 50.0)
    # The first has sent its log and heard the second's; what is left is told on the first, not sent yet.
    assert account(all_of_it[:2], mine, rest) == (1100.0, 900.0, 150.0, 0.0)
    assert account(all_of_it[:1], theirs, spilt) == (1100.0, 900.0, 0.0, 50.0)
    for own in ((), (mine, rest), (theirs, spilt), (mine, theirs, rest, spilt)):
        assert account(all_of_it, *own) == whole
    loaded, *parts = whole
    assert loaded == sum(parts)


def test_a_correction_counts_once_and_the_newest_word_of_it(page: Page) -> None:
    def applied(known: list[dict[str, Any]], *own: dict[str, Any]) -> float:
        return float(page.evaluate(ACCOUNT, [LOADS, known, list(own), ["b"]])[0]["applied"])

    first, second = put_on("s1", "e1", 400.0), put_on("s1", "e2", 410.0, supersedes="e1")
    assert applied([], first, second) == 410.0
    assert applied([heard("s1", "e1", 400.0)], first, second) == 410.0
    assert applied([heard("s1", "e9", 380.0)], first) == 380.0  # corrected at the desk since
    assert applied([], put_on("s1", "e1", 400.0, settled={"how": "let_go"})) == 0.0
    assert applied([], put_on("s1", "e1", 400.0, load="", batch="b")) == 400.0
    assert applied([], put_on("s1", "e1", 400.0, load="l3")) == 0.0
