"""Published figures on causes and signs: eight questions in a network, noisy-OR, a look paid for before drilling."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from rootcase.science.inference import network
from rootcase.science.inference.decision import LookValue, value_of_look
from rootcase.science.inference.network import Node
from rootcase.science.inference.noisy_or import (
    ABSENT,
    NOT_LOOKED,
    PRESENT,
    Judged,
    NoisyOr,
    judge,
    net_weight,
    sign_chances,
)
from tests.published.vectors import Answer, Answers, Row, asserted, check

ASIA = (
    Node("A", 0.01), Node("T", [0.01, 0.05], ("A",)), Node("S", 0.5), Node("L", [0.01, 0.10], ("S",)),
    Node("B", [0.30, 0.60], ("S",)), Node("E", [[0, 1], [1, 1]], ("T", "L")), Node("X", [0.05, 0.98], ("E",)),
    Node("D", [[0.1, 0.8], [0.7, 0.9]], ("E", "B")),
)
CAUSES = ("compaction", "drought", "deep planting", "low OM")
SIGNS = ("short shoots", "chlorosis", "dieback", "hard probe")
PRIORS = (0.30, 0.20, 0.10, 0.25)
WEIGHTS = np.array([[0.7, 0.3, 0.2, 0.9], [0.5, 0.0, 0.6, 0.3], [0.4, 0.2, 0.5, 0.0], [0.3, 0.4, 0.0, 0.0]])
LEAKS = np.array([0.05, 0.03, 0.02, 0.04])


def asia(node: str) -> Callable[[Row], Answer]:
    return lambda row: network.belief(ASIA, row.inputs).chances[node]


def state(row: Row) -> str:
    best = network.most_probable(ASIA, row.inputs).state
    return ",".join(name if answer else f"¬{name}" for name, answer in best.items())


def drop(row: Row) -> float:
    given = row.inputs
    return network.look_bits(ASIA, given["target"], given.get("look", given["target"]), given["evidence"])


def drilling(row: Row) -> LookValue:
    return value_of_look([0.5, 0.3, 0.2], [[0.6, 0.3, 0.1], [0.3, 0.4, 0.3], [0.1, 0.4, 0.5]],
                         [[-70, 50, 200], [0, 0, 0]], row.inputs.get("price", 0.0))


def judged(row: Row) -> Judged:
    known = row.inputs.get("causes", {})
    priors = [float(known.get(cause, prior)) for cause, prior in zip(CAUSES, PRIORS, strict=True)]
    found = [{True: PRESENT, False: ABSENT, None: NOT_LOOKED}[row.inputs["signs"].get(sign)] for sign in SIGNS]
    return judge(NoisyOr(np.array(priors), WEIGHTS, LEAKS), found)


def evidence(row: Row) -> float:
    """Where a cause is known, the chance of seeing that too."""
    known = row.inputs.get("causes", {})
    first = np.prod([PRIORS[CAUSES.index(cause)] for cause in known])
    return float(judged(row).evidence * first)


def cause(name: str) -> Callable[[Row], Answer]:
    return lambda row: float(judged(row).causes[CAUSES.index(name)])


def sign(name: str) -> Callable[[Row], Answer]:
    nothing = [NOT_LOOKED] * len(SIGNS)
    return lambda row: float(sign_chances(NoisyOr(np.array(PRIORS), WEIGHTS, LEAKS), nothing)[SIGNS.index(name)])


def two_causes(weights: np.ndarray, leak: float) -> tuple[float, ...]:
    """Chance of the sign with neither, the second, the first, both there."""
    there = [NoisyOr(np.array(set_to, float), weights[:, None], np.array([leak]))
             for set_to in ((0, 0), (0, 1), (1, 0), (1, 1))]
    return tuple(float(judge(each, [PRESENT]).evidence) for each in there)


ANSWERS: Answers = {
    ("asia", "P(evidence)"): lambda row: network.belief(ASIA, row.inputs).evidence,
    **{("asia", node.name): asia(node.name) for node in ASIA},
    ("asia", "most probable state"): state,
    ("asia", "its chance"): lambda row: network.most_probable(ASIA, row.inputs).chance,
    ("asia", "entropy"): drop,
    ("asia", "entropy drop"): drop,
    ("drilling", "expected value of the best choice"): lambda row: drilling(row).best_without,
    ("drilling", "perfect information"): lambda row: drilling(row).perfect_information,
    ("drilling", "chance of each result"): lambda row: tuple(drilling(row).result_chances),
    ("drilling", "best value by result"): lambda row: tuple(drilling(row).best_by_result),
    ("drilling", "sounding"): lambda row: drilling(row).look,
    ("drilling", "worth after its price"): lambda row: drilling(row).best_after_price,
    ("noisy_or", "P(evidence)"): evidence,
    **{("noisy_or", name): cause(name) for name in CAUSES},
    **{("noisy_or", name): sign(name) for name in SIGNS},
    ("noisy_or", "net: none; second; first; both"):
        lambda row: two_causes(np.array(row.inputs["weights"]), row.inputs["leak"]),
    ("noisy_or", "compound: none; second; first; both"):
        lambda row: two_causes(net_weight(row.inputs["weights"], row.inputs["leak"]), row.inputs["leak"]),
}


@pytest.mark.parametrize("row", asserted("networks.csv"))
def test_the_published_figure_is_met(row: Row) -> None:
    check(row, ANSWERS)
