"""The 27 parameters the model draws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
import numpy.typing as npt
from scipy.special import ndtr, ndtri

from rootcase.ground.errors import require_range
from rootcase.science.tree.fixed import Array
from rootcase.tables.load import table


@dataclass(frozen=True, slots=True, kw_only=True)
class Parameters:
    """One value for each draw; units, symbols and sources stand in the table tree/priors."""

    root_depth_curve: Array
    half_rooting_resistance_mpa: Array
    resistance_steepness: Array
    rod_stop_resistance_mpa: Array
    below_refusal_ratio: Array
    wetness_exponent: Array
    plasticity: Array
    root_reserve: Array
    free_root_spread_ratio: Array
    root_advance_m_year: Array
    basal_crop_coefficient: Array
    bud_set_weight: Array
    infiltration_error: Array
    mulch_evaporation_cut: Array
    turf_coefficient: Array
    turf_topsoil_share: Array
    field_capacity_error: Array
    nitrogen_release_per_year: Array
    nitrogen_demand_kg_ha: Array
    salt_threshold_error_ds_m: Array
    salt_slope_error: Array
    lock_up_error: Array
    rootable_under_paving: Array
    joint_rain_share: Array
    mottled_root_share: Array
    sodic_loss: Array
    turf_root_cut: Array

    @property
    def draws(self) -> int:
        return len(self.root_depth_curve)

    def first(self, draws: int) -> Parameters:
        """The first few draws."""
        return self.at(np.arange(draws))

    def at(self, picked: npt.NDArray[np.int64]) -> Parameters:
        """The draws of these indices."""
        return Parameters(**{field.name: getattr(self, field.name)[picked] for field in fields(self)})


def draw_parameters(draws: int, rng: np.random.Generator) -> Parameters:
    """Which values may the 27 parameters have? One set for each draw.

    Parameters
    ----------
    draws : number of draws, 1 to 1 000 000
    rng : the generator; the same generator gives the same draws

    Returns
    -------
    Parameters, arrays of shape (draws,). [units of the table]

    Raises
    ------
    OutOfRange : the number of draws leaves its range.

    Notes
    -----
    Each parameter is drawn once from each of `draws` slices of equal chance (a Latin hypercube), which leaves every
    prior as it is and takes most of the luck out of the seed. Limits cut the priors and the rest is scaled up.
    Parameters are independent. Middle and spread are mean and standard deviation of a normal prior, median and
    log standard deviation of a lognormal one; the middle of a triangular one is its mode.

    References
    ----------
    Priors: table tree/priors, row by row. McKay, Beckman and Conover 1979, A comparison of three methods for
    selecting values of input variables, Technometrics 21:239-245 (memory).

    Examples
    --------
    >>> drawn = draw_parameters(200, np.random.default_rng(1))
    >>> round(float(np.median(drawn.half_rooting_resistance_mpa)), 1)
    2.2
    """
    require_range("draws", draws, 1, 1_000_000, "")
    return Parameters(**{str(row["parameter"]): _quantiles(row, _stratified(draws, rng))
                         for row in table("tree/priors").rows})


def central_parameters() -> Parameters:
    """Which single set of parameters stands in the middle of the priors?

    Parameters
    ----------
    None.

    Returns
    -------
    Parameters, arrays of shape (1,). [units of the table]

    Raises
    ------
    Nothing.

    Notes
    -----
    The medians, but for the root depth curve, which is .960.

    References
    ----------
    Table tree/priors, column central.

    Examples
    --------
    >>> float(central_parameters().root_reserve[0])
    0.5
    """
    return Parameters(**{str(row["parameter"]): np.array([float(row["central"])]) for row in table("tree/priors").rows})


def _stratified(draws: int, rng: np.random.Generator) -> Array:
    return np.asarray((rng.permutation(draws) + rng.random(draws)) / draws)


def _quantiles(row: Mapping[str, Any], chance: Array) -> Array:
    """The prior's value below which a chance lies."""
    low = -np.inf if row["low"] is None else float(row["low"])
    high = np.inf if row["high"] is None else float(row["high"])
    if row["kind"] == "uniform":
        return low + (high - low) * chance
    middle = float(row["middle"])
    if row["kind"] == "triangular":
        at_mode = (middle - low) / (high - low)
        rising = low + np.sqrt(chance * (high - low) * (middle - low))
        falling = high - np.sqrt((1.0 - chance) * (high - low) * (high - middle))
        return np.asarray(np.where(chance < at_mode, rising, falling))
    spread = float(row["spread"])
    if row["kind"] == "lognormal":
        low, high, middle = float(np.log(max(low, 1e-300))), float(np.log(high)), float(np.log(middle))
    below, above = ndtr((low - middle) / spread), ndtr((high - middle) / spread)
    value = middle + spread * ndtri(np.clip(below + (above - below) * chance, 1e-12, 1.0 - 1e-12))
    return np.asarray(np.exp(value) if row["kind"] == "lognormal" else value)
