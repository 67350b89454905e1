"""What readings not yet taken would show, draw by draw: the truth of the draw, and the error such a reading has."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from math import inf

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.errors import figure, floor_sd, read_sd, sd_of_mean
from rootcase.casework.explain.plant import Luck
from rootcase.casework.explain.site import TreeInputs
from rootcase.science.soil.texture import central_fractions, texture_class_without_silt
from rootcase.science.tree.resistance import resistance_mpa
from rootcase.science.tree.site import COVERS
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

CONE_DEPTHS_M = (0.0, 0.15, 0.30)
"""Where a cone's profile is taken to tell something. JUDGEMENT."""
SOFTEST_TOLD_MPA = 0.05
"""Under this a gauge stands at nothing. JUDGEMENT, where the catalogue begins to doubt a reading."""
RINGS = 4

Rng = np.random.Generator


@dataclass(frozen=True, slots=True)
class Ahead:
    """A reading not yet taken, as (numbers, draws), each number on the scale on which its errors are added."""

    truth: FloatArray
    read: FloatArray


@dataclass(frozen=True, slots=True)
class Goes:
    """How often a reading is made now, and how many of each kind stand already."""

    now: int
    made: Mapping[str, int]

    def sd(self, kind: str, floor: str, pushes: int = 1) -> float:
        """Error of the reading that would narrow the old ones as all together do; infinite where nothing would."""
        before = self.made.get(kind, 0) // pushes
        after = read_sd(kind, before + self.now, floor)
        if not before:
            return after
        told = after**-2 - read_sd(kind, before, floor) ** -2
        return float(told**-0.5) if told > 0.0 else inf

    def once(self, kind: str, sd: float) -> float:
        """The error of what is taken from one reading alone."""
        return inf if self.made.get(kind) else sd


def readings_ahead(inputs: TreeInputs, luck: Luck, made: Mapping[str, int]) -> dict[str, Ahead]:
    """What each reading that the model can use would show at this tree.

    Parameters
    ----------
    inputs : the tree as the model takes it, n draws.
    luck : random streams by purpose; each reading takes its own.
    made : how many usable readings of a kind stand already.

    Returns
    -------
    Ahead by code of the reading, in the order of the table; those of which no draw differs are left out. What a reading
    would tell no more is the same in all draws.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A reading is simulated as `tree_inputs` would take it: so many of it as the table says, their error over the root
    of the number and never under its floor. A cone tells resistance at the surface, at 15 and at 30 cm as far as a
    hand can push it; its floor is shared by the depths, the scatter of its pushes is not. A laboratory tells organic
    matter, salt, pH, sand and clay of one sample at once; foot points are drawn from the covers, and one look
    tells the cover that has most. A reading made before shows what would narrow the answer as the whole of it, old and
    new, will be taken: readings share the floor of their error, so beside enough of them one more tells nothing; no
    more does a second trunk, year, answer on watering or count of the same rings. Where the model draws no doubt of an
    input (mottles, drainage, a ring whose scatter is the model's own, the species) nothing can be told of its reading,
    and it is not here.

    References
    ----------
    Tables explain/next_readings, explain/reading_errors, observe/readings: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.explain.site import tree_inputs
    >>> from rootcase.records.observe import Place, Property, PropertyRecord, Tree
    >>> place, oak = Place("l", "p", "green", "pitch"), Tree("t", "p", "l", "oak 1", None, None)
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> bare = tree_inputs(PropertyRecord(owner, (place,), (oak,), (), (), (), (), (), {}), oak, draws=200, seed=1)
    >>> found = readings_ahead(bare, lambda purpose: np.random.default_rng(1), {})
    >>> found["penetration_profile"].read.shape, "dbh" in found, "crown_density" in found
    ((3, 200), True, False)
    """
    found = {reading: _SHOWN[reading](inputs, Goes(times_of(reading), made), luck(reading)) for reading in costs()}
    return {reading: ahead for reading, ahead in found.items()
            if ahead is not None and np.ptp(ahead.truth, axis=1).any()}


