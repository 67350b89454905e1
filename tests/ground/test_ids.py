"""Ids: the form of RFC 9562, time order whatever the clock does, and no two alike."""

from __future__ import annotations

import uuid
from collections.abc import Callable, Iterator
from itertools import count

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import UnreadableValue
from rootcase.ground.ids import IdMaker, made_ms, read_id

EXAMPLE = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"


def ticking(times: Iterator[int]) -> Callable[[], int]:
    return lambda: next(times)


def seeded(n: int) -> bytes:
    return bytes(range(7, 7 + n))


@pytest.mark.published
def test_the_example_of_the_standard() -> None:
    """RFC 9562, 2024, Appendix A.6: 22 February 2022, 14:22:22 at UTC-5 (memory)."""
    assert made_ms(EXAMPLE) == 0x017F22E279B0 == 1645557742000
    assert read_id(EXAMPLE.upper()) == EXAMPLE


@pytest.mark.reference
def test_the_standard_library_sees_version_7() -> None:
    made = uuid.UUID(IdMaker(lambda: 1645557742000, seeded)())
    assert (made.version, made.variant) == (7, uuid.RFC_4122)
    assert made.int >> 80 == 1645557742000


@given(st.lists(st.integers(0, 2**45), min_size=2, max_size=60))
def test_ids_only_grow_whatever_the_clock_does(times: list[int]) -> None:
    make = IdMaker(ticking(iter(times)), seeded)
    made = [make() for _ in times]
    assert made == sorted(made)
    assert len(set(made)) == len(made)
    assert all(read_id(each) == each for each in made)


@pytest.mark.parametrize("random_byte", [0x00, 0xFF])
def test_ten_thousand_in_one_millisecond_stay_in_order_and_run_ahead_no_more_than_needed(random_byte: int) -> None:
    make = IdMaker(lambda: 1000, lambda n: bytes([random_byte]) * n)
    made = [make() for _ in range(10_000)]
    assert made == sorted(set(made))
    assert 1000 <= made_ms(made[-1]) <= 1000 + 10_000 // 2048


def test_when_the_clock_moves_on_the_time_is_the_clocks() -> None:
    make = IdMaker(ticking(count(5_000, 7)), seeded)
    assert [made_ms(make()) for _ in range(3)] == [5_000, 5_007, 5_014]


def test_all_random_bits_are_used() -> None:
    low = IdMaker(lambda: 0, bytes)()
    high = IdMaker(lambda: 0, lambda n: b"\xff" * n)()
    assert (low, high) == ("00000000-0000-7000-8000-000000000000", "00000000-0000-77ff-bfff-ffffffffffff")


@pytest.mark.parametrize("text", ["", "oak 4", EXAMPLE[:-1], EXAMPLE + "0", EXAMPLE.replace("-7cc3", "-4cc3"),
                                  EXAMPLE.replace("-98c4", "-c8c4"), EXAMPLE.replace("-", "")])
def test_what_is_no_id_is_refused(text: str) -> None:
    with pytest.raises(UnreadableValue, match=r"this is not an id .*an id looks like 017f22e2"):
        read_id(text)
