"""What a tree would grow under each course: all of prescribing that needs the model, and nothing of money."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

NOTHING = "nothing"


@dataclass(frozen=True, slots=True)
class CourseOutlook:
    """One course with so much of the turf worked."""

    course: str
    turf_worked: float
    """Share of the turf over the roots that is worked; 1 for what leaves the turf be."""
    share: npt.NDArray[np.float64]
    """(5, draws): share of the yardstick's growth in years 1 to 5."""


@dataclass(frozen=True, slots=True)
class Outlooks:
    """One tree's growth ahead, the same draws for every course."""

    tree_id: str
    picked: npt.NDArray[np.int64]
    """Which draws of the explanation these are, each as often as its weight says."""
    settling_years: int | None
    """Years in which it still roots in; None: it is rooted in."""
    root_zone_m2: float
    """Ground over the roots as it will be in five years."""
    courses: tuple[CourseOutlook, ...]

    def of(self, course: str, turf_worked: float) -> CourseOutlook | None:
        """None where the course was not run: a part of it gains nothing here."""
        return next((each for each in self.courses
                     if each.course == course and each.turf_worked == turf_worked), None)

    def gain(self, of: CourseOutlook) -> npt.NDArray[np.float64]:
        """(5, draws): gain on doing nothing."""
        alone = next(each for each in self.courses if each.course == NOTHING)
        gained: npt.NDArray[np.float64] = of.share - alone.share
        return gained
