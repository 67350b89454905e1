"""What the study found, as the table that stands in docs/measured.md."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from textwrap import fill

import numpy as np
from scipy.stats import kstest

from rootcase.casework.estimate import estimate
from rootcase.records.explain import LIMITS
from rootcase.science.inference.posterior import MODEL_LOG_ERROR
from tests.study.other_world import World, truths
from tests.study.practice import Way
from tests.study.study import (
    Answer,
    Counted,
    conditioned,
    counted,
    losses,
    named,
    other_cause,
    predicted,
    ranks,
    seen_again,
    worded,
)

MEASURED = Path(__file__).parents[2] / "docs" / "measured.md"
FROM, TO = "<!-- study -->", "<!-- end of study -->"
WORLDS = {
    "none: the program's own model": World(),
    "other soils": World(european_soils=True),
    "hourly storms": World(storms=True),
    "roots stop at 0.8 of the resistance": World(half_rooting=0.8),
    "roots stop at 1.25 of the resistance": World(half_rooting=1.25),
    "standing water remembered": World(memory=True),
    "all four, 0.8": World(european_soils=True, storms=True, half_rooting=0.8, memory=True),
    "all four, 1.25": World(european_soils=True, storms=True, half_rooting=1.25, memory=True),
}

Cell = tuple[str, Callable[[Sequence[Answer]], Counted]]
COVERED: tuple[Cell, ...] = (("predicted share", predicted), ("share once shoots were seen", conditioned),
                             *((f"points lost to {limit}", lambda answers, limit=limit: losses(answers, limit))
                               for limit in LIMITS))


def first_truth(practice: Mapping[Way, Sequence[Answer]]) -> Iterator[str]:
    """Coverage where the world is the model."""
    ways = (way.name.lower().replace("_", " ") for way in Way)
    yield " | ".join(["| nine-in-ten interval of", *ways, "mean width |"])
    yield "|---|---|---|---|---|"
    for name, count in COVERED:
        found = [count(practice[way]) for way in Way]
        width = f"{found[0].width:.1f} points" if name.startswith("points") else f"{found[0].width:.2f}"
        yield " | ".join([f"| {name}", *(f"{each.rate:.3f} of {each.of}" for each in found), f"{width} |"])


def how_sure(answers: Sequence[Answer]) -> Iterator[str]:
    """The largest limit, by how sure the program was."""
    yield "| what was named | right | of | chance given |"
    yield "|---|---|---|---|"
    for told, found in (("limit that leads in the draws", named(answers)),
                        ("the same, leading in 2 of 3 draws or more", named(answers, 2 / 3)),
                        ("the same, leading in 9 of 10 or more", named(answers, 0.9)),
                        *((f"main cause the report calls {word}", worded(answers, word))
                          for word in ("likely", "maybe"))):
        yield f"| {told} | {found.right} | {found.of} | {found.said:.2f} |"
    other = other_cause(answers)
    yield ""
    yield fill(f"A cause outside the soil: there in {other['true']:.2f} of properties, chance given "
               f"{other['said']:.2f} on average, {other['where there']:.2f} where there was one, "
               f"{other['where none']:.2f} where there was none. Readings and growth said to disagree: "
               f"{other['disagree']:.2f}.", 120)


def by_situation(answers: Sequence[Answer]) -> Iterator[str]:
    yield "| situation | of | true share | predicted share held | width | once shoots were seen | width |"
    yield "|---|---|---|---|---|---|---|"
    for situation in dict.fromkeys(a.case.situation for a in answers):
        here = [a for a in answers if a.case.situation == situation]
        before, after = predicted(here), conditioned(here)
        yield (f"| {situation} | {len(here)} | {np.mean([a.share for a in here]):.2f} | {before.rate:.2f} | "
               f"{before.width:.2f} | {after.rate:.2f} | {after.width:.2f} |")


def second_truth(answers: Sequence[Answer]) -> Iterator[str]:
    """Coverage where the world is another, one departure at a time and all at once."""
    yield ("| the world differs by | its log share over the model's: mean, spread | predicted share held | with the "
           "model's error of .25 | once shoots were seen | strength held | water held | largest limit right, said |")
    yield "|---|---|---|---|---|---|---|---|"
    for name, world in WORLDS.items():
        told = in_world(answers, world)
        off = np.log(np.maximum([a.share for a in told], 0.005)) - np.log(np.maximum([a.share for a in answers], 0.005))
        first = named(told)
        rates = [found.rate for found in (predicted(told), widened(told), conditioned(told), losses(told, "strength"),
                                          losses(told, "water"))]
        yield " | ".join([f"| {name}", f"{off.mean():+.2f}, {off.std():.2f}", *(f"{rate:.2f}" for rate in rates),
                          f"{first.right / first.of:.2f}, {first.said:.2f} |"])


def in_world(answers: Sequence[Answer], world: World) -> list[Answer]:
    """The same properties and readings where another world made the trees grow."""
    return [seen_again(a, truth) for a, truth in zip(answers, truths([a.case for a in answers], world), strict=True)]


def widened(answers: Sequence[Answer]) -> Counted:
    """The predicted share with the error the model is believed to have."""
    rng = np.random.default_rng(9)
    return counted((estimate(a.said.share_draws * np.exp(MODEL_LOG_ERROR * rng.standard_normal(a.said.draws))), a.share)
                   for a in answers)


def page(practice: Mapping[Way, Sequence[Answer]], seed: int) -> str:
    """The section of docs/measured.md."""
    by_place, by_reading = practice[Way.READING_AROUND_TRUTH], practice[Way.TRUTH_AROUND_READING]
    count = by_place[0].said.draws
    even = min(float(kstest(ranks(by_reading, of), "uniform").pvalue) for of in ("share", "seen", *LIMITS))
    opening = (f"A simulated practice of {len(by_place)} properties, {count} draws each, seed {seed}: "
               "`./run test --long tests/study`. What it is and what it shows: [honesty.md](honesty.md). Rates of "
               f"{len(by_place)} stray by ± {predicted(by_place).luck:.3f} (two standard errors). Where among its "
               "draws a truth lies is even where truth lies around reading: least p of eight tests of Kolmogorov and "
               f"Smirnov {even:.2f}.")
    return "\n".join([
        "## The honesty study", "", fill(opening, 120), "",
        *first_truth(practice), "", *how_sure(by_place), "", *by_situation(by_place), "",
        "In another world, the same readings, shoots from that world:", "", *second_truth(by_place), ""])


def write(text: str) -> None:
    """Puts the section in its place, at the end where it has none yet."""
    before, _, rest = MEASURED.read_text(encoding="utf-8").partition(FROM)
    after = rest.partition(TO)[2] or "\n"
    MEASURED.write_text(f"{before.rstrip()}\n\n{FROM}\n{text}{TO}{after}", encoding="utf-8")
