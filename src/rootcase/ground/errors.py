"""The error family.

RootcaseError
├── TypedError          what a person typed cannot be taken as it stands
│   ├── UnreadableValue     the text is not a value
│   └── UnknownUnit         the unit is not one of ours
├── ImpossibleValue     readable, but outside what can be
├── OutOfRange          a formula was asked outside its range (also a ValueError)
├── Missing             something needed is not there (also a LookupError)
├── FileError           a file cannot be read as what it should be
└── StoreError          the fieldbook cannot be opened, read or written

Each is one line: what, where, the value with its unit, and what would be right.
"""

from __future__ import annotations

from typing import Any


class RootcaseError(Exception):
    """Parent of every error that is meant for a person to read."""

    def __init__(self, what: str, *, where: str = "", value: str = "", right: str = "", about: str = "") -> None:
        """about: name of the entry of a form that it speaks of, which is no word for a person."""
        self.what, self.where, self.value, self.right, self.about = what, where, value, right, about
        place = f"{where}: " if where else ""
        got = f" (got {value})" if value else ""
        way_out = f"; {right}" if right else ""
        super().__init__(f"{place}{what}{got}{way_out}")


class TypedError(RootcaseError):
    """What a person typed cannot be taken as it stands."""


class UnreadableValue(TypedError):
    """The text is not a value."""


class UnknownUnit(TypedError):
    """The unit is not one of ours."""


class ImpossibleValue(RootcaseError):
    """Readable, but outside what can be."""


class OutOfRange(RootcaseError, ValueError):
    """A formula was asked outside its range."""


class Missing(RootcaseError, LookupError):
    """Something needed is not there."""


class FileError(RootcaseError):
    """A file cannot be read as what it should be."""


class StoreError(RootcaseError):
    """The fieldbook cannot be opened, read or written."""


def require_range(name: str, values: Any, low: float, high: float, unit: str) -> None:
    """Raise OutOfRange unless every value lies in low..high; works on scalars and arrays."""
    if isinstance(values, float | int) and low <= values <= high:
        return
    import numpy as np

    array = np.asarray(values, dtype=float)
    if not array.size or (array.min() >= low and array.max() <= high):  # false where a value is missing
        return
    first = float(array[~((array >= low) & (array <= high))].flat[0]) if array.ndim else float(array)
    raise OutOfRange(f"{name} is outside its range", value=f"{first:g} {unit}".strip(),
                     right=f"it must lie between {low:g} and {high:g} {unit}".strip())


def require_order(low_name: str, low: Any, high_name: str, high: Any, unit: str) -> None:
    """Raise OutOfRange unless low < high everywhere."""
    import numpy as np

    low_array, high_array = np.broadcast_arrays(np.asarray(low, float), np.asarray(high, float))
    bad = ~(low_array < high_array)
    if bad.any():
        first_low, first_high = float(low_array[bad].flat[0]), float(high_array[bad].flat[0])
        raise OutOfRange(f"{low_name} is not below {high_name}", right="were the two boxes swapped?",
                         value=f"{first_low:g} and {first_high:g} {unit}".strip())
