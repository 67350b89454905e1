"""What an observed share leaves of the draws, and the chance of a cause outside the soil."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr

from rootcase.ground.errors import require_range

Array = NDArray[np.float64]

MODEL_LOG_ERROR = 0.25  # JUDGEMENT
CHANCE_SOIL_ALONE = 0.7  # JUDGEMENT: prior that nothing outside the soil takes growth, where no sign was read
OTHER_CAUSE_LEAVES = np.linspace(0.05, 1.0, 20)  # JUDGEMENT: uniform, integrated over its grid
LEAST_PREDICTED = 0.005  # JUDGEMENT
ENOUGH_DRAWS = 100.0  # JUDGEMENT
PREDICTED = (0.05, 0.95)


@dataclass(frozen=True, slots=True)
class Posterior:
    """The draws after the observation."""

    weights: Array
    """Sum 1."""
    effective_draws: float
    """After tempering."""
    effective_draws_before: float
    """Without tempering; under 100 asks for more draws first."""
    temper: float
    """1, or the power the likelihood was lowered to."""
    chance_soil_alone: float
    lost_to_other_cause: float
    """Mean share of the yardstick's growth."""
    left_by_draw: Array
    """(draws, OTHER_CAUSE_LEAVES) chance, in each draw, that another cause leaves so much; the rest is soil alone."""
    outside_prediction: bool
    """The observed share lies outside nine in ten of what the model, its error and another cause would give."""


def posterior(predicted: ArrayLike, observed: float, log_error: float, *,
              chance_soil_alone: float = CHANCE_SOIL_ALONE, model_log_error: float = MODEL_LOG_ERROR) -> Posterior:
    """Which draws does the observed share leave, and how likely is a cause outside the soil?

    Parameters
    ----------
    predicted : (draws,), shares the model predicts. From 0; far above 1 where the yardstick's ground is the worse
    observed : share that was seen. Above 0
    log_error : log standard error of the observed share. 0 to 5
    chance_soil_alone : prior chance that nothing outside the soil takes growth, 0 to 1; 1 leaves other causes out
    model_log_error : log standard error of the model itself. 0 to 5

    Returns
    -------
    Posterior. [weights and shares]

    Raises
    ------
    OutOfRange : a value leaves its range, or both errors are 0.

    Notes
    -----
    u, s_o, s_m, L, w, ESS in docs/model.md, section 3. The factor u of another cause is integrated, not drawn. Where
    fewer than 100 effective draws (a tenth of the draws where they are under 1000) would be left, the likelihood is
    raised to the power that leaves so many; ask for 4000 draws first.

    References
    ----------
    Kish 1965, Survey Sampling, effective size (memory); priors JUDGEMENT.

    Examples
    --------
    >>> by_hand = posterior([0.1, 0.2, 0.4], 0.2, 0.5, chance_soil_alone=1.0, model_log_error=0.0)
    >>> [round(float(weight), 4) for weight in by_hand.weights], round(by_hand.effective_draws, 3)
    ([0.2167, 0.5665, 0.2167], 2.41)
    """
    require_range("chance_soil_alone", chance_soil_alone, 0.0, 1.0, "")
    share = np.asarray(predicted, dtype=np.float64)
    gap, gap_other = _gaps(predicted, observed, log_error, model_log_error)
    # Scaled by the nearest miss, so that a share far from every draw does not become 0 / 0.
    nearest = min(float(np.min(gap**2)), float(np.min(gap_other**2))) if chance_soil_alone < 1.0 else float(
        np.min(gap**2))
    alone = chance_soil_alone * np.exp((nearest - gap**2) / 2.0)
    other = (1.0 - chance_soil_alone) * np.exp((nearest - gap_other**2) / 2.0) / len(OTHER_CAUSE_LEAVES)
    likelihood = alone + other.sum(axis=1)

    before = _effective(likelihood)
    temper = _temper(likelihood, min(ENOUGH_DRAWS, len(share) / 10.0))
    weights = likelihood**temper / np.sum(likelihood**temper)
    # A draw that underflowed has weight 0; what it says of u does not matter.
    known = np.maximum(likelihood, 1e-300)
    lost = share * (other @ (1.0 - OTHER_CAUSE_LEAVES)) / known
    below = chance_soil_alone * ndtr(gap) + (1.0 - chance_soil_alone) * ndtr(gap_other).mean(axis=1)
    return Posterior(
        weights=weights, effective_draws=_effective(weights), effective_draws_before=before, temper=temper,
        chance_soil_alone=float(np.sum(weights * alone / known)), lost_to_other_cause=float(np.sum(weights * lost)),
        left_by_draw=other / known[:, None],
        outside_prediction=not PREDICTED[0] <= float(np.mean(below)) <= PREDICTED[1])


