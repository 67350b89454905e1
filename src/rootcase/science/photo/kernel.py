"""How the loops over pixels are compiled."""

from __future__ import annotations

from numba import njit

compiled = njit(cache=True, nogil=True, error_model="numpy", fastmath=True)
