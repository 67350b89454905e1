"""Writers that wait at the same time are answered by one commit: a disk takes as long over one as over sixty."""

from __future__ import annotations

from collections.abc import Callable
from threading import Lock
from typing import Any, Generic, TypeVar

from rootcase.fieldbook.store.store import Store, Writing

_MOST_AT_ONCE = 64
"""JUDGEMENT: nobody waits for more than this many others' work before the commit that answers both."""
T = TypeVar("T")


class Together:
    """Runs what writers ask for in turns of its own, each of which holds all that waited when it began."""

    def __init__(self, store: Store, undone: Callable[[], None]) -> None:
        """undone: told when a turn came to nothing, so that what was remembered of it can be forgotten."""
        self._store, self._undone = store, undone
        self._waiting: list[_Asked[Any]] = []
        self._door, self._turn = Lock(), Lock()

    def run(self, work: Callable[[Writing], T]) -> T:
        """What the work returns, once it is durable. It may be run twice: what it says counts when it has returned."""
        mine = _Asked(work)
        with self._door:
            self._waiting.append(mine)
        while not mine.answered:
            with self._turn:
                if not mine.answered:
                    with self._door:
                        these, self._waiting = self._waiting[:_MOST_AT_ONCE], self._waiting[_MOST_AT_ONCE:]
                    self._answer(these)
        return mine.result()

    def _answer(self, these: list[_Asked[Any]]) -> None:
        """Answer them all by one commit; where that fails each by one of its own, so that nobody pays for another."""
        try:
            self._commit(these)
        except BaseException as error:  # noqa: BLE001  # each writer is told its own
            if len(these) == 1:
                these[0].fail(error)
                return
            for each in these:
                self._answer([each])

    def _commit(self, these: list[_Asked[Any]]) -> None:
        try:
            with self._store.writing() as turn:
                found = [each.work(turn) for each in these]
        except BaseException:
            self._undone()
            raise
        for each, result in zip(these, found, strict=True):
            each.succeed(result)


class _Asked(Generic[T]):
    """One writer's work, and what came of it."""

    def __init__(self, work: Callable[[Writing], T]) -> None:
        self.work, self.answered = work, False
        self._result: list[T] = []
        self._error: BaseException | None = None

    def succeed(self, result: T) -> None:
        self._result, self.answered = [result], True

    def fail(self, error: BaseException) -> None:
        self._error, self.answered = error, True

    def result(self) -> T:
        if self._error is not None:
            raise self._error
        return self._result[0]
