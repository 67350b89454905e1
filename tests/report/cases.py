"""The invented trees and ground behind the fixtures of pictures and pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from rootcase.records.explain import LIMITS
from rootcase.records.prescribe import TreeVerdict


@dataclass(frozen=True)
class Case:
    """One invented tree: its readings, and the losses the invented results are drawn around."""

    label: str
    species: str
    place: str
    east_m: float
    north_m: float
    share: float | None
    """Observed share of the yardstick."""
    losses: Mapping[str, float]
    """Mean loss of each limit as a fraction; a limit that is not named is the same as at the yardstick."""
    verdict: TreeVerdict
    chosen: str | None = None
    height_m: float | None = 13.4
    spread_m: float | None = 10.2
    dieback: float | None = 0.10
    density: float | None = 0.65
    live_crown_ratio: float | None = 0.8
    dbh_mm: float | None = 410.0
    refusal_m: float | None = 0.42
    rootable_m: float = 0.13
    surface_mpa: float = 0.9
    turf_part: float = 0.6
    cover: tuple[tuple[str, float], ...] = (("turf", 1.0),)
    flare: str = "all_round"
    remedies: Mapping[str, tuple[float | None, float | None]] = field(default_factory=dict)
    """Code -> (gain in points or None, cost or None)."""


CASES = (
    Case("oak 1", "Quercus rubra", "South lawn", 17.6, 6.4, 0.29,
         {"strength": 0.33, "water": 0.19, "air": 0.06, "nutrition": 0.04, "salt": 0.01}, "treat", "mulch",
         dieback=0.20, flare="none",
         remedies={"mulch": (19.0, 480.0), "air_tillage": (27.0, 1260.0), "compost": (3.0, 160.0),
                   "turf_off": (9.0, 410.0), "keep_off": (None, None)}),
    Case("oak 2", "Quercus rubra", "South lawn", 30.2, 18.0, 0.92,
         {"strength": 0.26, "air": 0.02, "nutrition": 0.01, "water": -0.23}, "leave it alone",
         height_m=15.1, spread_m=11.6, dieback=0.03, density=0.75, dbh_mm=455.0, rootable_m=0.24, surface_mpa=0.7,
         remedies={"mulch": (2.0, 520.0), "compost": (0.5, 170.0)}),
    Case("oak 3", "Quercus rubra", "Pitch", 44.6, 10.4, 0.14,
         {"strength": 0.46, "water": 0.20, "air": 0.12, "nutrition": 0.03}, "treat", "air_tillage",
         height_m=8.2, spread_m=6.0, dieback=0.35, density=0.45, dbh_mm=260.0, refusal_m=0.12, rootable_m=0.07,
         surface_mpa=1.7, live_crown_ratio=0.7, flare="part",
         remedies={"air_tillage": (24.0, 1480.0), "mulch": (11.0, 560.0), "turf_off": (6.0, 470.0),
                   "slow_nitrogen": (0.0, 190.0), "keep_off": (None, None)}),
    Case("maple 4", "Acer rubrum", "Car park", 7.0, 33.0, 0.22,
         {"strength": 0.24, "water": 0.28, "air": 0.08, "salt": 0.07, "nutrition": 0.02},
         "nothing on our list helps", height_m=6.4, spread_m=4.4, dieback=0.25, density=0.40, dbh_mm=190.0,
         refusal_m=0.30, rootable_m=0.11, surface_mpa=1.3, turf_part=0.0, cover=(("paved", 0.85), ("bare", 0.15)),
         remedies={"water": (4.0, 640.0), "mulch": (1.0, 60.0), "soil_volume": (None, None)}),
    Case("maple 5", "Acer rubrum", "Front bed", 12.0, 24.4, 0.48,
         {"strength": 0.05, "water": 0.07, "nutrition": 0.02}, "nothing on our list helps",
         height_m=11.0, spread_m=8.4, dieback=0.15, density=0.55, dbh_mm=330.0, refusal_m=None, rootable_m=0.52,
         surface_mpa=0.5, turf_part=0.1, cover=(("mulch", 0.8), ("bare", 0.2)),
         remedies={"mulch": (1.0, 90.0), "compost": (1.0, 150.0), "open_flare": (None, 120.0)}),
    Case("oak 6", "Quercus rubra", "South lawn", 55.4, 21.0, 0.35,
         {"establishment": 0.34, "water": 0.15, "strength": 0.12}, "treat", "water",
         height_m=4.1, spread_m=1.9, dieback=0.0, density=0.60, dbh_mm=64.0, refusal_m=0.55, rootable_m=0.22,
         cover=(("turf", 0.7), ("mulch", 0.3)), remedies={"water": (16.0, 330.0), "mulch": (8.0, 70.0)}),
    Case("oak 7", "Quercus rubra", "Front bed", 5.6, 18.6, 1.04,
         {"strength": 0.03, "water": 0.02}, "leave it alone", height_m=15.8, spread_m=12.0, dieback=0.02,
         density=0.8, dbh_mm=500.0, refusal_m=0.80, rootable_m=0.61, surface_mpa=0.4, turf_part=0.0,
         cover=(("litter", 0.7), ("mulch", 0.3)), remedies={"compost": (0.2, 210.0)}),
    Case("oak 8", "Quercus rubra", "Pitch", 52.0, 5.2, None,
         {"strength": 0.25, "water": 0.15, "air": 0.07, "nutrition": 0.03}, "leave it alone",
         height_m=None, spread_m=None, dieback=None, density=None, live_crown_ratio=None, dbh_mm=None,
         refusal_m=None, flare="not_looked", remedies={"mulch": (9.0, 560.0)}),
)

PLACES = (
    ("South lawn", "lawn", ((0.0, 0.0), (38.0, 0.0), (38.0, 22.0), (62.0, 22.0), (62.0, 30.0), (0.0, 30.0))),
    ("Pitch", "pitch", ((38.0, 0.0), (62.0, 0.0), (62.0, 22.0), (38.0, 22.0))),
    ("Front bed", "bed", ((2.0, 15.0), (16.0, 15.0), (16.0, 28.0), (2.0, 28.0))),
    ("Car park", "paving", ((0.0, 30.0), (14.0, 30.0), (14.0, 42.0), (0.0, 42.0))),
    ("North wood", "woodland", ((42.0, 33.0), (62.0, 31.0), (62.0, 46.0), (40.0, 46.0))),
)
OUTLINES = (
    ("Hall", "building", ((16.0, 32.0), (34.0, 32.0), (34.0, 44.0), (24.0, 44.0), (24.0, 46.0), (16.0, 46.0))),
    ("Drive", "path", ((14.0, 30.0), (62.0, 30.0), (62.0, 32.0), (14.0, 32.0))),
    ("Pond", "water", ((56.0, 0.0), (62.0, 0.0), (62.0, 6.0), (59.5, 5.0), (57.0, 2.6))),
)
WISHES = (("South lawn", "wish_lawn", "part"), ("Pitch", "wish_lawn", "stays"),
          ("Pitch", "wish_holes", "closed_same_day"), ("Front bed", "wish_chips", "yes"),
          ("Car park", "wish_holes", "no"))

OAK = CASES[0]
EXTREME = (
    replace(OAK, label="seedling 1", height_m=0.3, spread_m=0.2, dbh_mm=6.0, dieback=1.0, density=0.05, rootable_m=0.01,
            share=0.004),
    replace(OAK, label="giant 2", height_m=112.0, spread_m=58.0, dbh_mm=8800.0, share=2.5, dieback=0.0,
            losses={"water": -1.4, "strength": 0.02}, refusal_m=1.9, rootable_m=0.99, surface_mpa=0.1),
    replace(CASES[7], label="oak with nothing read 3"),
    replace(OAK, label="Gleditsia triacanthos f. inermis by the second gate 14b", place="Pitch", share=0.31,
            remedies={"mulch": (19.0, 480123.0), "air_tillage": (27.0, 1260456.0)}),
    replace(OAK, label="楓 5 Þorn Łódź", share=0.27, losses=dict.fromkeys(LIMITS, 0.12)),
    replace(OAK, label="elm 6", share=0.9, losses={}, dieback=0.02),
    replace(OAK, label="wheel 7", height_m=2.0, spread_m=25.0, live_crown_ratio=None, density=None, dieback=None,
            share=1.6, losses={"strength": 0.7, "water": -0.9}),
    replace(OAK, label="pole 8", height_m=30.0, spread_m=0.8, refusal_m=0.0, rootable_m=0.005, surface_mpa=1.999,
            east_m=17.9, north_m=6.6),
)
