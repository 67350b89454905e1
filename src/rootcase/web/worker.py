"""A process that does one piece of work after another for the app: what computes for long never stands in its way."""

from __future__ import annotations

import signal
import sys
import traceback
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any, Literal

from rootcase.ground.errors import RootcaseError
from rootcase.ground.words import say

Told = tuple[Literal["progress"], str, int, int] | tuple[Literal["done"], Any] | tuple[Literal["failed"], RootcaseError]
"""What a worker says of its work: stage, done, of; then its result, or in one line why there is none."""


class WorkFailed(RootcaseError):
    """Work in another process came to nothing, and why."""


def work_on(asked: Connection) -> None:
    """Do what is asked until nobody asks any more; the app alone ends it, whatever is typed at its terminal."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    while True:
        try:
            function, arguments, tells = asked.recv()
        except EOFError:
            return
        told: Told = _done(function, arguments, _teller(asked) if tells else None)
        try:
            asked.send(told)
        except OSError:
            return
        except Exception:  # noqa: BLE001 - what cannot be sent is no reason to be silent
            traceback.print_exc(file=sys.stderr)
            asked.send(("failed", WorkFailed(say("jobs.broke"))))


def _done(function: Callable[..., Any], arguments: tuple[Any, ...],
          tell: Callable[[str, int, int], None] | None) -> Told:
    try:
        return "done", function(*([tell] if tell else []), *arguments)
    except RootcaseError as error:
        return "failed", error
    except Exception:  # noqa: BLE001 - told in one line; the whole of it goes to the terminal
        traceback.print_exc(file=sys.stderr)
        return "failed", WorkFailed(say("jobs.broke"))


def _teller(asked: Connection) -> Callable[[str, int, int], None]:
    def tell(stage: str, done: int, of: int) -> None:
        asked.send(("progress", stage, done, of))

    return tell
