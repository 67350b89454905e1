"""When a remedy answers a need of the ground, and when the trade forbids it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from rootcase.casework.compare.laboratory import list_names
from rootcase.casework.explain.ground import Ground
from rootcase.casework.prescribe.remedies import Remedy, figure
from rootcase.ground.units import convert
from rootcase.records.prescribe import TRIAL_ONLY
from rootcase.science.tree.site import Site
from rootcase.tables.load import Row, table
from rootcase.tables.readings import kinds

LITTLE = 0.02
"""Share of the ground under which a cover counts as not there. JUDGEMENT."""
UNREAD = ("sodium_not_read", "fizz_first", "feed_not_tested", "lime_not_read")
"""Reasons that a reading could lift: nobody looked whether there is a need."""
ON_THE_SURFACE = ("leach", "extract")
"""Liquids that run off a slope."""
YELLOW_BETWEEN_VEINS = ("moderate", "heavy")
ROOTS_CUT = ("trench", "building", "grade")
USERS_TOLD = {"children": "keep_off_wet", "pets": "keep_off_wet", "school": "keep_off_wet", "food": "food_plants",
              "bees": "bees", "not_asked": "ask_who_uses"}
FLOWING = ("leach", "extract", "slow_nitrogen", "growth_regulator")
"""What is put on wet or as a product, before which one asks who else uses the ground."""

SOAKS_DOWN = (*FLOWING, "compost", "gypsum", "sulfur")
TRADE_REASONS = ("newly_planted", "roots_lost", "too_dry", "drains_badly", "phosphorus_high", "food_plants",
                 "too_steep")
"""All that `law_of_the_trade` answers: reasons that are the trade's and not the client's."""


@dataclass(frozen=True, slots=True)
class Standing:
    """What a need is judged by at one tree."""

    ground: Ground
    site: Site
    """As the model was told it, readings or not."""
    covers: Mapping[str, float]
    """Mean share of each cover over the roots."""
    middles: dict[str, float] = field(default_factory=dict, init=False, repr=False, compare=False)
    """Medians already asked for; they are asked for course by course."""

    def middle(self, name: str) -> float:
        """Median of one of the site's draws."""
        if name not in self.middles:
            self.middles[name] = float(np.median(getattr(self.site, name)))
        return self.middles[name]

    def read(self, *names: str) -> bool:
        """Whether any of these kinds was read as a number."""
        return any(self.ground.numbers(name) for name in names)

    def largest(self, name: str) -> float:
        """The largest number read of a kind; 0 where there is none."""
        return max((reading.value or 0.0 for reading in self.ground.numbers(name)), default=0.0)


def trial_only(remedy: Remedy) -> bool:
    """Whether a remedy is offered as a trial with untreated trees and never as the treatment of a tree.

    Parameters
    ----------
    remedy : the remedy.

    Returns
    -------
    True where it may never be chosen for its gain.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    No change in soil or growth from an aerated extract in five years: Scharenbroch and Watson 2014, Arboriculture and
    Urban Forestry 40(6):319-331 (seen).

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> [remedy.code for remedy in remedies() if trial_only(remedy)]
    ['extract']
    """
    return remedy.code in TRIAL_ONLY


def law_of_the_trade(remedy: Remedy, standing: Standing) -> str:
    """Why good practice forbids a remedy here, whatever it would gain.

    Parameters
    ----------
    remedy : the remedy.
    standing : what was read at the tree and its ground.

    Returns
    -------
    Key of the words under prescribe.reason; empty where nothing forbids it.

    Raises
    ------
    Nothing.

    Notes
    -----
    A tree that is newly planted, dry or robbed of roots is not fed. Salt is not leached where the ground drains badly.
    No liquid goes on the surface of a steep slope, no extract where food plants grow, no compost where a test finds
    more phosphorus than any list of its method wants.

    References
    ----------
    Common practice, no source; limits: table prescribe/effects, memory or JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5,
    ...             trunk_diameter_m=0.2, crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03, years_since_planting=1.0)
    >>> feed = next(remedy for remedy in remedies() if remedy.code == "slow_nitrogen")
    >>> law_of_the_trade(feed, Standing(Ground("lawn", {}), site, {}))
    'newly_planted'
    """
    ground = standing.ground
    badly = standing.middle("drainage_mm_day") < figure("drains_badly_mm_day")
    wet = badly or standing.middle("mottle_depth_m") < figure("poor_air_depth_m")
    rules = (
        ("slow_nitrogen", "newly_planted",
         standing.middle("years_since_planting") <= figure("newly_planted_years")),
        ("slow_nitrogen", "roots_lost", _roots_lost(standing)),
        ("slow_nitrogen", "too_dry", _dry(ground)),
        ("leach", "drains_badly", wet),
        ("compost", "phosphorus_high", _side(ground, "phosphorus") == "above"),
        ("extract", "food_plants", "food" in _users(ground)),
        *((liquid, "too_steep", standing.largest("slope") >= figure("too_steep")) for liquid in ON_THE_SURFACE),
    )
    return next((reason for code, reason, holds in rules if code == remedy.code and holds), "")


