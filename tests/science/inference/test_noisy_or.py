"""Noisy-OR against plain counting and against full tables, whatever the numbers; what must hold of it; refusals."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from math import comb

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, OutOfRange
from rootcase.science.inference import network, noisy_or_sums
from rootcase.science.inference.noisy_or import (
    ABSENT,
    NOT_LOOKED,
    PRESENT,
    NoisyOr,
    judge,
    look_bits,
    net_weight,
    sign_chances,
)

FINDINGS = (PRESENT, ABSENT, NOT_LOOKED, (0.2, 0.7), (3.0, 0.5))


@st.composite
def networks(draw: st.DrawFn) -> tuple[NoisyOr, np.ndarray]:
    """Up to five causes and five signs, some links missing, some weights of one; findings of every sort."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    causes, signs = draw(st.integers(1, 5)), draw(st.integers(1, 5))
    weights = rng.choice([0.0, 0.0, 0.2, 0.55, 0.9, 1.0], (causes, signs))
    found = np.array(draw(st.lists(st.sampled_from(FINDINGS), min_size=signs, max_size=signs)))
    return NoisyOr(rng.uniform(0.02, 0.9, causes), weights, rng.uniform(0.01, 0.4, signs)), found


def counted(net: NoisyOr, found: np.ndarray) -> dict[tuple[int, ...], float]:
    """Chance of the evidence with each state of the causes, one after the other as the definition says."""
    weight = {}
    for state in product((0, 1), repeat=len(net.priors)):
        chance = float(np.prod(np.where(state, net.priors, 1 - net.priors)))
        for sign, (absent, present) in enumerate(found):
            silent = (1 - net.leaks[sign]) * np.prod((1 - net.weights[:, sign]) ** np.array(state))
            chance *= absent * silent + present * (1 - silent)
        weight[state] = float(chance)
    return weight


@pytest.mark.property
@given(networks())
def test_it_is_what_plain_counting_gives(case: tuple[NoisyOr, np.ndarray]) -> None:
    net, found = case
    states = counted(net, found)
    total = sum(states.values())
    judged = judge(net, found)
    assert judged.evidence == pytest.approx(total, rel=1e-12)
    for cause, chance in enumerate(judged.causes):
        assert chance == pytest.approx(sum(w for s, w in states.items() if s[cause]) / total, rel=1e-11)


@pytest.mark.property
@given(networks())
def test_it_is_what_full_tables_give(case: tuple[NoisyOr, np.ndarray]) -> None:
    """Virtual evidence is a child of its sign there; looks and signs nobody read are compared too."""
    net, found = case
    causes = [f"cause {number}" for number in range(len(net.priors))]
    nodes = [network.Node(name, prior) for name, prior in zip(causes, net.priors, strict=True)]
    for sign, leak in enumerate(net.leaks):
        silent = np.full((2,) * len(causes), 1 - leak)
        for state in product((0, 1), repeat=len(causes)):
            silent[state] *= np.prod((1 - net.weights[:, sign]) ** np.array(state))
        nodes.append(network.Node(f"sign {sign}", 1 - silent, tuple(causes)))
    nodes += [network.Node(f"seen {sign}", pair / 4.0, (f"sign {sign}",)) for sign, pair in enumerate(found)]
    seen = {f"seen {sign}": True for sign in range(len(found))}
    chances = network.belief(nodes, seen).chances
    assert judge(net, found).causes == pytest.approx([chances[name] for name in causes], rel=1e-10)
    assert sign_chances(net, found) == pytest.approx([chances[f"sign {s}"] for s in range(len(found))], abs=1e-10)
    unread = found[:, 0] == found[:, 1]
    drops = [network.look_bits(nodes, "cause 0", f"sign {s}", seen) if unread[s] else 0.0 for s in range(len(found))]
    assert look_bits(net, found, [0]) == pytest.approx(drops, abs=1e-10)


@pytest.mark.property
@given(networks())
def test_both_ways_of_summing_agree(case: tuple[NoisyOr, np.ndarray]) -> None:
    net, found = case
    weighed = noisy_or_sums.Weighed(1 - net.priors[None], net.priors[None], net.weights[None], net.leaks[None])
    ways = [noisy_or_sums._over_causes(weighed, found), noisy_or_sums._over_signs(weighed, found)]
    for one, other in zip(*ways, strict=True):
        assert one == pytest.approx(other, rel=1e-12)


@pytest.mark.property
@given(networks(), st.integers(0, 4))
def test_a_sign_found_never_speaks_against_its_only_cause(case: tuple[NoisyOr, np.ndarray], pick: int) -> None:
    net, found = case
    sign = pick % len(found)
    weights = net.weights.copy()
    weights[1:, sign] = 0.0
    alone = replace(net, weights=weights)
    before, after = found.copy(), found.copy()
    before[sign], after[sign] = NOT_LOOKED, PRESENT
    assert judge(alone, after).causes[0] >= judge(alone, before).causes[0] - 1e-12
    after[sign] = ABSENT
    if weights[0, sign] < 1.0:
        assert judge(alone, after).causes[0] <= judge(alone, before).causes[0] + 1e-12


