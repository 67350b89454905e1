"""The formula that a sum shows is the one it is worked out by."""

from __future__ import annotations

import ast

from click.testing import CliRunner

from rootcase.cli.calc import calc
from rootcase.services.calculators.formula import formula_of
from rootcase.services.calculators.shelf import calculator, calculators, formula
from rootcase.services.calculators.told import formula_lines

CODE = '''
from math import pi
RATE = 2.5

def sum_of(length_m: float, name: str = "a") -> float:
    """What?"""
    within("length_m", length_m, 0.0, 3.0, "m")
    long = np.asarray(within("length_m", length_m, 0.0, 3.0, "m"), np.float64)
    if name not in ("a", "b"):
        raise ValueError
    return RATE * np.sqrt(_beside(long)) ** 2

def _beside(long: float) -> float:
    return long + pi

def in_steps(values):
    total = 0.0
    for each in values:
        total += each
    return total
'''


def test_checks_and_wraps_fall_out_and_what_is_called_and_constant_stands_below() -> None:
    tree = ast.parse(CODE)
    first, _, last = (node for node in tree.body if isinstance(node, ast.FunctionDef))
    assert formula_of("here", first, {"here": tree}) == (
        "long = length_m", "= RATE × sqrt(beside(long)) ^ 2", "beside(long) = long + pi", "RATE = 2.5")
    assert formula_of("here", last, {"here": tree}) == ()


def test_formulas_of_the_trade_are_told_with_their_constants() -> None:
    assert formula(calculator("neutraliser_g")) == ("= volume_l × chlorine_mg_l × dose_mg_mg / 1000",)
    assert "CHLORINE_G_MOL = 70.9" in formula(calculator("reaction_dose_mg_mg"))
    steps = formula_lines(calculator("trees_of_each_arm"))
    assert steps == ["Reckoned in steps, which stand in rootcase/science/trials/power.py."]


def test_most_sums_show_theirs_and_none_more_than_a_person_reads() -> None:
    shown = [formula(each) for each in calculators().values()]
    assert sum(map(bool, shown)) > 0.8 * len(shown)
    assert max(map(len, shown)) <= 24


def test_the_command_tells_it_with_the_answer() -> None:
    done = CliRunner().invoke(calc, ["neutraliser_g", "volume=100gal", "chlorine=2ppm", "dose=2.5", "tested=total"])
    assert "    = volume_l × chlorine_mg_l × dose_mg_mg / 1000\n" in done.output
