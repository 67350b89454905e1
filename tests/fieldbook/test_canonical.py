"""Canonical bytes: the vectors every reader shares, and what holds for any body."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, reject
from hypothesis import strategies as st

from rootcase.fieldbook.canonical import canonical, number_text, read_canonical
from rootcase.ground.errors import UnreadableValue

VECTORS = json.loads((Path(__file__).parents[1] / "vectors" / "canonical.json").read_text(encoding="utf-8"))["vectors"]
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
BODIES = st.recursive(st.none() | st.booleans() | TEXT | st.integers(-(2**53) + 1, 2**53 - 1),
                      lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
                      max_leaves=12)


@pytest.mark.parametrize("vector", [v for v in VECTORS if "canonical" in v], ids=lambda v: v["name"])
def test_vectors_are_written_to_the_byte(vector: dict[str, Any]) -> None:
    body = read_canonical(vector["json"])
    assert canonical(body) == vector["canonical"].encode("utf-8")
    assert hashlib.sha256(canonical(body)).hexdigest() == vector["sha256"]


@pytest.mark.parametrize("vector", [v for v in VECTORS if "refused" in v], ids=lambda v: v["name"])
def test_vectors_without_a_canonical_form_are_refused(vector: dict[str, Any]) -> None:
    with pytest.raises(UnreadableValue, match=r"number|sign|name|stored text"):
        canonical(read_canonical(vector["json"]))


@pytest.mark.property
@given(BODIES)
def test_writing_what_was_read_changes_nothing(body: object) -> None:
    try:
        written = canonical(body)
    except UnreadableValue:
        reject()  # two names that Unicode holds for one
    assert canonical(read_canonical(written.decode("utf-8"))) == written


@pytest.mark.property
@given(st.floats(allow_nan=False, allow_infinity=False).filter(lambda x: x != 0) | st.just(0.0))
def test_a_number_as_text_reads_back_as_the_same_number(number: float) -> None:
    text = number_text(number)
    assert float(text) == number
    assert "e" not in text.lower()
    assert not text.endswith(".")


@pytest.mark.parametrize("number", [-0.0, float("nan"), float("inf")])
def test_a_number_without_one_way_of_writing_is_refused(number: float) -> None:
    with pytest.raises(UnreadableValue, match="no one way of being written"):
        number_text(number)


def test_floats_never_reach_the_bytes() -> None:
    with pytest.raises(UnreadableValue, match="write fractions and large numbers as text"):
        canonical({"value": 0.5})
