"""The record in pages: every record is on just one of them, and they say what the whole list says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rootcase.fieldbook.fieldbook import Fieldbook, open_fieldbook
from rootcase.fieldbook.put_on import PutOnLogged
from rootcase.fieldbook.recording import recording
from rootcase.services.log import accounts, records
from rootcase.services.record_list import record_list
from tests.fieldbook.sheets import whole_property

NOW = datetime(2016, 5, 3, 20, tzinfo=UTC)
WORK = PutOnLogged(slot="s", tree="t1", remedy="mulch", day=NOW.date(), by="rs", jobs=("j1",))


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_fieldbook(tmp_path / "book.sqlite", now=lambda: NOW) as found:
        with found.store.writing() as turn:
            turn.add(whole_property())
        for each in range(9):
            day = NOW.date() - timedelta(days=each % 4)
            found.recording.tell("p", replace(WORK, slot=f"s{each}", day=day, jobs=(f"j{each % 3}",), part=each % 2,
                                              restricted=each % 3 == 0, product="Example" if each % 3 == 0 else "",
                                              not_done="rain" if each == 6 else ""))
        yield found


def paged(book: Fieldbook, most: int) -> tuple[object, ...]:
    """All pages one behind the other: open ones, then the others."""
    pages = [record_list(book, NOW.date(), at, at, most) for at in range(0, 12, most)]
    assert all(len(each.others) <= most >= len(each.open_ones) for each in pages)
    assert {each.count for each in pages} == {len(records(book, NOW.date()))}
    assert {tree: label for each in pages for tree, label in each.labels.items()} == {
        tree.id: tree.label for tree in book.record("p").trees if tree.id == "t1"}
    return (*(one for each in pages for one in each.open_ones), *(one for each in pages for one in each.others))


def test_pages_say_in_their_order_what_the_whole_list_says(book: Fieldbook) -> None:
    assert any(each.twice for each in records(book, NOW.date()))
    for most in (1, 2, 4, 12):
        assert paged(book, most) == records(book, NOW.date())
    assert record_list(book, NOW.date()).open_count == 2


def test_what_is_corrected_after_a_look_stands_corrected_in_the_next(book: Fieldbook) -> None:
    before = paged(book, 4)
    book.recording.tell("p", replace(WORK, slot="s0", day=NOW.date() - timedelta(days=9), note="done at last"))
    book.recording.tell("p", replace(WORK, slot="s10", restricted=True, product="Example"))
    after = paged(book, 4)
    assert after == records(book, NOW.date())
    assert after != before
    with open_fieldbook(Path(book.store.where), now=lambda: NOW) as anew:
        assert paged(anew, 4) == after


def test_a_page_reads_what_it_shows(book: Fieldbook, monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    plain = recording.read_body
    monkeypatch.setattr(recording, "read_body", lambda kind, body: read.append(kind) or plain(kind, body))
    record_list(book, NOW.date(), most=2)
    assert read.count("put_on_logged") == 4  # two, and the two of restricted use that were done
    read.clear()
    assert accounts(book, slice(0, 2)) == ()
    assert read.count("put_on_logged") == 0
