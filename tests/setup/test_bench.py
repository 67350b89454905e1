"""The bench runner: takes turns, leaves the warm-up out, names what it does not know."""

from __future__ import annotations

import sys

import pytest

from bench import __main__ as runner


def test_candidates_take_turns() -> None:
    calls: list[str] = []
    medians = runner.seconds({"plain": lambda: calls.append("plain"), "fast": lambda: calls.append("fast")})
    assert calls == ["plain", "fast"] * (runner.ROUNDS + 1)
    assert set(medians) == {"plain", "fast"}


def test_the_slow_first_turn_does_not_count(monkeypatch: pytest.MonkeyPatch) -> None:
    clock = [0.0]
    lasts = iter([100.0] + [2.0] * runner.ROUNDS)
    monkeypatch.setattr(runner.time, "perf_counter", lambda: clock[0])
    assert runner.seconds({"job": lambda: clock.__setitem__(0, clock[0] + next(lasts))}) == {"job": 2.0}


def test_an_unknown_bench_is_named(capsys: pytest.CaptureFixture[str]) -> None:
    assert runner.main(["nothing"]) == 2
    assert "there is no bench `nothing`" in capsys.readouterr().err


def test_every_bench_has_candidates() -> None:
    for name in runner.names():
        module = sys.modules.get(f"bench.{name}") or __import__(f"bench.{name}", fromlist=["run"])
        assert callable(module.run), name
