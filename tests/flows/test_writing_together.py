"""A server and other programs write in one fieldbook at once: all of it is there afterwards, and nobody is told off."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path

import httpx2 as httpx
import pytest

from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.register import add_person
from rootcase.fieldbook.people.sessions import open_session
from rootcase.fieldbook.store import open_store
from rootcase.services.backup import back_up, bring_back
from tests.fieldbook.sheets import SHEET, write_sheet
from tests.fieldbook.store.test_store import writer

CHECKOUT = Path(__file__).parents[2]
HANDS = 4
"""Browsers that post at once."""
NEVER_ENDS = datetime(2200, 1, 1, tzinfo=UTC)


def rootcase(*arguments: object, folder: Path) -> subprocess.Popen[str]:
    return subprocess.Popen([sys.executable, "-m", "rootcase.cli.main", *map(str, arguments)], text=True, cwd=folder,
                            stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                            env={**os.environ, "PYTHONPATH": str(CHECKOUT / "src"), "PYTHONUNBUFFERED": "1"})


@pytest.fixture
def served(tmp_path: Path) -> Iterator[httpx.Client]:
    """A server on a fieldbook of its own, and its owner's browser."""
    with open_fieldbook(tmp_path / "book.sqlite") as book:
        who = add_person(book.store, "o1", "An owner", "owner", "owner")
        token = open_session(book.store, (who.practice_id, who.code), "browser", "test", NEVER_ENDS, os.urandom)
    server = rootcase("serve", "--fieldbook", "book.sqlite", "--port", 0, folder=tmp_path)
    assert server.stdout is not None
    base = server.stdout.readline().split()[1].rstrip("/")
    with httpx.Client(base_url=base, headers={"origin": base}, cookies={"rootcase": token}, timeout=60) as client:
        yield client
    server.send_signal(signal.SIGINT)
    assert (server.wait(60), server.stderr.read() if server.stderr else "") == (0, "")


def test_two_processes_write_at_once_and_nothing_is_lost(served: httpx.Client, tmp_path: Path, long: bool) -> None:
    count = 1000 if long else 60

    def tell(number: int) -> httpx.Response:
        return served.post("/practice/prices", data={"item": "mulch", "amount": f"{number + 1}", "unit": "m3",
                                                     "currency": "USD", "source": f"post {number}"})

    other = writer(tmp_path / "book.sqlite", "other", count)
    with ThreadPoolExecutor(HANDS) as hands:
        posting = [hands.submit(tell, number) for number in range(count)]
        sheet = rootcase("observe", "import", write_sheet(tmp_path / "in", SHEET), "--fieldbook", "book.sqlite",
                         folder=tmp_path)
        (tmp_path / "kept").mkdir()
        with open_fieldbook(tmp_path / "book.sqlite") as book:
            done = back_up(book, tmp_path / "kept")
        answers = [each.result() for each in posting]
    acknowledged, _ = other.communicate()
    told = sheet.communicate()
    wrong = [answer.text for answer in answers if answer.headers.get("location") != "/practice/prices"]
    assert wrong == []
    assert (other.returncode, len(acknowledged.splitlines())) == (0, count)
    assert (sheet.returncode, told[1]) == (0, "")
    assert "locked" not in told[0]
    with open_fieldbook(tmp_path / "book.sqlite") as book:
        sources = {price.price.source for price in book.telling.prices()}
        assert sources == {f"post {number}" for number in range(count)}
        assert sum(price.stands for price in book.telling.prices()) == 1  # each took the place of the one before
        assert book.properties()[0].name == "Alder Bank"
    with open_store(tmp_path / "book.sqlite", "own").reading() as look:
        events = look.events()
    assert {event.id for event in events} >= {f"other {number}" for number in range(count)}
    assert len({event.id for event in events}) == len(events)
    assert done.events <= bring_back(done.file, tmp_path / "back.sqlite").events <= len(events)


def test_forms_of_readings_and_particulars_go_in_beside_another_process(served: httpx.Client, tmp_path: Path,
                                                                        long: bool) -> None:
    count = 500 if long else 20
    with open_fieldbook(tmp_path / "book.sqlite") as book:
        book.import_sheet(write_sheet(tmp_path / "in", SHEET))
        ground = book.properties()[0]
        tree = book.record(ground.id).trees[0]
    at = f"/properties/{ground.id}"

    def read(number: int) -> httpx.Response:
        return served.post(f"{at}/trees/{tree.id}/read", data={
            "mark": f"m{number}", "day": "2016-01-10", "v.dbh.1": f"{200 + number} mm"})

    def tell(number: int) -> httpx.Response:
        shown = re.findall(r'name="shown" value="([^"]+)"', served.get(f"{at}/particulars").text)[0]
        return served.post(f"{at}/particulars", data={"shown": shown, "law": f"law {number}"})

    other = writer(tmp_path / "book.sqlite", "other", count)
    with ThreadPoolExecutor(HANDS) as hands:
        reading = [hands.submit(read, number) for number in range(count)]
        telling = [hands.submit(tell, number) for number in range(count)]
        read_as, told_as = ([each.result().status_code for each in all_of] for all_of in (reading, telling))
    acknowledged, _ = other.communicate()
    assert (other.returncode, len(acknowledged.splitlines())) == (0, count)
    assert set(read_as) == {303}
    assert set(told_as) <= {303, 422}, "kept, or told that somebody was quicker"
    with open_fieldbook(tmp_path / "book.sqlite") as book:
        with book.store.reading() as look:
            events = look.events(ground.id)
        told = {each.facts.law for each in book.particulars.history(ground.id)}
    typed = {getattr(event.body, "typed", "") for event in events}  # each took the place of the one before
    assert typed >= {f"{200 + number} mm" for number in range(count)}
    assert {f"law {number}" for number, status in enumerate(told_as) if status == 303} == told - {ground.law}
