"""What soaks in of a depth of water, written without a branch, so that a loop over lanes runs on vectors."""

from __future__ import annotations

from typing import Any

import numpy as np
from llvmlite import ir
from numba import types
from numba.extending import intrinsic, overload


def _scaled_as(context: Any, value: Any, rounder: Any) -> Any:
    """value × 2^n, where n stands in the last bits of `rounder`; by bits, so that it stays in vectors."""
    width = value.bitwidth

    def generate(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
        whole = ir.IntType(width)
        value_bits, rounder_bits = (builder.bitcast(each, whole) for each in arguments)
        power = builder.shl(rounder_bits, ir.Constant(whole, 52 if width == 64 else 23))
        return builder.bitcast(builder.add(value_bits, power), arguments[0].type)

    return value(value, rounder), generate


_scaled: Any = intrinsic(_scaled_as)


def soaked_share(depth: Any) -> Any:
    """1 - exp(-depth) for depth >= 0; in compiled loops one of the two below, written for vectors."""
    return -np.expm1(-depth)


@overload(soaked_share)
def _soaked_share(depth: Any) -> Any:
    return _soaked_share_64 if depth == types.float64 else _soaked_share_32


# exp(-y) = 2^n exp(r), |r| <= ln 2 / 2: n by adding a number so large that only whole ones are left, ln 2 in two parts
# (Cody and Waite 1980, Software manual for the elementary functions), exp(r) - 1 by its Taylor polynomial.
LOG2_E, ROUNDER, LN2_HIGH, LN2_LOW = 1.4426950408889634, 6755399441055744.0, 0.6931471803691238, 1.9082149292705877e-10
LOG2_E_32, ROUNDER_32 = np.float32(1.4426950408889634), np.float32(12582912.0)
LN2_HIGH_32, LN2_LOW_32 = np.float32(0.693359375), np.float32(-2.12194440e-4)
ONE_32, MOST_32 = np.float32(1.0), np.float32(80.0)
T2, T3, T4, T5, T6, T7 = (np.float32(1 / n) for n in (2, 6, 24, 120, 720, 5040))


def _soaked_share_64(depth: Any) -> Any:
    y = min(depth, 700.0)
    shifted = ROUNDER - y * LOG2_E
    n = shifted - ROUNDER
    r = (-y - n * LN2_HIGH) - n * LN2_LOW
    tail = r * r * (1 / 2 + r * (1 / 6 + r * (1 / 24 + r * (1 / 120 + r * (1 / 720 + r * (1 / 5040 + r * (
        1 / 40320 + r * (1 / 362880 + r / 3628800))))))))
    power = _scaled(1.0, shifted)
    return (1.0 - power) - power * (r + tail)


def _soaked_share_32(depth: Any) -> Any:
    y = min(depth, MOST_32)
    shifted = ROUNDER_32 - y * LOG2_E_32
    n = shifted - ROUNDER_32
    r = (-y - n * LN2_HIGH_32) - n * LN2_LOW_32
    tail = r * r * (T2 + r * (T3 + r * (T4 + r * (T5 + r * (T6 + r * T7)))))
    power = _scaled(ONE_32, shifted)
    return (ONE_32 - power) - power * (r + tail)