def no_use(remedy: Remedy, standing: Standing, mean_gain: float) -> str:
    """Why the ground has no need of a remedy, or nobody has looked whether it has.

    Parameters
    ----------
    remedy : the remedy.
    standing : what was read at the tree and its ground.
    mean_gain : mean of the share of growth gained a year; 0 where the model cannot reckon it.

    Returns
    -------
    Key of the words under prescribe.reason; empty where it may answer one.

    Raises
    ------
    Nothing.

    Notes
    -----
    Gypsum waits for a test of sodium, feeding for a test of leaves or soil, sulfur for pH and the fizz test, a chelate
    for pH or yellow between the veins of the youngest leaves. Nitrogen is short where the leaf lies under every list
    that names the tree most narrowly. Sulfur and chelate are for kinds that lime makes yellow.

    References
    ----------
    Tables prescribe/effects, compare/laboratory_ranges and species, row by row: seen, memory or JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5,
    ...             trunk_diameter_m=0.2, crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> gypsum = next(remedy for remedy in remedies() if remedy.code == "gypsum")
    >>> no_use(gypsum, Standing(Ground("lawn", {}), site, {"turf": 0.0, "bare": 0.0}), 0.0)
    'sodium_not_read'
    """
    covers = standing.covers
    small = mean_gain < figure("no_shortage_points") / 100.0
    reasons: Mapping[str, Callable[[], tuple[tuple[str, bool], ...]]] = {
        "mulch": lambda: (("no_open_ground", covers["turf"] + covers["bare"] < LITTLE),),
        "air_tillage": lambda: (("no_open_ground", covers["turf"] + covers["bare"] < LITTLE),),
        "turf_off": lambda: (("no_turf", covers["turf"] < LITTLE),),
        "water": lambda: (("already_watered", _watered(remedy, standing)),),
        "leach": lambda: (("no_salt", small),),
        "gypsum": lambda: (("sodium_not_read", not standing.read("sar", "esp")),
                           ("no_sodium", standing.middle("sar") < figure("gypsum_from_sar"))),
        "slow_nitrogen": lambda: (("feed_not_tested", not standing.read("leaf_n")),
                                  ("no_shortage", small or _side(standing.ground, "leaf_n") != "below")),
        "chelate": lambda: _chelate(standing),
        "sulfur": lambda: _sulfur(standing),
        "stop_salt": lambda: (("no_salt", standing.middle("ece_ds_m") < standing.middle("salt_threshold_ds_m")),),
    }
    return next((reason for reason, holds in reasons.get(remedy.code, tuple)() if holds), "")


def cautions_here(remedy: Remedy, standing: Standing) -> tuple[str, ...]:
    """What to mind with a remedy on just this ground, beside what stands with it anywhere.

    Parameters
    ----------
    remedy : the remedy.
    standing : what was read at the tree and its ground.

    Returns
    -------
    Keys of the words under prescribe.caution.

    Raises
    ------
    Nothing.

    Notes
    -----
    They defer to the label and to what local rules say.

    References
    ----------
    Common practice, no source; limits: table prescribe/effects, JUDGEMENT.

    Examples
    --------
    >>> from rootcase.casework.prescribe.remedies import remedies
    >>> site = Site(sand=0.4, clay=0.2, organic_matter_pct=2.0, litter=1.0, ece_ds_m=0.4, sar=1.0, ph=6.5,
    ...             trunk_diameter_m=0.2, crown_radius_m=3.0, salt_threshold_ds_m=2.0, salt_slope_pct=14.0,
    ...             lock_up_per_ph=0.03)
    >>> leach = next(remedy for remedy in remedies() if remedy.code == "leach")
    >>> cautions_here(leach, Standing(Ground("lawn", {}), site, {}))
    ('ask_who_uses',)
    """
    found = []
    if remedy.code in FLOWING:
        users = _users(standing.ground) or ("not_asked",)
        found += [USERS_TOLD[each] for each in users if each in USERS_TOLD]
    if standing.read("well_distance") and remedy.code in SOAKS_DOWN:
        found.append("well")
    if remedy.water_mm and standing.largest("slope") >= figure("slope_slow"):
        found.append("slope_slow")
    return tuple(dict.fromkeys(found))


