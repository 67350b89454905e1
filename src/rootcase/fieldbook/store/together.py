"""Who waits at the same time is answered by one commit: a disk takes as long over one reading as over sixty."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from threading import Lock
from typing import Generic, TypeVar

from rootcase.fieldbook.store.store import Store, Writing

_MOST_AT_ONCE = 64
"""JUDGEMENT: nobody waits for more than this many others' work before the commit that answers both."""
AskedT = TypeVar("AskedT")
AnswerT = TypeVar("AnswerT")


class Together(Generic[AskedT, AnswerT]):
    """Does what is asked in turns of writing, each of which holds all that waited when it began."""

    def __init__(self, store: Store, work: Callable[[Writing, Sequence[AskedT]], Sequence[AnswerT]],
                 undone: Callable[[], None]) -> None:
        """work: answers several at once. undone: told when a turn came to nothing, so that what was remembered of it
        is forgotten; then the same may be asked again."""
        self._store, self._work, self._undone = store, work, undone
        self._waiting: list[_Asked[AskedT, AnswerT]] = []
        self._door, self._turn = Lock(), Lock()

    def ask(self, asked: AskedT) -> AnswerT:
        """The answer, once what it speaks of is durable."""
        mine = _Asked[AskedT, AnswerT](asked)
        with self._door:
            self._waiting.append(mine)
        while not mine.answered:
            with self._turn:
                if not mine.answered:
                    with self._door:
                        these, self._waiting = self._waiting[:_MOST_AT_ONCE], self._waiting[_MOST_AT_ONCE:]
                    self._answer(these)
        return mine.result()

    def _answer(self, these: list[_Asked[AskedT, AnswerT]]) -> None:
        """Answer them all by one commit; where that fails each by one of its own, so that nobody pays for another."""
        try:
            self._commit(these)
        except BaseException as error:  # noqa: BLE001 - each who asked is told their own
            if len(these) == 1:
                these[0].fail(error)
                return
            for each in these:
                self._answer([each])

    def _commit(self, these: list[_Asked[AskedT, AnswerT]]) -> None:
        try:
            with self._store.writing() as turn:
                found = self._work(turn, [each.asked for each in these])
        except BaseException:
            self._undone()
            raise
        for each, answer in zip(these, found, strict=True):
            each.succeed(answer)


class _Asked(Generic[AskedT, AnswerT]):
    """What one asks, and what came of it."""

    def __init__(self, asked: AskedT) -> None:
        self.asked, self.answered = asked, False
        self._answer: list[AnswerT] = []
        self._error: BaseException | None = None

    def succeed(self, answer: AnswerT) -> None:
        self._answer, self.answered = [answer], True

    def fail(self, error: BaseException) -> None:
        self._error, self.answered = error, True

    def result(self) -> AnswerT:
        if self._error is not None:
            raise self._error
        return self._answer[0]
