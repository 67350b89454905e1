"""The client's own words bar what they name and nothing else; what is barred is named where it would help."""

from __future__ import annotations

from types import SimpleNamespace as Told
from typing import Any

import pytest

from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.lifted import turf_worked
from rootcase.casework.prescribe.remedies import remedies
from rootcase.casework.prescribe.verdict import what_would
from rootcase.casework.prescribe.wishes import Wishes, barred_by, worked_share
from rootcase.records.explain import LIMITS


def barred(words: str) -> set[str]:
    wishes = Wishes("lawn", "free", "free", "yes", "yes", words)
    return {remedy.code for remedy in remedies() if barred_by(remedy, wishes, worked_share(wishes), 0.5, 0.5)}


@pytest.mark.parametrize(("words", "codes"), [
    ("nothing harmful to the environment", set()),
    ("keep the whole bed fair, stones instead", set()),
    ("no balance sheet", set()),
    ("no woodchips", {"mulch"}),
    ("iron, please no", {"chelate"}),
    ("no fertilizing and no fertilisers", {"slow_nitrogen"}),
    ("no biostimulants", {"biostimulant"}),
    ("no air lance", {"air_tillage"}),
])
def test_a_product_is_barred_by_its_own_word(words: str, codes: set[str]) -> None:
    assert barred(words) == codes


def test_a_sliver_of_bare_ground_does_not_hide_that_the_lawn_stays() -> None:
    mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    keep = Wishes("lawn", "stays", "free", "yes", "yes", "")
    assert barred_by(mulch, keep, worked_share(keep), 0.99, 0.01) == "lawn_stays"
    assert barred_by(mulch, keep, worked_share(keep), 0.9, 0.1) == ""


@pytest.mark.parametrize(("lawn", "bed_line", "chips", "worked"), [
    ("part", "free", "no", 0.5), ("stays", "free", "no", 0.0), ("part", "free", "yes", 0.5),
    ("part", "fixed", "no", 0.0)])
def test_insisting_against_one_wish_leaves_the_others(lawn: str, bed_line: str, chips: str, worked: float) -> None:
    """Chips that are not wanted, laid all the same, take no more of the lawn than was given up."""
    mulch = next(remedy for remedy in remedies() if remedy.code == "mulch")
    assert turf_worked([mulch], Wishes("lawn", lawn, bed_line, chips, "yes", ""), 0.8, 0.2) == worked


def tree(*treatments: Any, nutrition: float = 0.0, sulfur: str = "") -> Any:
    limits = [Told(limit=limit, points=Told(mean=nutrition if limit == "nutrition" else 0.0)) for limit in LIMITS]
    told = Told(conditioned=None, limits=limits, water_parts=[Told(part="sealing", points=Told(mean=0.0))])
    return Told(explanation=told, ground=Ground("lawn", {}), treatments=treatments, root_zone_m2=100.0, worth_m2=100.0,
                of=lambda code: Told(no_use="", barred=sulfur if code == "sulfur" else ""))


def course(code: str, gain: float, why: str = "no_chips", cost: float | None = 900.0) -> Any:
    parts = [Told(code=part) for part in code.split("+")]
    return Told(code=code, mean_gain=gain, cost=cost, barred=why, no_use="", remedies=parts,
                course=Told(several=len(parts) > 1))


@pytest.mark.parametrize(("treatments", "named"), [
    ((course("mulch", 0.05), course("water+mulch", 0.2)), ("water+mulch",)),
    ((course("mulch", 0.12), course("water+mulch", 0.2)), ("mulch",)),
    ((course("water+mulch", 0.2), course("water+air_tillage", 0.3)), ("water+air_tillage",)),
    ((course("mulch", 0.05), course("water+mulch", 0.09)), ()),
    ((course("water+mulch", 0.2, "too_dry"),), ()),
    ((course("water+mulch", 0.2, cost=2100.0),), ()),  # a full share of 100 m2 is worth 10,000
    ((course("water+mulch", 0.2, cost=None),), ("water+mulch",)),
])
def test_a_barred_course_is_named_where_nothing_in_it_would_do_by_itself(treatments: tuple[Any, ...],
                                                                         named: tuple[str, ...]) -> None:
    assert what_would(tree(*treatments)) == named


def test_what_a_law_forbids_is_not_what_would_help() -> None:
    assert what_would(tree(nutrition=20.0)) == ("chelate", "sulfur")
    assert what_would(tree(nutrition=20.0, sulfur="product_barred")) == ("chelate", "sulfur")
    assert what_would(tree(nutrition=20.0, sulfur="law_buffer")) == ("chelate",)
