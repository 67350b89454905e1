"""How many slips each net catches and how often it asks in vain, counted on entries whose truth was drawn.

The two tables of expected shares were computed earlier in plain Python, from the limits and the assumed spreads alone;
here the program's own code gives them. Counts: docs/doubts.md.
"""

from __future__ import annotations

import math
from collections import Counter

import numpy as np
import pytest

from rootcase.fieldbook.events import Body, ReadingTaken
from rootcase.fieldbook.intake.doubts.adding import questions_by_net
from rootcase.fieldbook.intake.doubts.held import held
from rootcase.fieldbook.intake.values import box_unit
from rootcase.ground.units import convert
from rootcase.science.inference.slip import ASK_OVER, chance_of_slip
from rootcase.tables.load import table
from rootcase.tables.readings import check, kind_of, kinds
from tests.fieldbook.intake.doubts.made import GROUND, drafts
from tests.study.slips import MEASURED, Practice, over_its_range, right_entries, things

SEED = 1
POINTS = 3.0

# Per cent flagged by the limits alone: a metric number typed into the US box, a US number into the metric box.
BY_LIMITS = {
    "penetration_profile": (100, 100), "pump_pressure": (100, 100), "extract_temperature": (100, 100),
    "heap_temperature": (84, 91), "soil_temperature": (82, 90), "air_temperature": (60, 78), "leaf_length": (80, 80),
    "hole_spacing": (82, 82), "shoot_length_last": (16, 16), "probe_depth": (19, 19), "dbh": (22, 22),
    "mulch_depth": (14, 0), "litter_depth": (14, 0), "tree_height": (32, 32), "crown_spread": (29, 29),
    "applied_volume": (19, 19), "applied_solid_volume": (4, 4), "wind_speed": (7, 0)}

# Per cent caught and per cent of right ones asked about: net, how far a slip moves the value, the spread.
BY_HISTORY = {
    "dbh_last_visit": (2.54, 100, 0.0), "height_last_visit": (3.281, 100, 0.0), "leaf_last_visit": (2.54, 99.7, 0.02),
    "volume_by_plan": (3.785, 99.8, 0.01), "mulch_by_volume": (2.54, 96, 0.2), "dbh_by_height": (math.pi, 81, 0.8),
    "probe_by_zone": (2.54, 65, 1.2), "shoots_last_visit": (2.54, 34, 1.1), "shoots_by_yardstick": (2.54, 6, 0.3)}


@pytest.mark.parametrize("code", BY_LIMITS)
def test_the_limits_catch_what_was_foretold(code: str) -> None:
    kind, found = kind_of(code), []
    for read_on, box in (kind.pair[::-1], kind.pair):
        typed = (convert(over_its_range(kind, (n + 0.5) / 1000), kind.si_unit, read_on) for n in range(1000))
        found.append(sum(check(kind, convert(number, box, kind.si_unit)) != "ok" for number in typed) / 10)
    assert found == pytest.approx(BY_LIMITS[code], abs=POINTS)


@pytest.mark.parametrize("net", BY_HISTORY)
def test_the_rule_catches_what_was_foretold(net: str) -> None:
    factor, caught, in_vain = BY_HISTORY[net]
    spread = table("observe/slip_nets").row(net=net)["log_spread"]
    right = spread * np.random.default_rng(SEED).standard_normal(100_000)
    asked = [100 * np.mean(chance_of_slip(drawn, [math.log(factor)], spread) > ASK_OVER)
             for drawn in (right + math.log(factor), right)]
    assert asked == pytest.approx([caught, in_vain], abs=0.5)


def asked_in(net: str, slipped: bool, n: int) -> float:
    """Per cent of n readings that the program's own net asks about, in a fieldbook made for it."""
    practice = Practice(np.random.default_rng(SEED), "metric")
    make, kind = FIELDS[net]
    for number in range(n):
        make(practice, f"t{number}", _slip(kind, net) if slipped else "")
    new = drafts(*GROUND, *things(n), *practice.bodies)
    about = {slot.rsplit(" ", 2)[0] for slots, _ in questions_by_net(held(new, {}))["scale"] for slot in slots
             if slot.startswith(kind) and slot.rsplit(" ", 2)[1] == "new"}
    subjects = n - n // 10 if net == "shoots_by_yardstick" else n
    return 100 * len(about) / subjects


def _slip(kind: str, net: str) -> str:
    """A unit whose numbers were typed into the metric box; girth is read in a unit π times as small."""
    return "girth" if net == "dbh_by_height" else {"cm": "in", "mm": "cm", "m": "ft"}[box_unit(kinds()[kind], "metric")]


def _last_visit(kind: str, middle: float, readings: int, growth: float = 0.0):
    def make(practice: Practice, tree: str, slip: str) -> None:
        spread = table("observe/slip_nets").row(net={
            "dbh": "dbh_last_visit", "tree_height": "height_last_visit", "leaf_length": "leaf_last_visit",
            "shoot_length_last": "shoots_last_visit"}[kind])["log_spread"]
        was = practice.log(middle, 0.2)
        _several(practice, kind, was, tree, readings, "old", "")
        _several(practice, kind, was * practice.log(1.0, spread) + growth, tree, readings, "new", slip)
    return make


def _several(practice: Practice, kind: str, middle: float, of: str, readings: int, visit: str, slip: str) -> None:
    """Readings on both sides of a middle, which stays."""
    for n in range(readings):
        side = 1 + 0.05 * (n - (readings - 1) / 2) / readings
        practice.read(kind, middle * side, of, visit, str(n), slip)