@cache
def costs() -> Mapping[str, Mapping[str, str | float | None]]:
    """What one full reading costs of each that may be proposed, by its code.

    Parameters
    ----------
    None.

    Returns
    -------
    Rows of the table explain/next_readings by their reading.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Table explain/next_readings: JUDGEMENT, row by row.

    Examples
    --------
    >>> costs()["sample_cores"]["days_to_answer"]
    10.0
    """
    return {str(row["reading"]): row for row in table("explain/next_readings").rows}


def times_of(reading: str) -> int:
    """How often a reading is made to count as one full reading.

    Parameters
    ----------
    reading : its code.

    Returns
    -------
    Number of goes, 1 or more. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Table explain/next_readings: JUDGEMENT, row by row.

    Examples
    --------
    >>> times_of("probe_depth")
    8
    """
    return int(float(costs()[reading]["times"] or 1.0))


def _seen(truth: FloatArray, sd: float | FloatArray, rng: Rng) -> FloatArray:
    """A number with an infinite error tells nothing: it is the same in all draws."""
    error = np.broadcast_to(np.reshape(sd, (-1, 1)), truth.shape)
    tells = np.isfinite(error)
    noise = rng.standard_normal(truth.shape)
    return np.where(tells, truth + np.where(tells, error, 0.0) * noise, 0.0)


def _plain(truth: FloatArray | float, sd: float, rng: Rng, draws: int) -> Ahead:
    one = np.array(np.broadcast_to(truth, (1, draws)))
    return Ahead(one, _seen(one, sd, rng))


