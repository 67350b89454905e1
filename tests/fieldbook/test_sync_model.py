"""Whatever network, clock, restart or older backup does: what was acknowledged is there, once, and looks alike.

Thousands of schedules against the real store; and five servers that are broken on purpose, each of which is found out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from itertools import count, repeat
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from rootcase.fieldbook.store.sent import SentWriting
from rootcase.fieldbook.store.together import Together
from rootcase.fieldbook.taking_in import TakenIn, _Looked
from tests.fieldbook import sync_world
from tests.fieldbook.sync_world import World, make_template

QUICK, LONG, STEPS = 20, 20_000, 16
PARTS = 4
"""So that cores can share them."""
IN_MEMORY = Path("/dev/shm")
"""No plug is pulled here; where there is no such folder it takes longer."""


@pytest.fixture(scope="module")
def template() -> Iterator[Path]:
    with TemporaryDirectory(dir=IN_MEMORY if IN_MEMORY.is_dir() else None) as folder:
        make_template(Path(folder) / "template.sqlite")
        yield Path(folder) / "template.sqlite"


def played(seed: int, template: Path) -> None:
    with TemporaryDirectory(dir=template.parent) as folder:
        world = World(seed, Path(folder), template)
        try:
            world.play(STEPS)
            world.check()
        finally:
            world.close()


@pytest.mark.parametrize("part", range(PARTS))
def test_what_was_acknowledged_is_never_lost_nor_doubled(template: Path, long: bool, part: int) -> None:
    for seed in range(part, LONG if long else QUICK, PARTS):
        played(seed, template)


def acknowledging_before_the_commit(patch: pytest.MonkeyPatch) -> None:
    turns = count()

    def commit(self: Together[Any, Any], these: Sequence[Any]) -> None:
        try:
            with self._store.writing() as turn:
                for each, answer in zip(these, self._work(turn, [each.asked for each in these]), strict=True):
                    each.succeed(answer)
                if next(turns) % 3 == 2:
                    raise KeyboardInterrupt  # the plug is pulled
        except KeyboardInterrupt:
            self._undone()

    patch.setattr(Together, "_commit", commit)


def ignoring_the_hash(patch: pytest.MonkeyPatch) -> None:
    look = _Looked.look
    patch.setattr(_Looked, "look", lambda self, sent, sender: TakenIn(sent.id, "known", sent.hash)
                  if sent.id in self._here else look(self, sent, sender))


def doubling_what_came_too_soon(patch: pytest.MonkeyPatch) -> None:
    let_in = _Looked.let_in_who_waited

    def twice(self: _Looked) -> None:
        before = len(self._fresh)
        let_in(self)
        self._fresh += [(replace(event, id=f"{event.id[:-1]}x"), sent, sender)
                        for event, sent, sender in self._fresh[before:]]

    patch.setattr(_Looked, "let_in_who_waited", twice)


def dropping_what_does_not_fit(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(SentWriting, "lay_aside", lambda self, sent: None)


def keeping_the_generation(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(sync_world, "bring_back", lambda store, generation: None)


@contextmanager
def broken(how: Callable[[pytest.MonkeyPatch], None]) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        how(patch)
        yield


def found_out(seed: int, template: Path) -> bool:
    try:
        played(seed, template)
    except AssertionError:
        return True
    return False


@pytest.mark.parametrize("how", [acknowledging_before_the_commit, ignoring_the_hash, doubling_what_came_too_soon,
                                 dropping_what_does_not_fit, keeping_the_generation])
def test_a_broken_server_is_found_out(template: Path, how: Callable[[pytest.MonkeyPatch], None]) -> None:
    with broken(how):
        assert any(map(found_out, range(QUICK), repeat(template)))
