"""First-answer sheets: held-out readings against the full model, the lookup, the bytes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import pairwise
from math import exp, log

import numpy as np
import pytest

from rootcase.casework.compare.compare import compare
from rootcase.casework.compare.shoots import growth_prior
from rootcase.casework.estimate import estimate
from rootcase.casework.explain.explain import explain
from rootcase.casework.first_answer.axes import AXES
from rootcase.casework.first_answer.forward import Question
from rootcase.casework.first_answer.lookup import first_answer, kind_in
from rootcase.casework.first_answer.observed import shares_of
from rootcase.casework.first_answer.packed import packed, unpacked
from rootcase.casework.first_answer.readings import TREE, with_first_look
from rootcase.casework.first_answer.sheet import first_sheets, kinds_known
from rootcase.records.explain import Explanation
from rootcase.records.first_answer import FirstAnswer, FirstReadings, FirstSheet, Push
from rootcase.records.observe import Place, PropertyRecord
from rootcase.tables.load import table
from tests.casework.property import DAY, OWNER, TREES, WOOD, read, record, weather

POINTS, CHANCE, NARROWER, BY_LUCK = 3.0, 0.1, 0.1, 0.3
"""Bars of docs/first-answer.md; under the last, in points, an interval's end is nothing anybody is shown."""
STEADY_SEEDS = 8
"""Where two limits are as likely, one run's chance of either moves by .06 (standard deviation) from seed to seed."""
LAWN = Place("somewhere", "prop", "", "lawn")
NOWHERE = PropertyRecord(OWNER, (LAWN,), (), (), (), (), (), (), {})
SPECIES = {"slow": "Acer platanoides", "medium": "Acer pseudoplatanus", "fast": "Acer negundo"}
HEALTHY = record([*WOOD, *(read("shoot_length_last", tree, length, series=str(at), attributes={"position": "upper"})
                           for tree in ("y-1", "y-2") for at, length in enumerate((250.0, 310.0, 290.0, 360.0)))],
                 [tree for tree in TREES if tree.id in ("y-1", "y-2")])
MEDIUM = [kind.name for kind in kinds_known() if (kind.growth_class, kind.habit) == ("medium", 0) and " " in kind.name]
SMALL = replace(AXES, habits=("fixed",), grounds=("", "turf"), shoot_ln_mm=AXES.shoot_ln_mm[1:5],
                shoots_reciprocal=(0.3333,), shoot_variance=(0.2,), seen_sd=(0.3, 0.75))


def asked(known: PropertyRecord, place: Place, yardstick: str, draws: int) -> Question:
    return Question(known, place, yardstick, "", weather(), 2015, DAY, draws, 1)


@cache
def small() -> FirstSheet:
    """One habit, two covers, three shoots of the usual spread: made in seconds."""
    sheet, = first_sheets(asked(NOWHERE, LAWN, "", 500), {"medium": SPECIES["medium"]}, SMALL)
    return unpacked(packed(sheet))


def looks(rng: np.random.Generator, middle_mm: float | None) -> FirstReadings:
    """Anything a first look may bring of a tree that grows between a twentieth and all of its kind."""
    species = str(rng.choice([*(str(row["botanical_name"]) for row in table("species").rows), "", "Quercus sp."]))
    typical = middle_mm or exp(growth_prior(species)[0])
    level = exp(rng.uniform(log(0.05 * typical), log(1.1 * typical)))
    shoots = level * np.exp(0.4 * rng.standard_normal(int(rng.choice([1, 2, 3, 3, 3, 4, 6, 10]))))
    depth = exp(rng.uniform(log(25.0), log(1100.0)))
    stops = rng.choice(["hard", "hard", "hard", "buried", "stone", "rod_end", "gave_up", ""],
                       int(rng.choice([0, 1, 2, 3, 3, 3, 5])))
    probes = [Push(round(depth * exp(0.3 * rng.standard_normal()) + 1.0), str(stop)) for stop in stops]
    return FirstReadings(species, tuple(float(round(mm + 1.0)) for mm in shoots), tuple(probes),
                         str(rng.choice(AXES.grounds)),
                         str(rng.choice(["all_round", "part", "none", "not_looked", ""])), "upper")