@pytest.mark.property
@given(networks())
def test_a_sign_not_looked_for_changes_nothing(case: tuple[NoisyOr, np.ndarray]) -> None:
    net, found = case
    looked = np.array([pair for pair in found if tuple(pair) != NOT_LOOKED]).reshape(-1, 2)
    kept = [sign for sign, pair in enumerate(found) if tuple(pair) != NOT_LOOKED]
    left = replace(net, weights=net.weights[:, kept], leaks=net.leaks[kept])
    assert judge(net, found).causes == pytest.approx(judge(left, looked).causes, rel=1e-12)


@pytest.mark.property
@given(networks(), st.integers(0, 4), st.integers(0, 4))
def test_a_look_takes_no_more_doubt_away_than_there_is(case: tuple[NoisyOr, np.ndarray], one: int, other: int) -> None:
    net, found = case
    targets = sorted({one % len(net.priors), other % len(net.priors)})
    chances = judge(net, found).causes[targets]
    most = -sum(p * np.log2(p) + (1 - p) * np.log2(1 - p) for p in chances if 0 < p < 1)
    bits = look_bits(net, found, targets)
    assert (bits >= 0).all()
    assert (bits <= most + 1e-9).all()


def test_tries_are_as_many_networks_asked_alone() -> None:
    rng = np.random.default_rng(3)
    many = NoisyOr(rng.uniform(0.02, 0.5, (7, 20)), rng.uniform(0, 0.9, (7, 20, 9)) * (rng.random((20, 9)) < 0.4),
                   rng.uniform(0.01, 0.2, 9))
    found = np.array([PRESENT] * 4 + [ABSENT, NOT_LOOKED, NOT_LOOKED, ABSENT, (0.2, 0.7)])
    together, signs, bits = judge(many, found), sign_chances(many, found), look_bits(many, found, [2, 5])
    for number in range(7):
        alone = NoisyOr(many.priors[number], many.weights[number], many.leaks)
        assert judge(alone, found).causes == pytest.approx(together.causes[number], rel=1e-12)
        assert sign_chances(alone, found) == pytest.approx(signs[number], abs=1e-12)
        assert look_bits(alone, found, [2, 5]) == pytest.approx(bits[number], abs=1e-12)


def test_more_tries_than_fit_are_taken_in_turns(monkeypatch: pytest.MonkeyPatch) -> None:
    rng = np.random.default_rng(4)
    many = NoisyOr(rng.uniform(0.02, 0.5, (50, 6)), rng.uniform(0.1, 0.9, (50, 6, 8)), rng.uniform(0.01, 0.2, (50, 8)))
    at_once = judge(many, [PRESENT] * 8).causes
    monkeypatch.setattr(noisy_or_sums, "LARGEST_TABLE", 600)
    assert judge(many, [PRESENT] * 8).causes == pytest.approx(at_once, rel=1e-14)


def test_rare_evidence_keeps_its_digits() -> None:
    """Eight signs at a leak of one in a million: a sum of terms of either sign would lose them all."""
    net = NoisyOr(np.full(20, 1e-4), np.full((20, 8), 0.3), np.full(8, 1e-6))
    found = np.array([PRESENT] * 8)
    # All causes alike: the number that is there is binomial.
    chance = [comb(20, n) * 1e-4**n * (1 - 1e-4) ** (20 - n) * (1 - (1 - 1e-6) * 0.7**n) ** 8 for n in range(21)]
    judged = judge(net, found)
    assert judged.evidence == pytest.approx(sum(chance), rel=1e-9)
    assert judged.causes[0] == pytest.approx(sum(n * c for n, c in enumerate(chance)) / 20 / sum(chance), rel=1e-9)


def test_a_compound_weight_becomes_the_net_one() -> None:
    assert net_weight([0.1, 0.5, 1.0], 0.1).tolist() == pytest.approx([0.0, 4 / 9, 1.0])
    with pytest.raises(OutOfRange, match="compound less leak"):
        net_weight(0.05, 0.1)


def test_what_cannot_be_is_refused() -> None:
    net = NoisyOr(np.array([0.3]), np.array([[0.5]]), np.array([0.0]))
    with pytest.raises(ImpossibleValue, match="cannot come from these causes"):
        judge(NoisyOr(np.array([0.3]), np.array([[0.0]]), np.array([0.0])), [PRESENT])
    with pytest.raises(OutOfRange, match="priors is outside"):
        judge(replace(net, priors=np.array([1.2])), [PRESENT])
    with pytest.raises(OutOfRange, match="leaks is outside"):
        judge(replace(net, leaks=np.array([np.nan])), [PRESENT])
    with pytest.raises(OutOfRange, match="do not go together"):
        judge(net, [PRESENT, ABSENT])
    with pytest.raises(OutOfRange, match="asked for twice"):
        look_bits(net, [PRESENT], [0, 0])
    with pytest.raises(OutOfRange, match="targets is outside"):
        look_bits(net, [PRESENT], [1])
    wide = NoisyOr(np.full(30, 0.1), np.full((30, 30), 0.2), np.full(30, 0.1))
    with pytest.raises(OutOfRange, match="too many signs and causes hang together"):
        judge(wide, [PRESENT] * 30)
