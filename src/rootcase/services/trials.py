"""Trials in plain tables: one trial's effect, and several trials taken together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np

from rootcase.casework.prove.fit import fit_trial
from rootcase.ground.errors import ImpossibleValue, Missing, OutOfRange, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.prove import FreedomBy, TrialFit, TrialReading, TrialWarning
from rootcase.report.text.trial import warning_line
from rootcase.science.trials.believed import Believed, Prior, believed_after
from rootcase.science.trials.cells import Floats
from rootcase.science.trials.freedom import answered
from rootcase.science.trials.several import (
    TRIALS_A_MODERATOR,
    Method,
    Nested,
    Together,
    together,
    together_in_groups,
)
from rootcase.services.plain_table import PlainRow, plain_rows

TRIAL_COLUMNS = ("site", "tree", "year", "after", "treated", "shoot", "y")
POOL_COLUMNS = ("study", "yi", "vi")
_YES = {"1": True, "true": True, "yes": True, "0": False, "false": False, "no": False}


@dataclass(frozen=True, slots=True)
class Pooled:
    """Effects of several trials in the order of the file, and what they say together."""

    studies: tuple[str, ...]
    effects: tuple[float, ...]
    level: float
    found: Together | Believed | Nested
    moderator: str = ""
    """Column that effects may depend on; then the mean is that at its mean."""

    def figures(self) -> dict[str, Any]:
        """By the names of the trade, for a program to read; None: it has no end."""
        return {name: None if isinstance(told, float) and not np.isfinite(told) else told
                for name, told in self._told().items()}

    def _told(self) -> dict[str, Any]:
        if isinstance(self.found, Believed):
            low, high = self.of_mean()
            return {"mu": self.found.mean.mean, "se": self.found.mean.sd, "tau": self.found.spread_mean,
                    "tau_sd": self.found.spread_sd, "low": low, "high": high,
                    "new_low": self.found.new.quantile(0.5 - self.level / 2),
                    "new_high": self.found.new.quantile(0.5 + self.level / 2), "level": self.level,
                    "shrunken": [each.mean for each in self.found.trials],
                    "shrunken_sd": [each.sd for each in self.found.trials], "studies": list(self.studies)}
        if isinstance(self.found, Nested):
            low, high = self.of_mean()
            return {"mu": self.found.mean, "se": self.found.standard_error, "tau2": self.found.between_groups,
                    "inside_tau2": self.found.inside_groups, "properties": self.found.groups, "low": low, "high": high,
                    "level": self.level, "studies": list(self.studies)}
        together = self.found
        return {"mu": float(together.coefficients[0]), "se": float(np.sqrt(together.covariance[0, 0])),
                "tau2": together.between, "i2": 100.0 * together.i2, "q": together.q, "q_df": together.q_freedom,
                "q_p": together.p_alike, "low": float(together.low[0]), "high": float(together.high[0]),
                "new_low": together.new_low, "new_high": together.new_high, "level": self.level,
                "shrunken": together.shrunken.tolist(), "studies": list(self.studies), **self._slope(together)}

    def _slope(self, together: Together) -> dict[str, Any]:
        if not self.moderator:
            return {}
        freedom = len(self.studies) - 2
        slope = answered(float(together.coefficients[1]), float(np.sqrt(together.covariance[1, 1])), float(freedom),
                         self.level)
        return {"moderator": {"column": self.moderator, "slope": slope.effect, "se": slope.standard_error,
                              "df": freedom, "p": slope.p, "low": slope.low, "high": slope.high}}

    def of_mean(self) -> tuple[float, float]:
        """Interval of the mean effect."""
        if isinstance(self.found, Believed):
            return (self.found.mean.quantile(0.5 - self.level / 2), self.found.mean.quantile(0.5 + self.level / 2))
        if isinstance(self.found, Nested):
            return self.found.interval(self.level)
        return float(self.found.low[0]), float(self.found.high[0])


def fit_file(path: Path, freedom_by: FreedomBy, level: float, flag: str = "") -> TrialFit:
    """The effect of one trial whose readings stand in a file. flag: column of what disturbed a tree; 0: nothing."""
    met: dict[tuple[str, int, str], int] = {}
    readings = []
    disturbed: dict[str, str] = {}
    for row in plain_rows(path, (*TRIAL_COLUMNS, *([flag] if flag else []))):
        reading = _reading(row)
        key = (reading.tree, reading.year, row.cells["shoot"])
        if (first := met.setdefault(key, row.number)) != row.number:
            raise ImpossibleValue(say("prove.twice", first=first), where=row.where, value=", ".join(map(str, key)),
                                  right=say("prove.once"))
        readings.append(reading)
        if flag and _YES.get(row.cells[flag].lower(), bool(row.cells[flag])):
            disturbed.setdefault(reading.tree, row.cells[flag])
    if not readings:
        raise Missing(say("choose.no_rows"), where=str(path), right=say("prove.one_row"))
    found = fit_trial(readings, freedom_by, level)
    lost = {tree for each in found.warnings if each.kind == "lost" for tree in each.names}
    warnings = [replace(each, names=tuple(_named(tree, disturbed) for tree in each.names)) if each.kind == "lost" else
                each for each in found.warnings]
    struck = {tree: what for tree, what in disturbed.items() if tree not in lost}
    return replace(found, warnings=(*warnings, *([_without(readings, struck, freedom_by, level)] if struck else [])))


def _named(tree: str, befell: Mapping[str, str]) -> str:
    """A tree with what befell it, where that was told."""
    return f"{tree} ({befell[tree]})" if tree in befell else tree


def _without(readings: Sequence[TrialReading], disturbed: Mapping[str, str], freedom_by: FreedomBy,
             level: float) -> TrialWarning:
    """The effect without trees that something else than the treatment struck; they stay in the answer itself."""
    names = tuple(_named(tree, disturbed) for tree in disturbed)
    try:
        rest = fit_trial([each for each in readings if each.tree not in disturbed], freedom_by, level)
    except (Missing, OutOfRange):
        return TrialWarning(kind="disturbed_most", names=names)
    return TrialWarning(kind="disturbed", names=names, figures=(rest.effect, rest.low, rest.high))


def _reading(row: PlainRow) -> TrialReading:
    year = row.figure("year")
    if year != int(year):
        raise UnreadableValue(say("prove.no_year"), where=row.where, value=row.cells["year"],
                              right=say("prove.year_right"))
    return TrialReading(site=row.name("site"), tree=row.name("tree"), year=int(year), after=_yes(row, "after"),
                        treated=_yes(row, "treated"), value=row.figure("y") if row.cells["y"] else None)


def _yes(row: PlainRow, column: str) -> bool:
    typed = row.cells[column].lower()
    if typed not in _YES:
        raise UnreadableValue(say("prove.no_yes", column=column), where=row.where,
                              value=typed or say("choose.nothing_written"), right=say("prove.yes_right"))
    return _YES[typed]


def pool_file(path: Path, method: Method | None, level: float, *, knapp_hartung: bool = False,
              prior: Prior | None = None, moderator: str = "", group: str = "") -> Pooled:
    """Effects of several trials, a row each with its variance, taken together. prior: believe instead of estimate.

    moderator: column of numbers that effects may depend on; group: column of the property each effect is of.
    """
    studies, y, v, asked = _effects(path, moderator or group, numbers=bool(moderator))
    if group:
        return Pooled(studies, tuple(y), level, together_in_groups(y, v, np.unique(asked, return_inverse=True)[1]))
    if prior:
        return Pooled(studies, tuple(y), level, believed_after(y, v, prior))
    if not moderator:
        return Pooled(studies, tuple(y), level, together(y, v, method or "reml", knapp_hartung=knapp_hartung,
                                                         level=level))
    if len(studies) < TRIALS_A_MODERATOR:
        raise Missing(say("prove.few_to_moderate"), value=say("prove.few_trials", count=len(studies)),
                      right=say("prove.few_to_moderate_right", least=TRIALS_A_MODERATOR))
    told = np.array(asked, dtype=float)
    found = together(y, v, method or "reml", moderators=(told - told.mean())[:, None], knapp_hartung=True, level=level)
    return Pooled(studies, tuple(y), level, found, moderator)


def _effects(path: Path, column: str, *, numbers: bool) -> tuple[tuple[str, ...], Floats, Floats, list[Any]]:
    """Names, effects and variances of a file's trials, and what a further column says of each."""
    studies: list[str] = []
    effects: list[float] = []
    variances: list[float] = []
    asked: list[Any] = []
    for row in plain_rows(path, (*POOL_COLUMNS, *([column] if column else []))):
        variance = row.figure("vi")
        if variance <= 0.0:
            raise ImpossibleValue(say("prove.no_variance"), where=row.where, value=row.cells["vi"],
                                  right=say("prove.variance_right"))
        studies.append(row.name("study"))
        effects.append(row.figure("yi"))
        variances.append(variance)
        asked.append("" if not column else row.figure(column) if numbers else row.name(column))
    if not studies:
        raise Missing(say("choose.no_rows"), where=str(path), right=say("prove.one_study"))
    return tuple(studies), np.array(effects), np.array(variances), asked


def fit_figures(fit: TrialFit) -> Mapping[str, Any]:
    """What a trial says, by the names of the trade, for a program to read."""
    return {"effect": fit.effect, "se": fit.standard_error, "df": fit.freedom if np.isfinite(fit.freedom) else None,
            "p": fit.p, "low": fit.low, "high": fit.high, "level": fit.level, "df_by": fit.freedom_by,
            "variances": dict(fit.variances),
            "replicates": {"unit": fit.replicate, "treated": fit.treated, "untreated": fit.untreated,
                           "sites": fit.sites, "trees": fit.trees, "readings": fit.readings},
            "warnings": [{"kind": each.kind, "says": warning_line(each), "names": list(each.names),
                          "figures": list(each.figures)} for each in fit.warnings]}