def likelihoods(predicted: ArrayLike, observed: float, log_error: float, *,
                model_log_error: float = MODEL_LOG_ERROR) -> tuple[float, float]:
    """How well does the observed share fit the soil alone, and how well with another cause beside it?

    Parameters
    ----------
    predicted : (draws,), shares the model predicts. From 0
    observed : share that was seen. Above 0
    log_error : log standard error of the observed share. 0 to 5
    model_log_error : log standard error of the model itself. 0 to 5

    Returns
    -------
    (soil alone, another cause): only their ratio tells; the larger is at most 1. [likelihood]

    Raises
    ------
    OutOfRange : a value leaves its range, or both errors are 0.

    Notes
    -----
    What `posterior` weighs with the prior, meant over the draws: whoever judges other causes from signs takes the share
    in once, as this pair.

    References
    ----------
    None: the law of total probability; u JUDGEMENT, see `posterior`.

    Examples
    --------
    >>> alone, other = likelihoods([0.5, 0.5], 0.2, 0.2)
    >>> seen = posterior([0.5, 0.5], 0.2, 0.2, chance_soil_alone=0.6)
    >>> round(0.6 * alone / (0.6 * alone + 0.4 * other), 9) == round(seen.chance_soil_alone, 9)
    True
    """
    gap, gap_other = _gaps(predicted, observed, log_error, model_log_error)
    nearest = min(float(np.min(gap**2)), float(np.min(gap_other**2)))
    return float(np.exp((nearest - gap**2) / 2.0).mean()), float(np.exp((nearest - gap_other**2) / 2.0).mean())


def losses_to_other(predicted: ArrayLike, after: Posterior) -> tuple[Array, Array]:
    """How much growth may a cause outside the soil take, and how likely is each amount?

    Parameters
    ----------
    predicted : (draws,), shares the model predicts, as `posterior` had them. From 0
    after : the draws after the observation

    Returns
    -------
    (losses, weights), each draw with each factor of the grid, and with none: draws times 21. Losses are shares of the
    yardstick's growth; the weights sum to 1.

    Raises
    ------
    ValueError : the numbers of draws differ.

    Notes
    -----
    Draws and the grid of u together: the mean of a draw over u is not what the cause may take, and its quantiles are no
    interval of that.

    References
    ----------
    None: the law of total probability; u JUDGEMENT, see `posterior`.

    Examples
    --------
    >>> seen = posterior([0.5, 0.5], 0.2, 0.2)
    >>> losses, weights = losses_to_other([0.5, 0.5], seen)
    >>> len(losses), round(float(weights.sum()), 12), bool(abs(losses @ weights - seen.lost_to_other_cause) < 1e-12)
    (42, 1.0, True)
    """
    share = np.asarray(predicted, dtype=np.float64)
    if len(share) != len(after.weights):
        raise ValueError(f"{len(share)} shares and {len(after.weights)} weights do not go together")
    grid = np.append(1.0 - OTHER_CAUSE_LEAVES, 0.0)
    alone = np.maximum(1.0 - after.left_by_draw.sum(axis=1), 0.0)
    chance = np.column_stack([after.left_by_draw, alone])
    return (share[:, None] * grid).ravel(), (after.weights[:, None] * chance).ravel()


def chance_largest(predicted: ArrayLike, losses: ArrayLike, after: Posterior) -> Array:
    """How likely does each limit take more than any other, a cause outside the soil among them?

    Parameters
    ----------
    predicted : (draws,), shares the model predicts, as `posterior` had them. From 0
    losses : (limits, draws), what each limit takes of the yardstick's growth
    after : the draws after the observation

    Returns
    -------
    chances (limits + 1,), that of another cause last; they sum to 1. 0 to 1

    Raises
    ------
    ValueError : the numbers of draws differ.

    Notes
    -----
    Counted over draws and over the grid of what another cause leaves, u, together: in a draw of share y it takes
    y (1 - u). In a draw in which no limit takes anything and nothing else does, the first limit is counted.

    References
    ----------
    None: the law of total probability; u JUDGEMENT, see `posterior`.

    Examples
    --------
    >>> seen = posterior([0.5, 0.5], 0.2, 0.2)
    >>> [round(float(chance), 2) for chance in chance_largest([0.5, 0.5], [[0.2, 0.1], [0.1, 0.2]], seen)]
    [0.14, 0.14, 0.71]
    """
    share, loss = np.asarray(predicted, dtype=np.float64), np.asarray(losses, dtype=np.float64)
    if not len(share) == loss.shape[1] == len(after.weights):
        raise ValueError(f"{len(share)} shares, {loss.shape[1]} losses and {len(after.weights)} weights do not go "
                         "together")
    takes_more = share[:, None] * (1.0 - OTHER_CAUSE_LEAVES) > loss.max(axis=0)[:, None]
    other = (after.left_by_draw * takes_more).sum(axis=1)
    limits = np.bincount(loss.argmax(axis=0), weights=after.weights * (1.0 - other), minlength=len(loss))
    return np.append(limits, 1.0 - limits.sum())


def _gaps(predicted: ArrayLike, observed: float, log_error: float, model_log_error: float) -> tuple[Array, Array]:
    """How far the observed share lies from each draw in standard errors: alone, and with each factor u."""
    require_range("predicted", predicted, 0.0, np.inf, "")
    require_range("observed", observed, float(np.finfo(float).tiny), np.inf, "")
    require_range("log_error", log_error, 0.0, 5.0, "")
    require_range("model_log_error", model_log_error, 0.0, 5.0, "")
    spread = float(np.hypot(log_error, model_log_error))
    require_range("the error of observation and model together", spread, 1e-6, 10.0, "")
    gap = (np.log(observed) - np.log(np.maximum(np.asarray(predicted, dtype=np.float64), LEAST_PREDICTED))) / spread
    return gap, gap[:, None] - np.log(OTHER_CAUSE_LEAVES) / spread


def _effective(weights: Array) -> float:
    return float(np.sum(weights) ** 2 / np.sum(weights**2))


def _temper(likelihood: Array, enough: float) -> float:
    """The largest power that leaves enough effective draws."""
    if _effective(likelihood) >= enough:
        return 1.0
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if _effective(likelihood**middle) >= enough else (low, middle)
    return low
