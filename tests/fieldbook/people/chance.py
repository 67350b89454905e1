"""Random bytes that are the same in every run."""

from __future__ import annotations

from collections.abc import Callable
from random import Random


def chance(seed: int) -> Callable[[int], bytes]:
    return Random(seed).randbytes
