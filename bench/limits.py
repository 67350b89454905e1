"""What this machine can do at most on one thread, measured in turns with the candidates: multiply-adds and memory."""

from __future__ import annotations

import math
import re
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numba import njit

CHAIN = 32
"""Multiply-adds on one value between load and store; the values of a block do not wait for one another."""

BLOCK_BYTES = 4096  # stays in the first-level cache
MULTIPLY_ADDS = 2**24  # under a millisecond, so that a busy machine too leaves one burst alone
BURSTS = 10
TRIAD_NUMBERS = 16_000_000  # three arrays of 128 MB: larger than a last-level cache
TYPES = {"f64": np.float64, "f32": np.float32}
MEMORY = "memory"

# A packed multiply-add and the bits of its register: x86-64, then arm64.
PACKED = ((r"vfmadd\d+p[sd]\s[^\n]*zmm", 512), (r"vfmadd\d+p[sd]\s[^\n]*ymm", 256), (r"vfmadd\d+p[sd]\s", 128),
          (r"fmla(?:\s+v\d+)?\.(?:2d|4s)", 128))


@dataclass(frozen=True, slots=True)
class Limits:
    """The most of one thread in the turns of one bench."""

    gflop_s: Mapping[str, float]
    """By type of number; a multiply-add is two operations."""
    memory_gb_s: float
    """Two arrays read and one written; what a write reads first is not counted."""
    register_bits: int
    """Of the registers the multiply-adds were compiled to; 0: not vectorised, so no limit of this machine."""


@njit(error_model="numpy", fastmath={"contract"})
def multiply_add(values: Any, factor: Any, term: Any, rounds: int) -> None:
    for _ in range(rounds):
        for lane in range(values.size):
            value = values[lane]
            for _ in range(CHAIN):
                value = value * factor + term
            values[lane] = value


@njit(error_model="numpy", fastmath={"contract"})
def triad(out: Any, first: Any, second: Any, factor: float) -> None:
    for index in range(out.size):
        out[index] = first[index] + factor * second[index]


def register_bits(machine_code: str) -> int:
    """Width of the widest packed multiply-add in an assembly listing; 0 where there is none."""
    return max((bits for pattern, bits in PACKED if re.search(pattern, machine_code)), default=0)


class Probe:
    """Takes turns with the candidates and remembers the fastest burst: a limit is what was possible, not usual."""

    def __init__(self) -> None:
        arrays = tuple(np.ones(TRIAD_NUMBERS) for _ in range(3))
        self._jobs = {**{name: _dense(number) for name, number in TYPES.items()}, MEMORY: lambda: triad(*arrays, 0.5)}
        self._fastest_s = dict.fromkeys(self._jobs, math.inf)

    def turn(self) -> None:
        for name, job in self._jobs.items():
            for _ in range(BURSTS):
                start = time.perf_counter()
                job()
                self._fastest_s[name] = min(self._fastest_s[name], time.perf_counter() - start)

    def limits(self) -> Limits:
        return Limits(
            gflop_s={name: 2 * MULTIPLY_ADDS / self._fastest_s[name] / 1e9 for name in TYPES},
            memory_gb_s=3 * 8 * TRIAD_NUMBERS / self._fastest_s[MEMORY] / 1e9,
            register_bits=min(register_bits(code) for code in multiply_add.inspect_asm().values()))


def _dense(number: Any) -> Callable[[], object]:
    values = np.zeros(BLOCK_BYTES // number().itemsize, number)
    return lambda: multiply_add(values, number(0.999), number(0.5), MULTIPLY_ADDS // (CHAIN * values.size))
