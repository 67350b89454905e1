"""Writers that wait are answered by one commit, and none pays for another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event as Signal
from time import monotonic, sleep

import pytest

from rootcase.fieldbook.store import Store, open_store
from rootcase.fieldbook.store.store import Writing
from rootcase.fieldbook.store.together import Together
from tests.fieldbook.sheets import event, reading

WRITERS = 20


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = open_store(tmp_path / "book.sqlite", "own")
    yield opened
    opened.close()


def until(true: object, patience_s: float = 20.0) -> None:
    begun = monotonic()
    while not true():  # type: ignore[operator]
        assert monotonic() - begun < patience_s
        sleep(0.001)


def test_who_waits_shares_a_commit_and_one_that_fails_fails_alone(store: Store) -> None:
    turns, undone, begun, go_on = list[int](), list[int](), Signal(), Signal()

    def work(turn: Writing, names: Sequence[str]) -> list[str]:
        turns.append(len(names))
        if names == ["first"]:
            begun.set()
            assert go_on.wait(20.0)
        for name in names:
            turn.add([event(name, reading(name, 1.0))])
        if "bad" in names:
            raise ValueError("bad")
        return [f"{name} is kept" for name in names]

    together = Together(store, work, lambda: undone.append(1))
    with ThreadPoolExecutor(WRITERS + 2) as pool:
        first = pool.submit(together.ask, "first")
        assert begun.wait(20.0)
        names = [f"name {number}" for number in range(WRITERS)]
        waiting = [pool.submit(together.ask, name) for name in names]
        until(lambda: len(together._waiting) == WRITERS)
        go_on.set()
        assert [each.result() for each in (first, *waiting)] == [f"{name} is kept" for name in ("first", *names)]
        assert turns == [1, WRITERS]
        go_on.clear()
        begun.clear()
        first = pool.submit(together.ask, "first")
        assert begun.wait(20.0)
        waiting = [pool.submit(together.ask, name) for name in ("one", "bad", "two")]
        until(lambda: len(together._waiting) == 3)
        go_on.set()
        assert first.result() == "first is kept"
        assert [waiting[0].result(), waiting[2].result()] == ["one is kept", "two is kept"]
        with pytest.raises(ValueError, match="bad"):
            waiting[1].result()
    assert turns == [1, WRITERS, 1, 3, 1, 1, 1]
    assert len(undone) == 2
    with store.reading() as look:
        held = {each.body.slot for each in look.events()}
    assert held == {"first", "one", "two", *names}