def few_looks(rng: np.random.Generator) -> FirstReadings:
    """What the small sheet knows."""
    level, depth = exp(rng.uniform(log(25.0), log(400.0))), exp(rng.uniform(log(30.0), log(1000.0)))
    stop = str(rng.choice(["hard", "hard", "rod_end"]))
    return FirstReadings(str(rng.choice(MEDIUM)),
                         tuple(level * factor for factor in (0.65, 1.0, 1.6)), (Push(round(depth), stop),) * 3,
                         str(rng.choice(["", "turf"])), str(rng.choice(["all_round", "none", ""])), "upper")


def full_model(question: Question, readings: FirstReadings, seed: int) -> Explanation:
    """Compare and explain on the five readings, by other seeds; the share is that of several seeds together."""
    other = replace(question, seed=seed)
    looked = with_first_look(question.record, question.place, question.yardstick_id, readings, "", DAY)
    trees = compare(looked, DAY, draws=question.draws, seed=seed).trees
    compared, shares = next(tree for tree in trees if tree.tree_id == TREE), shares_of(looked, other)
    compared = replace(compared, log_share_draws=shares, log_share_sd=float(shares.std()),
                       share=estimate(np.exp(shares)))
    return explain(looked, TREE, compared, question.weather, draws=shares.size, seed=seed, threads=2)


def off(answer: FirstAnswer, full: Explanation) -> Iterator[tuple[str, float, float, float]]:
    """(name, error of the mean, width of the full model's interval, width of the sheet's), in points."""
    seen, left = full.observed_share, full.unexplained_points
    yield ("share", 100.0 * (answer.share - seen.mean), 100.0 * (seen.high - seen.low),
           100.0 * (answer.high - answer.low))
    yield "left", answer.left.mean - left.mean, left.high - left.low, answer.left.high - answer.left.low
    for ours, theirs in zip(answer.limits, full.limits, strict=True):
        yield ours.name, ours.mean - theirs.points.mean, theirs.points.high - theirs.points.low, ours.high - ours.low


def chances_off(answer: FirstAnswer, full: list[Explanation]) -> np.ndarray:
    """Of each limit, another cause and a buried flare: off by, from the mean of one or several runs."""
    ours = [*(limit.chance or 0.0 for limit in answer.limits), answer.chance_other_cause, answer.chance_buried_flare]
    theirs = [[*each.conditioned.chance_largest, each.conditioned.chance_other_cause,
               next(cause.chance for cause in each.signs.causes if cause.cause == "buried_flare")] for each in full]
    return np.array(ours) - np.mean(theirs, axis=0)


def hold(question: Question, sheets: dict[str, FirstSheet], told: list[FirstReadings]) -> dict[str, float]:
    """The worst of each bar, said where one is broken."""
    worst: dict[str, float] = {}
    for at, readings in enumerate(told):
        any_sheet = next(iter(sheets.values()))
        sheet = sheets.get(kind_in(any_sheet, readings.species).growth_class, any_sheet)
        answer, full = first_answer(sheet, readings), full_model(question, readings, 1000 + 10 * at)
        for name, error, theirs, ours in off(answer, full):
            worst[name] = max(worst.get(name, 0.0), abs(error))
            narrower = (theirs - ours) / theirs if theirs - ours > BY_LUCK else 0.0
            worst[f"{name} narrower"] = max(worst.get(f"{name} narrower", 0.0), narrower)
            assert abs(error) <= POINTS, (name, error, readings)
            assert narrower <= NARROWER, (name, theirs, ours, readings)
        chance = float(np.abs(chances_off(answer, [full])).max())
        if chance > CHANCE:
            steady = [full_model(question, readings, 5000 + 10 * at + more) for more in range(STEADY_SEEDS)]
            chance = float(np.abs(chances_off(answer, steady)).max())
        worst["chance"] = max(worst.get("chance", 0.0), chance)
        assert worst["chance"] <= CHANCE, readings
    return worst


