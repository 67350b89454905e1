"""Full tables of yes and no: against plain counting, and refused where they mean nothing."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange
from rootcase.science.inference.network import Node, belief, look_bits, most_probable


@st.composite
def networks(draw: st.DrawFn) -> list[Node]:
    """Up to six nodes, each with parents in any order among those before it."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    nodes: list[Node] = []
    for number in range(draw(st.integers(2, 6))):
        parents = rng.permutation(number)[:rng.integers(0, min(number, 3) + 1)]
        nodes.append(Node(f"n{number}", rng.uniform(0.05, 0.95, (2,) * len(parents)), tuple(f"n{p}" for p in parents)))
    return nodes


def counted(nodes: list[Node], seen: dict[str, bool]) -> dict[tuple[int, ...], float]:
    states = {}
    for state in product((0, 1), repeat=len(nodes)):
        answer = {node.name: value for node, value in zip(nodes, state, strict=True)}
        if all(answer[name] == value for name, value in seen.items()):
            yes = [float(np.asarray(node.chance)[tuple(answer[parent] for parent in node.parents)]) for node in nodes]
            states[state] = float(np.prod([p if value else 1 - p for p, value in zip(yes, state, strict=True)]))
    return states


@pytest.mark.property
@given(networks(), st.booleans())
def test_it_is_what_plain_counting_gives(nodes: list[Node], answer: bool) -> None:
    seen = {nodes[-1].name: answer}
    states = counted(nodes, seen)
    total = sum(states.values())
    found = belief(nodes, seen)
    assert found.evidence == pytest.approx(total, rel=1e-12)
    for number, node in enumerate(nodes):
        yes = sum(weight for state, weight in states.items() if state[number])
        assert found.chances[node.name] == pytest.approx(yes / total, abs=1e-12)
    best = most_probable(nodes, seen)
    assert best.chance == pytest.approx(max(states.values()) / total, rel=1e-12)
    assert counted(nodes, {**seen, **best.state}).popitem()[1] == pytest.approx(best.chance * total, rel=1e-12)


@pytest.mark.property
@given(networks())
def test_a_look_tells_as_much_of_the_other_as_the_other_of_it(nodes: list[Node]) -> None:
    one, other = nodes[0].name, nodes[-1].name
    drop = look_bits(nodes, one, other, {})
    assert drop == pytest.approx(look_bits(nodes, other, one, {}), abs=1e-12)
    assert 0.0 <= drop <= look_bits(nodes, one, one, {}) + 1e-12
    assert look_bits(nodes, one, other, {other: True}) == pytest.approx(0.0, abs=1e-12)


def test_what_cannot_be_is_refused() -> None:
    wet = Node("wet", 0.2)
    with pytest.raises(Missing, match="no such node"):
        belief([wet], {"dry": True})
    with pytest.raises(Missing, match="no such node"):
        belief([Node("smell", [0.1, 0.9], ("wet",)), wet], {})
    with pytest.raises(OutOfRange, match="does not fit its parents"):
        belief([wet, Node("smell", 0.5, ("wet",))], {})
    with pytest.raises(OutOfRange, match="chance of wet is outside"):
        belief([Node("wet", 1.5)], {})
    with pytest.raises(OutOfRange, match="number of nodes"):
        belief([Node(f"n{number}", 0.5) for number in range(21)], {})
    with pytest.raises(ImpossibleValue, match="cannot be in this network"):
        belief([Node("never", 0.0)], {"never": True})
