"""The bench runner: takes turns, leaves the warm-up out, names what it does not know, and keeps to its own section."""

from __future__ import annotations

import importlib
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from bench import __main__ as runner
from bench import limits, operations
from bench.page import put, section
from bench.work import Work

MOST = limits.Limits(gflop_s={"f64": 50.0, "f32": 100.0}, memory_gb_s=20.0, register_bits=512)
PAGE = "# Measured\n\nBy hand.\n\n<!-- bench a -->\nold\n<!-- end of bench a -->\n\n## Also by hand\n"
SLOW_TO_TELL = ("foreign_files", "lists", "recall")  # they make their files first
BRIEF = {"DRAWS": 50, "WEEK_S": 0.5, "LONGER_S": 0.5, "INSTANCE_S": 0.2, "REST_S": 0.2,
         "SHAPES": {"1e3": (5, 10, (2, 2), 5)}}
"""What is made smaller in a quick look, where a bench has it."""


def test_candidates_take_turns() -> None:
    calls: list[str] = []
    taken = runner.turns({"plain": lambda: calls.append("plain"), "fast": lambda: calls.append("fast")})
    assert calls == ["plain", "fast"] * (runner.ROUNDS + 1)
    assert set(taken) == {"plain", "fast"}


def test_the_slow_first_turn_does_not_count(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = [0.0]
    lasts = iter([100.0] + [2.0] * runner.ROUNDS)
    monkeypatch.setattr(runner.time, "perf_counter", lambda: clock[0])
    taken = runner.turns({"job": lambda: clock.__setitem__(0, clock[0] + next(lasts))})
    assert taken == {"job": [2.0] * runner.ROUNDS}


def test_an_unknown_bench_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert runner.main(["nothing"]) == 2
    assert "there is no bench `nothing`" in capsys.readouterr().err


@pytest.mark.parametrize("name", [pytest.param(name, marks=pytest.mark.full) if name in SLOW_TO_TELL else name
                                  for name in runner.names()])
def test_a_bench_can_tell_what_it_measures(name: str, long: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    module = importlib.import_module(f"bench.{name}")
    for figure, small in () if long else BRIEF.items():
        if hasattr(module, figure):
            monkeypatch.setattr(module, figure, small)
    assert callable(module.run)
    if hasattr(module, "about"):
        assert isinstance(module.about(), Work)


def test_the_benches_are_found() -> None:
    assert {"engine", *SLOW_TO_TELL} <= set(runner.names())


def test_a_section_takes_the_place_of_its_last_one_and_touches_nothing_else() -> None:
    assert put(PAGE, "a", "new \\1\n") == PAGE.replace("old", "new \\1")
    assert put(PAGE, "b", "more\n") == PAGE + "\n<!-- bench b -->\nmore\n<!-- end of bench b -->\n"


def test_the_page_holds_each_bench_once() -> None:
    page = (Path(__file__).parents[2] / "docs" / "measured.md").read_text(encoding="utf-8")
    for name in runner.names():
        assert page.count(f"<!-- bench {name} -->") == page.count(f"<!-- end of bench {name} -->") <= 1, name


def test_a_section_tells_ratios_and_shares_of_the_limit_of_each_precision() -> None:
    about = Work(what="One thing.", unit="lane-day", units=10**6, operations=200.0, yardsticks=("plain", "twin"),
                 single_precision=frozenset({"ours, f32"}))
    text = section("engine", about, {"twin": 0.4, "plain": 0.2, "ours": 0.01, "ours, f32": 0.005}, MOST, "7 turns")
    rows = {cells[0]: cells[1:] for line in text.splitlines()
            if line.startswith("|") and (cells := [cell.strip() for cell in line.strip("|").split("|")])}
    assert rows["twin"] == ["400.00 ms", "400.00 ns", "0.50", "1.00", "0.50 G/s", "1.0 %"]
    assert rows["ours"] == ["10.00 ms", "10.00 ns", "20.00", "40.00", "20.00 G/s", "40.0 %"]
    assert rows["ours, f32"] == ["5.00 ms", "5.00 ns", "40.00", "80.00", "40.00 G/s", "40.0 %"]
    assert "50.0 Gflop/s of multiply-adds in f64 and 100.0 in f32" in " ".join(text.split())


def test_without_a_vectorised_loop_no_limit_is_claimed() -> None:
    most = limits.Limits(gflop_s=MOST.gflop_s, memory_gb_s=20.0, register_bits=0)
    text = section("engine", Work(what="", unit="job", units=1, operations=1.0), {"one": 1.0}, most, "7 turns")
    assert "of one thread's limit" not in text
    assert "was not vectorised" in " ".join(text.split())


def test_limits_are_taken_from_the_fastest_burst(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limits, "BURSTS", 2)
    probe = limits.Probe()
    readings = iter([0.0, 4.0, 0.0, 2.0, 0.0, 3.0, 0.0, 1.0, 0.0, 8.0, 0.0, 0.5])  # two bursts of f64, f32 and memory
    monkeypatch.setattr(limits.time, "perf_counter", lambda: next(readings))
    probe.turn()
    found = probe.limits()
    assert found.gflop_s == pytest.approx({"f64": limits.MULTIPLY_ADDS / 1e9, "f32": 2 * limits.MULTIPLY_ADDS / 1e9})
    assert found.memory_gb_s == pytest.approx(3 * 8 * limits.TRIAD_NUMBERS / 0.5e9)


def test_the_loop_that_measures_the_limit_is_vectorised() -> None:
    for number in limits.TYPES.values():
        limits.multiply_add(np.zeros(64, number), number(0.5), number(1.0), 1)
    assert len(limits.multiply_add.signatures) >= 2
    assert {limits.register_bits(code) > 0 for code in limits.multiply_add.inspect_asm().values()} == {True}


@pytest.mark.parametrize(("line", "bits"), [
    ("vfmadd213pd %zmm1, %zmm2, %zmm3", 512), ("vfmadd231ps\t(%rax), %ymm2, %ymm3", 256),
    ("vfmadd213pd %xmm1, %xmm2, %xmm3", 128), ("vfmadd213sd %xmm1, %xmm2, %xmm3", 0),
    ("fmla\tv0.2d, v1.2d, v2.2d", 128), ("fmla.4s v0, v1, v2", 128), ("fmadd d0, d1, d2, d3", 0)])
def test_a_register_is_known_by_its_name(line: str, bits: int) -> None:
    assert limits.register_bits(f"  movq %rax, %rbx\n  {line}\n") == bits


def test_multiply_adds_are_really_done() -> None:
    values = np.array([0.0, 1.0])
    limits.multiply_add(values, 0.5, 1.0, 1)
    assert values == pytest.approx([2.0, 2.0], abs=1e-9)


@pytest.fixture
def counted() -> Iterator[dict[str, int]]:
    operations.Counting.done.clear()
    yield operations.Counting.done
    operations.Counting.done.clear()


def test_operations_are_counted_element_by_element(counted: dict[str, int]) -> None:
    array = np.arange(12.0).reshape(4, 3).view(operations.Counting)
    array[0] += np.exp(-array[1]) * 2.0
    np.where(array > 1.0, np.clip(array, 0.0, 1.0) / 3.0, 1.0).sum(axis=0)
    assert counted == {"additions": 3 + 9, "exponentials": 3, "multiplications": 3, "minima or maxima": 24,
                       "divisions": 12}


def test_an_operation_of_no_known_kind_is_not_left_out(counted: dict[str, int]) -> None:
    with pytest.raises(KeyError, match="sqrt"):
        np.sqrt(np.ones(3).view(operations.Counting))


@pytest.mark.pinned
def test_a_lane_day_asks_for_so_much_arithmetic() -> None:
    """The shares of the machine's limit in docs/measured.md rest on it.

    Counted by hand as well: additions 72, multiplications 66, minima and maxima 38, divisions 32, one exponential.
    """
    kinds = operations.operations_per_lane_day()
    assert kinds["exponentials"] == 1
    assert 25 <= kinds["divisions"] <= 40
    assert 180 <= operations.in_all() <= 240
