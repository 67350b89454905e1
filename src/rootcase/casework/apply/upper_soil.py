"""The upper soil of a place: what it holds, and what hands and thermometers said of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from datetime import date

import numpy as np

from rootcase.casework.apply.ahead import Felt
from rootcase.casework.apply.gates import window_figure
from rootcase.casework.explain.site import central_site
from rootcase.records.apply.told import GroundTold, SoilState
from rootcase.records.observe import PropertyRecord, Reading, Tree
from rootcase.science.soil.saxton_rawls import soil_water
from rootcase.science.soil.texture import texture_class_without_silt
from rootcase.science.tree.fixed import fixed
from rootcase.science.water.workable import UpperSoil
from rootcase.tables.load import table

MM_PER_M = 1000.0
AT_WORK, FELT, WARM = "soil_state_at_work", "soil_moisture_feel", "soil_temperature"
_STATES: dict[str, SoilState] = {"dust": "dry", "saturated": "saturated", "frozen": "frozen", "fit": "fit",
                                 "dry": "dry"}


def upper_soil_of(record: PropertyRecord, tree: Tree) -> UpperSoil:
    """What the upper soil at a tree holds, as it was read.

    Parameters
    ----------
    record : the property, corrections applied.
    tree : the tree.

    Returns
    -------
    UpperSoil. [mm, mm/day]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Texture and organic matter stand at their central values where nobody read them.

    References
    ----------
    `soil_water`; table apply/drainage (memory); table apply/window_figures: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.observe import Place, Property
    >>> place, oak = Place("l", "p", "green", "lawn"), Tree("t", "p", "l", "oak 1", None, None)
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> soil = upper_soil_of(PropertyRecord(owner, (place,), (oak,), (), (), (), (), (), {}), oak)
    >>> 20.0 < soil.total_mm < 60.0
    True
    """
    site = central_site(record, tree)
    sand, clay, organic = (float(np.ravel(each)[0]) for each in (site.sand, site.clay, site.organic_matter_pct))
    water = soil_water(sand, clay, min(organic, fixed("largest_organic_matter_pct")))
    depth_mm = window_figure("water_depth") * MM_PER_M
    room_mm = float(water.saturation - water.field_capacity) * depth_mm
    days = float(table("apply/drainage").row(texture=str(texture_class_without_silt(sand, clay)))["days"])
    return UpperSoil(total_mm=float(water.field_capacity - water.wilting_point) * depth_mm, room_mm=room_mm,
                     drains_mm_day=room_mm / days, coefficient=window_figure("coefficient"),
                     depletion_share=window_figure("depletion_share"))


def felt_of(record: PropertyRecord, told: GroundTold, place_id: str, today: date) -> Felt:
    """What hands and thermometers said of the soil of a place.

    Parameters
    ----------
    record : the property, corrections applied.
    told : what was told of its ground.
    place_id : which place.
    today : the day that is asked on; nothing later counts.

    Returns
    -------
    Felt, by day; several of one day as their mean, and the worst state of them. [degC]

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A pit speaks for its place, or for that of its tree; the state of soil at work for all places of its visit. What is
    doubted is passed over.

    References
    ----------
    Table explain/moisture_steps; table apply/window_figures: JUDGEMENT.

    Examples
    --------
    >>> from rootcase.records.apply.told import Squeeze
    >>> from rootcase.records.observe import Property
    >>> owner = Property("p", "practice", "green", 47.0, 8.0, 400.0, "Europe/Zurich", "CHF", "", "metric", True)
    >>> told = GroundTold(squeezes=(Squeeze(id="s", place_id="l", day=date(2016, 5, 2), state="saturated"),))
    >>> felt_of(PropertyRecord(owner, (), (), (), (), (), (), (), {}), told, "l", date(2016, 5, 3)).squeezed
    ((datetime.date(2016, 5, 2), 'saturated', 1.3),)
    """
    hands: dict[date, list[tuple[SoilState, float]]] = defaultdict(list)
    warm: dict[date, list[float]] = defaultdict(list)
    for reading in _here(record, place_id):
        if reading.nothing is not None or reading.doubts or reading.day > today:
            continue
        if reading.kind == WARM and reading.value is not None:
            warm[reading.day].append(reading.value)
        elif reading.kind in (FELT, AT_WORK) and reading.choice:
            hands[reading.day].append(_hand(reading.choice))
    for squeeze in told.squeezes:
        if squeeze.place_id == place_id and squeeze.day <= today:
            hands[squeeze.day].append(_hand(squeeze.state))
    return Felt(squeezed=tuple((day, _worst(state for state, _ in said), sum(full for _, full in said) / len(said))
                               for day, said in sorted(hands.items())),
                warm_c=tuple((day, sum(read) / len(read)) for day, read in sorted(warm.items())))


def _here(record: PropertyRecord, place_id: str) -> Iterator[Reading]:
    trees = {tree.id for tree in record.trees if tree.place_id == place_id}
    pits = {pit.id for pit in record.pits if pit.place_id == place_id or pit.tree_id in trees}
    yield from (reading for reading in record.readings
                if (reading.kind in (WARM, FELT) and reading.of in pits) or reading.kind == AT_WORK)


def _hand(choice: str) -> tuple[SoilState, float]:
    state = _STATES.get(choice, "fit")
    steps = {str(row["choice"]): row for row in table("explain/moisture_steps").rows}
    if choice in steps and choice != "dust":
        return state, (float(steps[choice]["available_low"]) + float(steps[choice]["available_high"])) / 2.0
    return state, window_figure(f"felt_{state if state != 'frozen' else 'fit'}")


def _worst(states: Iterable[SoilState]) -> SoilState:
    order: tuple[SoilState, ...] = ("fit", "dry", "saturated", "frozen")
    return max(states, key=order.index)