def _probe(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    depth = np.log(inputs.tree.refusal_depth_m)
    return _plain(depth, goes.sd("probe_depth", "refusal_depth"), rng, inputs.parameters.draws)


def _cone(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    hand = float(np.median(inputs.parameters.rod_stop_resistance_mpa))
    pushed = resistance_mpa(inputs.tree, inputs.parameters, CONE_DEPTHS_M)
    truth = np.log(np.clip(pushed, SOFTEST_TOLD_MPA, hand))
    if not np.isfinite(goes.sd("penetration_profile", "resistance", len(CONE_DEPTHS_M))):
        return Ahead(truth, np.zeros_like(truth))
    own = sd_of_mean("penetration_profile", goes.now)
    shared = floor_sd("resistance") * rng.standard_normal(inputs.parameters.draws)
    return Ahead(truth, truth + shared + own * rng.standard_normal(truth.shape))


def _core(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    sd = goes.sd("bulk_density", "bulk_density")
    return _plain(inputs.tree.bulk_density_mg_m3, sd, rng, inputs.parameters.draws)


def _laboratory(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    """Sodium comes from the extract that tells the salt and shares its error, so the salt speaks for both."""
    site, draws = inputs.tree, inputs.parameters.draws
    truth = np.stack([np.broadcast_to(values, draws) for values in (
        np.log(site.organic_matter_pct), np.log(site.ece_ds_m), site.ph, site.sand, site.clay)])
    named = (("organic_matter", "organic_matter"), ("ece", "ece"), ("soil_ph", "ph"))
    sd = [*(goes.sd(kind, error) for kind, error in named),
          *(kinds()[part].error_size or 0.0 for part in ("sand", "clay"))]
    return Ahead(truth, _seen(truth, np.array(sd), rng))


def _kit(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    return _plain(inputs.tree.ph, goes.sd("soil_ph_field", "ph"), rng, inputs.parameters.draws)


def _hand(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    sand, clay = (np.broadcast_to(part, inputs.parameters.draws) for part in (inputs.tree.sand, inputs.tree.clay))
    felt = np.array(texture_class_without_silt(sand, clay))
    mistaken = rng.random(felt.size) < (kinds()["texture_feel"].error_size or 0.0)
    for name in np.unique(felt[mistaken]):
        taken_for = [row["neighbour"] for row in table("explain/feel_neighbours").rows if row["texture"] == name]
        these = mistaken & (felt == name)
        felt[these] = rng.choice(taken_for or [name], int(these.sum()))
        mistaken &= ~these
    names, which = np.unique(felt, return_inverse=True)
    return Ahead(np.stack([sand, clay]), np.array([central_fractions(str(name)) for name in names])[which].T)


def _covers(inputs: TreeInputs) -> FloatArray:
    shares = np.stack([np.broadcast_to(getattr(inputs.tree, cover), inputs.parameters.draws) for cover in COVERS])
    return np.asarray(shares / shares.sum(axis=0))


def _feet(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    truth = _covers(inputs)
    if goes.made.get("cover_share_by_ring"):
        return Ahead(truth, np.zeros_like(truth))
    feet = goes.now * RINGS * int(kinds()["cover_share_by_ring"].error_size or 1.0)
    return Ahead(truth, rng.multinomial(feet, truth.T).T / feet)


def _look(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead | None:
    """The class that covers most; where anything of the covers was read a look tells no more."""
    if "cover_share_by_ring" in inputs.read:
        return None
    truth = _covers(inputs)
    most = truth.argmax(axis=0)
    mistaken = rng.random(most.size) < (kinds()["ground_under_crown"].error_size or 0.0)
    most[mistaken] = rng.integers(len(COVERS), size=int(mistaken.sum()))
    return Ahead(truth, np.eye(len(COVERS))[most].T)


def _watered(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    draws = inputs.parameters.draws
    truth = np.broadcast_to(np.asarray(inputs.tree.irrigation_mm) > 0.0, (1, draws))
    if goes.made.get("irrigation_kind"):
        return Ahead(truth.astype(np.float64), np.zeros((1, draws)))
    told_wrong = rng.random((1, draws)) < (kinds()["irrigation_kind"].error_size or 0.0)
    return Ahead(truth.astype(np.float64), (truth ^ told_wrong).astype(np.float64))


def _cups(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    """Errors multiply, and cups under no heads stay empty; so the depth itself is kept, not its logarithm."""
    truth = np.array(np.broadcast_to(inputs.tree.irrigation_mm, (1, inputs.parameters.draws)))
    sd = goes.sd("irrigation_depth", "irrigation")
    return Ahead(truth, truth * np.exp(_seen(np.zeros_like(truth), sd, rng)) if np.isfinite(sd) else 0.0 * truth)


def _planted(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead | None:
    """As somebody tells it; a tree that grew here from seed has no year."""
    years = np.asarray(inputs.tree.years_since_planting)
    sd = goes.once("planting_year", kinds()["planting_year"].error_size or 0.0)
    return _plain(years, sd, rng, inputs.parameters.draws) if np.isfinite(years).all() else None


def _trunk(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    sd = goes.once("dbh", floor_sd("trunk_diameter"))
    return _plain(np.log(inputs.tree.trunk_diameter_m), sd, rng, inputs.parameters.draws)


def _crown(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    sd = goes.sd("crown_spread", "crown_radius")
    return _plain(np.log(inputs.tree.crown_radius_m), sd, rng, inputs.parameters.draws)


def _density(inputs: TreeInputs, goes: Goes, rng: Rng) -> Ahead:
    sd = goes.sd("crown_density", "leaf") / figure("healthy_crown_density")
    return _plain(inputs.tree.leaf, sd, rng, inputs.parameters.draws)


_SHOWN: Mapping[str, Callable[[TreeInputs, Goes, Rng], Ahead | None]] = {
    "probe_depth": _probe, "penetration_profile": _cone, "bulk_density": _core, "texture_feel": _hand,
    "sample_cores": _laboratory, "soil_ph_field": _kit, "cover_share_by_ring": _feet, "ground_under_crown": _look,
    "irrigation_kind": _watered, "irrigation_depth": _cups, "planting_year": _planted, "dbh": _trunk,
    "crown_spread": _crown, "crown_density": _density,
}
