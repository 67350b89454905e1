"""What a few shoots say of the share of the yardstick's growth, at the nodes of a sheet."""

from __future__ import annotations

from math import exp, sqrt

import numpy as np

from rootcase.casework.compare.compare import compare
from rootcase.casework.compare.shoots import shoots_of
from rootcase.casework.draws import FloatArray
from rootcase.casework.first_answer.forward import AT, WIDER, Question
from rootcase.casework.first_answer.readings import TREE, with_first_look
from rootcase.records.first_answer import FirstReadings, SheetAxes
from rootcase.records.observe import PropertyRecord

SHARE_SEEDS = 4
"""So many comparisons are taken together: where shoots lie far under their class one alone is off by some points."""
FIGURES = 5
"""Mean, low, high, median, and the standard deviation on the log scale."""


def positions_of(record: PropertyRecord, yardstick_id: str) -> tuple[str, ...]:
    """From where in the crown the yardstick's shoots are.

    Parameters
    ----------
    record : the property.
    yardstick_id : empty: a growth class.

    Returns
    -------
    Codes of shoot_position; empty where the position of other shoots is nothing to the comparison.

    Raises
    ------
    Nothing.

    Notes
    -----
    As `gather` has it: one yardstick shoot of unknown position lets none differ that is unknown too.

    References
    ----------
    None: it looks up what was read.

    Examples
    --------
    >>> from rootcase.records.observe import Property
    >>> ground = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> positions_of(PropertyRecord(ground, (), (), (), (), (), (), (), {}), "")
    ()
    """
    kin = [tree for each in record.yardsticks if each.id == yardstick_id for tree in each.tree_ids]
    return tuple(sorted({shoot.position for tree in kin for shoot in shoots_of(record, tree)} - {""}))


def observed_table(question: Question, species: str, axes: SheetAxes) -> FloatArray:
    """Share of the yardstick's growth for every level, number and spread of shoots.

    Parameters
    ----------
    question : whose sheet.
    species : a kind of the growth class, or the yardstick's.
    axes : the nodes.

    Returns
    -------
    (2, level, number, spread, 5): shoots from where the yardstick's are, and from elsewhere; ln of mean, low, high and
    median share less the ln of the shoots' mean in [mm], and its standard deviation on the log scale.

    Raises
    ------
    Nothing.

    Notes
    -----
    The interval is drawn out a little on the log scale. Shoots of one number and spread are set evenly about their
    geometric mean.

    References
    ----------
    `compare`.

    Examples
    --------
    >>> shoots_about(4.0, 3, 0.25)
    (33.11545195869231, 54.598150033144236, 90.01713130052181)
    """
    known = positions_of(question.record, question.yardstick_id)
    same = _from(question, species, known[0] if known else "upper", axes)
    return np.stack([same, _from(question, species, "", axes) if known else same])


def shares_of(looked: PropertyRecord, question: Question) -> FloatArray:
    """Draws of the natural log of the share of a tree of which shoots were read.

    Parameters
    ----------
    looked : the record of the tree, `TREE`.
    question : whose sheet.

    Returns
    -------
    (draws,) of ln(share), several seeds' one after the other. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    `compare`.

    Examples
    --------
    >>> SHARE_SEEDS
    4
    """
    found = [tree.log_share_draws for seed in range(SHARE_SEEDS)
             for tree in compare(looked, question.day, draws=question.draws, seed=question.seed + seed).trees
             if tree.tree_id == TREE and tree.log_share_draws is not None]
    return np.concatenate(found)


def shoots_about(level_ln_mm: float, number: int, variance: float) -> tuple[float, ...]:
    """Shoots with this geometric mean and variance of their logarithms.

    Parameters
    ----------
    level_ln_mm : natural log of the mean. [mm]
    number : how many, 1 or more.
    variance : of the logarithms, over one less than their number; one shoot has none.

    Returns
    -------
    Lengths, rising. [mm]

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    None; computed.

    Examples
    --------
    >>> [round(mm) for mm in shoots_about(4.0, 3, 0.0)]
    [55, 55, 55]
    """
    steps = np.arange(number) - (number - 1) / 2.0
    size = 1.0 if number == 1 else float(np.sqrt((steps**2).sum() / (number - 1)))
    return tuple(exp(level_ln_mm + sqrt(variance) * step / size) for step in steps.tolist())


def _from(question: Question, species: str, position: str, axes: SheetAxes) -> FloatArray:
    numbers = [round(1.0 / each) for each in axes.shoots_reciprocal]
    table = np.empty((len(axes.shoot_ln_mm), len(numbers), len(axes.shoot_variance), FIGURES))
    for at, level in enumerate(axes.shoot_ln_mm):
        for column, number in enumerate(numbers):
            for row, variance in enumerate(axes.shoot_variance):
                table[at, column, row] = (table[at, column, 0] if number == 1 and row else _figures(
                    question, FirstReadings(species, shoots_about(level, number, variance), position=position), level))
    return table


def _figures(question: Question, readings: FirstReadings, level_ln_mm: float) -> FloatArray:
    looked = with_first_look(question.record, question.place, question.yardstick_id, readings, "", question.day)
    draws = shares_of(looked, question)
    mean, median = np.log(np.exp(draws).mean()), np.median(draws)
    low, high = (median + WIDER * (each - median) for each in np.quantile(draws, AT))
    return np.array([*(np.array([mean, low, high, median]) - level_ln_mm), draws.std()])
