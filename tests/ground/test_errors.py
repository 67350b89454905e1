"""An error is one line: where, what, the value with its unit, and what would be right."""

from __future__ import annotations

import numpy as np
import pytest

from rootcase.ground.errors import OutOfRange, RootcaseError, TypedError, UnknownUnit, require_order, require_range


def test_the_line_is_built_from_what_is_known() -> None:
    whole = RootcaseError("too deep", where="row 3", value="4 m", right="up to 2 m")
    assert str(whole) == "row 3: too deep (got 4 m); up to 2 m"
    assert str(RootcaseError("too deep")) == "too deep"
    assert issubclass(UnknownUnit, TypedError)


def test_the_first_value_out_of_range_is_named_alone_or_in_an_array() -> None:
    with pytest.raises(OutOfRange, match=r"clay is outside its range \(got 1.2 g/g\); it must lie between 0 and 1 g/g"):
        require_range("clay", np.array([0.2, 1.2, 3.0]), 0, 1, "g/g")
    with pytest.raises(ValueError, match=r"got nan"):
        require_range("clay", float("nan"), 0, 1, "")
    require_range("clay", [0.0, 1.0], 0, 1, "")


def test_swapped_boxes_are_named() -> None:
    with pytest.raises(OutOfRange, match=r"top is not below bottom \(got 30 and 15 cm\); were the two boxes swapped\?"):
        require_order("top", np.array([0.0, 30.0]), "bottom", 15.0, "cm")
    with pytest.raises(OutOfRange, match="got 15 and 15"):
        require_order("top", 15.0, "bottom", 15.0, "cm")
    require_order("top", 0.0, "bottom", 15.0, "cm")
