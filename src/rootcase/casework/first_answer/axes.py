"""Where a first-answer sheet is computed; between those points lines are straight."""

from __future__ import annotations

from math import log

from rootcase.records.first_answer import SheetAxes

TOLERANCES = ("low", "medium", "high")
SAME_PUSHES_VARIANCE = 0.03
"""Of three pushes: at which chances stand."""
GROUNDS = ("", "litter", "mulch", "turf", "planting", "bare", "gravel", "paving", "mixed")


def _ln(values: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(round(log(value), 4) for value in values)


AXES = SheetAxes(
    habits=("fixed", "free"), grounds=GROUNDS, tolerances=TOLERANCES,
    depth_ln_mm=_ln((20, 40, 70, 110, 170, 260, 400, 600, 900, 1300)), push_variance=(0.0144, 0.09),
    rod_ln_mm=_ln((30, 80, 200, 450, 900, 1500)), after_ln_mm=_ln((30, 90, 180, 320, 600, 1200)),
    seen_ln=_ln((0.02, 0.05, 0.12, 0.25, 0.45, 0.75, 1.1, 1.7)), seen_sd=(0.3, 0.75),
    shoot_ln_mm=_ln((5, 18, 50, 140, 400, 1500)), shoots_reciprocal=(0.1, 0.3333, 0.5, 1.0),
    shoot_variance=(0.0, 0.2, 0.8))
"""JUDGEMENT: so many that the bars of docs/first-answer.md are kept and a sheet stays under 60 kB."""