def test_held_out_readings_are_answered_as_the_full_model_answers_them() -> None:
    """Few, of what a small sheet knows; the long check takes any there may be."""
    rng = np.random.default_rng(8)
    hold(asked(NOWHERE, LAWN, "", 1000), {"medium": small()}, [few_looks(rng) for _ in range(3)])


@pytest.mark.full
@pytest.mark.parametrize(("known", "place", "yardstick", "typical_mm"), [
    (NOWHERE, LAWN, "", None), (HEALTHY, HEALTHY.places[1], "yard", 300.0)])
def test_any_held_out_readings_are(known: PropertyRecord, place: Place, yardstick: str, typical_mm: float | None,
                                   capsys: pytest.CaptureFixture[str]) -> None:
    bases = {yardstick: "Quercus rubra"} if yardstick else SPECIES
    made = first_sheets(asked(known, place, yardstick, 3000), bases, AXES)
    assert all(len(packed(sheet)) <= 60_000 for sheet in made)
    sheets = {sheet.basis: unpacked(packed(sheet)) for sheet in made}
    rng = np.random.default_rng(88)
    worst = hold(asked(known, place, yardstick, 2500), sheets, [looks(rng, typical_mm) for _ in range(100)])
    with capsys.disabled():
        print(f"\n{yardstick or 'growth classes'}:", {name: round(value, 3) for name, value in worst.items()})


def test_a_sheet_comes_out_of_its_bytes_as_it_went_in() -> None:
    sheet = small()
    again = unpacked(packed(sheet))
    assert (again.axes, again.kinds, again.flares, again.made) == (sheet.axes, sheet.kinds, sheet.flares, sheet.made)
    for name in ("observed", "stopped", "chances", "left", "next"):
        assert np.array_equal(getattr(again, name), getattr(sheet, name)), name


def test_deeper_soil_never_costs_more() -> None:
    taken = [first_answer(small(), FirstReadings(probes=(Push(depth, "hard"),) * 3)).limits[0].mean
             for depth in np.geomspace(10.0, 2000.0, 60)]
    assert all(later <= earlier + 0.05 for earlier, later in pairwise(taken))
    assert taken[0] > taken[-1] + 10.0


def test_what_was_left_out_narrows_nothing() -> None:
    nothing = first_answer(small(), FirstReadings())
    assert (nothing.share, nothing.left, nothing.limits[0].chance) == (None, None, None)
    pushed = first_answer(small(), FirstReadings(probes=(Push(150.0, "hard"),) * 3))
    too_dry = first_answer(small(), FirstReadings(probes=(Push(150.0, "gave_up"), Push(90.0, "stone"))))
    assert too_dry.limits == nothing.limits
    unread, read = nothing.limits[0], pushed.limits[0]
    assert unread.high - unread.low > 0.6 * (read.high - read.low)
    assert nothing.next


def test_pushes_are_taken_as_the_model_takes_them() -> None:
    sheet = small()

    def strength(*probes: Push) -> float:
        return first_answer(sheet, FirstReadings(probes=probes)).limits[0].mean

    assert strength(Push(100.0, "hard"), Push(300.0, "hard"), Push(900.0, "stone")) == pytest.approx(
        strength(Push(100.0 * 3**0.5, "hard"), Push(100.0 * 3**0.5, "hard")))
    assert strength(Push(300.0, "hard"), Push(600.0, "rod_end"), Push(900.0, "rod_end")) == pytest.approx(
        strength(Push(900.0, "rod_end")))


def test_a_hidden_flare_speaks_for_another_cause() -> None:
    seen = {flare: first_answer(small(), FirstReadings(shoots_mm=(40.0, 50.0, 60.0), flare=flare))
            for flare in ("all_round", "none", "not_looked")}
    hidden, clear, unseen = (seen[flare].chance_buried_flare or 0.0 for flare in ("none", "all_round", "not_looked"))
    assert hidden > unseen > clear
    assert (seen["none"].chance_other_cause or 0.0) > (seen["all_round"].chance_other_cause or 0.0)