def _mulch(practice: Practice, tree: str, slip: str) -> None:
    depth = practice.rng.uniform(0.05, 0.15)
    practice.read("applied_area", 50.0, tree)
    practice.read("applied_solid_volume", 50.0 * depth, tree)
    practice.read("mulch_depth", 1000 * depth * practice.log(1.0, 0.2), f"{tree} p0", wrong_unit=slip)


def _by_height(practice: Practice, tree: str, slip: str) -> None:
    height = practice.rng.uniform(6, 20)
    trunk = 250 * (height / 10) ** 1.3 * practice.log(1.0, 0.35)
    practice.read("tree_height", height, tree)
    practice.read("dbh", trunk * (math.pi if slip else 1.0), tree)


def _zone(practice: Practice, tree: str, slip: str) -> None:
    middle = practice.log(150.0, 0.3)
    _several(practice, "probe_depth", middle, f"{tree} p1", 3, "old", "")
    _several(practice, "probe_depth", middle * practice.log(1.0, 0.35), f"{tree} p0", 3, "new", slip)


def _yardstick(practice: Practice, tree: str, slip: str) -> None:
    if tree[1:].endswith("0"):  # the yardstick itself
        _several(practice, "shoot_length_last", 120.0, tree, 3, "new", "")
        return
    _several(practice, "shoot_length_last", 120.0 * practice.log(1.0, 0.8), tree, 3, "new", slip)


FIELDS = {
    "dbh_last_visit": (_last_visit("dbh", 300.0, 1, 12.5), "dbh"),
    "height_last_visit": (_last_visit("tree_height", 11.0, 1, 0.4), "tree_height"),
    "leaf_last_visit": (_last_visit("leaf_length", 100.0, 20), "leaf_length"),
    "mulch_by_volume": (_mulch, "mulch_depth"), "dbh_by_height": (_by_height, "dbh"),
    "probe_by_zone": (_zone, "probe_depth"), "shoots_last_visit": (_last_visit("shoot_length_last", 200.0, 3),
                                                                   "shoot_length_last"),
    "shoots_by_yardstick": (_yardstick, "shoot_length_last")}


@pytest.mark.property
@pytest.mark.parametrize("net", FIELDS)
def test_a_fieldbook_catches_what_was_foretold(net: str, long: bool, capsys: pytest.CaptureFixture[str]) -> None:
    n = 4000 if long else 300
    _, caught, in_vain = BY_HISTORY[net]
    found = asked_in(net, True, n), asked_in(net, False, n)
    with capsys.disabled():
        print(f"\n{net}: {found[0]:.1f} % caught ({caught}), {found[1]:.2f} % of right ones asked about ({in_vain})")
    chance = [4 * math.sqrt(share * (100 - share) / n) for share in (caught, in_vain)] if not long else [0.0, 0.0]
    assert found[0] == pytest.approx(caught, abs=POINTS + chance[0])
    assert found[1] == pytest.approx(in_vain, abs=1.0 + chance[1])


@pytest.mark.property
def test_a_reading_s_error_at_the_edge_of_what_is_usual(capsys: pytest.CaptureFixture[str]) -> None:
    """The hardest draw: truths spread to the very ends of the doubt range, and the reading's error on top of them."""
    rng, doubted = np.random.default_rng(SEED), []
    for kind in kinds().values():
        if kind.error_model in ("normal", "lognormal") and kind.value_type in MEASURED and kind.si_unit != "year":
            size = (kind.error_size or 0.0) * rng.standard_normal(400)
            truths = np.array([over_its_range(kind, share) for share in rng.random(400)])
            read = truths * np.exp(size) if kind.error_model == "lognormal" else truths + size
            verdicts = Counter(check(kind, value) for value in read)
            doubted.append(verdicts["doubt"] / 400)
    with capsys.disabled():
        print(f"\nwith truths to the edge and the reading's error: {100 * np.mean(doubted):.1f} % doubted by limits")
    assert np.mean(doubted) <= 1 / 30


@pytest.mark.property
@pytest.mark.parametrize("system", ["us", "metric"])
def test_of_fifty_right_entries_at_most_one_is_doubted(system: str, long: bool,
                                                       capsys: pytest.CaptureFixture[str]) -> None:
    entries: list[Body] = right_entries(400 if long else 60, SEED, system)  # type: ignore[arg-type]
    new = drafts(*GROUND, *entries)
    readings = [body for body in new.values() if isinstance(body, ReadingTaken)]
    doubted = {"limits": {body.slot for body in readings if body.doubts}}
    for net, questions in questions_by_net(held(new, {})).items():
        doubted[net] = {slot for slots, _ in questions for slot in slots}
    all_doubted = set().union(*doubted.values())
    of_kind = Counter(body.kind for body in readings)
    worst = Counter(new[slot].kind for slot in all_doubted)  # type: ignore[attr-defined]
    with capsys.disabled():
        print(f"\n{system}: {len(all_doubted)} of {len(readings)} right entries, {len(of_kind)} kinds; by net",
              {net: len(slots) for net, slots in doubted.items()}, "by kind",
              {kind: f"{count} of {of_kind[kind]}" for kind, count in worst.most_common(4)})
    assert len(all_doubted) <= len(readings) / 50
    assert np.mean([worst[kind] / count for kind, count in of_kind.items()]) <= 1 / 50