def _watered(remedy: Remedy, standing: Standing) -> bool:
    """Whether the ground gets nine tenths of the remedy's water already."""
    already = standing.middle("irrigation_mm") / standing.site.irrigation_every_days * (remedy.every_days or 0)
    return bool(already >= 0.9 * (remedy.water_mm or 0.0))


def _chelate(standing: Standing) -> tuple[tuple[str, bool], ...]:
    yellow = standing.ground.choice("chlorosis_young")
    tested = standing.read("soil_ph", "soil_ph_field")
    limy = tested and standing.middle("ph") >= figure("lime_ph")
    shown = yellow is not None and yellow.choice in YELLOW_BETWEEN_VEINS
    return (("lime_not_read", not tested and yellow is None), ("no_lime", not limy and not shown))


def _sulfur(standing: Standing) -> tuple[tuple[str, bool], ...]:
    fizzes = {reading.choice for reading in standing.ground.take("carbonate_fizz")}
    return (("lime_not_read", not standing.read("soil_ph", "soil_ph_field")),
            ("no_lime", standing.middle("ph") < figure("lime_ph")),
            ("bears_lime", _bears_lime(standing.ground)),
            ("fizz_first", not fizzes),
            ("free_lime", fizzes != {"none"}))


def _bears_lime(ground: Ground) -> bool:
    """Whether the table of species knows the kind, and that lime seldom makes it yellow."""
    named = list_names(_species(ground))[0] - {""}
    risks = {str(row["lime_chlorosis_risk"]) for row in table("species").rows if row["botanical_name"] in named}
    return risks == {"low"}


def _species(ground: Ground) -> str:
    told = ground.choice("species")
    return "" if told is None else told.choice or ""


def _users(ground: Ground) -> tuple[str, ...]:
    """Everybody the newest year's answers name, each answer a reading of its own."""
    return tuple(dict.fromkeys(reading.choice for reading in ground.take("sensitive_use") if reading.choice))


def _side(ground: Ground, kind: str) -> str:
    """Where the mean of what was read lies beside the lists of its method that name the tree most narrowly.

    below or above where all of them say so of the low end, any of them of the high end; else empty.
    """
    readings = [reading for reading in ground.numbers(kind) if reading.plain]
    if not readings:
        return ""
    unit = kinds()[kind].si_unit
    method = readings[0].attributes.get("extractant", "")
    rows = [row for row in table("compare/laboratory_ranges").rows
            if row["kind"] == kind and row["wanted"] and method in (str(row["method"]).split("|") or [""])]
    for level in list_names(_species(ground)):
        here = [row for row in rows if row["matches"] in level]
        if here:
            value = float(np.mean([reading.value for reading in readings
                                   if reading.attributes.get("extractant", "") == method]))
            lows, highs = _ends(here, "low", unit), _ends(here, "high", unit)
            if lows and value < min(lows):
                return "below"
            return "above" if highs and value > min(highs) else ""
    return ""


def _ends(rows: list[Row], end: str, unit: str) -> list[float]:
    return [convert(row[end], str(row["unit"]), unit) for row in rows if row[end] is not None]


def _roots_lost(standing: Standing) -> bool:
    """Roots lost to digging or building: a share read, or told of this place within the years that count."""
    if standing.largest("roots_cut_share") >= figure("roots_lost_share"):
        return True
    told = [reading for reading in standing.ground.take("site_event") if reading.choice in ROOTS_CUT]
    years = [_year_of(standing.ground, reading.series, reading.visit_id) for reading in told]
    return any(year is not None and reading.day.year - year <= figure("roots_lost_years")
               for year, reading in zip(years, told, strict=True))


def _year_of(ground: Ground, series: str, visit_id: str) -> int | None:
    found = [reading for reading in ground.numbers("site_event_year")
             if (reading.series, reading.visit_id) == (series, visit_id)]
    return int(found[-1].value or 0) if found else None


def _dry(ground: Ground) -> bool:
    """Whether the newest squeeze of the soil was dust, or this or last year was told as a year of drought."""
    felt = ground.choice("soil_moisture_feel")
    droughts = [reading for reading in ground.take("site_event") if reading.choice == "drought"]
    recent = any((year := _year_of(ground, reading.series, reading.visit_id)) is not None
                 and reading.day.year - year <= 1 for reading in droughts)
    return recent or (felt is not None and felt.choice == "dust")
