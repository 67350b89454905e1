"""Somebody who brings a file at the desk, for the tests of what comes in."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient

from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from tests.web.conftest import at_once

NOW = datetime(2016, 1, 15, 12, tzinfo=UTC)
ABOUT = {"property_name": "Kiln Lane", "system": "us", "ground": "lawn", "day": "2015-06-14"}
SMALL = "Tag,Species,Height (ft),Lat,Long\n1,Quercus rubra,40,47.45,-122.31\n2,Acer rubrun,tall,47.45,-122.311\n"


class Person:
    """Somebody at the desk, who sees pages and sends their forms."""

    def __init__(self, desk: Desk, client: TestClient) -> None:
        self.desk, self.client, self.page, self.status, self.address = desk, client, "", 0, ""

    def see(self, address: str) -> str:
        answer = self.client.get(address)
        self.page, self.status, self.address = html.unescape(answer.text), answer.status_code, answer.url.path
        return self.page

    def bring(self, name: str, content: bytes | str, what: str = "list") -> str:
        data = content.encode() if isinstance(content, str) else content
        return self._sent(self.client.post("/import", files={"file": (name, data)}, data={"what": what}))

    def send(self, form: str, **typed: str) -> str:
        """Send a form of the page that is looked at, with the mark that stands in it."""
        found = re.search(r'name="mark" value="(\w+)"', self.page)
        mark = {"mark": found[1]} if found else {}
        fields = {name.replace("__", "."): value for name, value in typed.items()}
        return self._sent(self.client.post(f"{self.address}/{form}", data={**mark, **fields}))

    def _sent(self, answer: Any) -> str:
        assert answer.history or answer.status_code == 422, answer.text
        assert [each.status_code for each in answer.history] in ([], [303])
        self.page, self.status = html.unescape(answer.text), answer.status_code
        if answer.history:
            self.address = answer.url.path
        return self.page

    @property
    def finding(self) -> str:
        return re.search(r'<h1 class="finding">(.*?)</h1>', self.page)[1]  # type: ignore[index]

    def group(self, column: str) -> tuple[str, str]:
        """Number and text of the group of faults of a column."""
        found = re.search(rf'<p id="group-(\d+)-told">([^<]*, {column}:[^<]*)</p>', self.page)
        assert found, column
        return found[1], found[2]


@contextmanager
def at_the_desk(folder: Path) -> Iterator[Person]:
    """At a small desk of one's own, whose short work is done at once."""
    desk = Desk(folder / "own.sqlite", lambda: NOW, folder / "results", demo=True)
    desk.jobs.call = at_once  # type: ignore[method-assign]
    with TestClient(create_app(desk), base_url="http://127.0.0.1", headers={"origin": "http://127.0.0.1"}) as client:
        yield Person(desk, client)
