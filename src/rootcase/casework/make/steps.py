"""What each step of a batch asks, and whether what was told can be."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from rootcase.ground.dates import read_date
from rootcase.ground.errors import ImpossibleValue, Missing, UnreadableValue
from rootcase.ground.length import MOST_LINE, require_length
from rootcase.ground.words import say
from rootcase.records.make.batch import Step
from rootcase.tables.load import table


class AskedFigure(NamedTuple):
    """A figure of a step: its range, its unit, and whether the step is nothing without it."""

    low: float
    high: float
    unit: str
    needed: bool = False


class AskedWord(NamedTuple):
    """A word of a step: what it may be (empty: a line of one's own), whether the step is nothing without it, and
    whether it is a day."""

    choices: tuple[str, ...] = ()
    needed: bool = False
    day: bool = False


YES_NO = ("yes", "no")
STRIPS = ("total", "free")
SMELLS = ("none", "earthy", "sour")
NO_ADDITIVE = "none"
_CHLORINE = AskedFigure(0.0, 50.0, "mg/L")
_COUNT = AskedFigure(0.0, 1e12, "CFU/100 mL")
_CELLS, _SOLIDS = AskedFigure(1.0, 1e12, "1/mL"), AskedFigure(0.01, 1e6, "mg/L")
"""Of the first gallon: of nothing there is no share."""

FIGURES: Mapping[Step, Mapping[str, AskedFigure]] = {
    "water": {"volume_l": AskedFigure(1.0, 1e6, "L", needed=True), "temperature_c": AskedFigure(0.0, 45.0, "degC"),
              "ec_ds_m": AskedFigure(0.0, 20.0, "dS/m"), "ph": AskedFigure(0.0, 14.0, "pH")},
    "chlorine": {"total_chlorine_mg_l": _CHLORINE, "free_chlorine_mg_l": _CHLORINE},
    "neutraliser": {"mass_g": AskedFigure(0.0, 1e5, "g", needed=True), "total_chlorine_mg_l": _CHLORINE},
    "compost": {"mass_kg": AskedFigure(0.01, 1e5, "kg", needed=True)},
    "additive": {"mass_kg": AskedFigure(0.0, 1e5, "kg"), "share_pct": AskedFigure(0.0, 100.0, "%")},
    "oxygen": {"oxygen_mg_l": AskedFigure(0.0, 40.0, "mg/L", needed=True),
               "temperature_c": AskedFigure(0.0, 45.0, "degC", needed=True)},
    "end": {"volume_l": AskedFigure(1.0, 1e6, "L", needed=True), "screen_um": AskedFigure(1.0, 1e5, "um")},
    "lab": {"e_coli_per_100_ml": _COUNT, "enterococci_per_100_ml": _COUNT},
    "gallons": {"first_per_ml": _CELLS, "last_per_ml": _CELLS._replace(low=0.0),
                "first_solids_mg_l": _SOLIDS, "last_solids_mg_l": _SOLIDS._replace(low=0.0)},
}
SIGNED: Mapping[str, str] = {"e_coli_per_100_ml": "e_coli_sign", "enterococci_per_100_ml": "enterococci_sign"}
"""Figures of which a laboratory may say only that they lie below or above, with the word that keeps its sign."""
FIRST_AND_LAST = (("first_per_ml", "last_per_ml"), ("first_solids_mg_l", "last_solids_mg_l"))
"""Figures of which one tells nothing without the other."""
_ONE_AT_LEAST: tuple[Step, ...] = ("chlorine", "lab", "gallons")
"""Steps that are nothing without a figure, whichever it is."""
_WORDS: Mapping[Step, Mapping[str, AskedWord]] = {
    "vat": {"cleaned": AskedWord(YES_NO, needed=True), "vat": AskedWord()},
    "water": {"potability_test": AskedWord(YES_NO)},
    "chlorine": {"strip": AskedWord(STRIPS, needed=True)},
    "neutraliser": {"strip": AskedWord(STRIPS)},
    "additive": {"additive": AskedWord(needed=True)},
    "start": {"agitation": AskedWord()},
    "oxygen": {"air": AskedWord(("on", "off"))},
    "end": {"screen": AskedWord()},
    "slide": {"slide": AskedWord(needed=True)},
    "smell": {"smell": AskedWord(SMELLS, needed=True)},
    "lab": {"lab": AskedWord(), "number": AskedWord(), "sampled": AskedWord(day=True),
            **{sign: AskedWord(("<", ">")) for sign in SIGNED.values()}},
    "gallons": {"tank": AskedWord()},
}


def words_asked(step: Step) -> Mapping[str, AskedWord]:
    """Which words does a step ask for?

    Parameters
    ----------
    step : of a batch.

    Returns
    -------
    By name; choices in the order they are shown.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    A note may stand beside any step.

    References
    ----------
    Origins: table tank/water_origins; chemicals and advice: table tank/neutralisers.

    Examples
    --------
    >>> words_asked("chlorine")["strip"].choices
    ('total', 'free')
    """
    asked = dict(_WORDS.get(step, {}))
    if step == "water":
        asked["origin"] = AskedWord(_column("tank/water_origins", "origin"), needed=True)
    if step == "neutraliser":
        asked["chemical"] = AskedWord(_column("tank/neutralisers", "chemical"), needed=True)
        asked["rule"] = AskedWord(_column("tank/neutralisers", "rule"), needed=True)
    return {**asked, "note": AskedWord()}


def require_step(step: Step, figures: Mapping[str, float], words: Mapping[str, str]) -> None:
    """Raise unless a step is told with what it asks for, and within what can be.

    Parameters
    ----------
    step : of a batch.
    figures : by name with its unit; see `FIGURES`.
    words : by name; see `words_asked`.

    Returns
    -------
    Nothing.

    Raises
    ------
    UnreadableValue : a day is none.
    Missing : a figure or word is not told without which the step is nothing.
    ImpossibleValue : a name is not the step's, a figure lies outside what can be, a word is none of its choices.

    Notes
    -----
    What is doubtful is taken and judged with the batch; only what cannot be is refused here.

    References
    ----------
    Ranges: those of the formulas behind (science/tank): JUDGEMENT.

    Examples
    --------
    >>> require_step("compost", {"mass_kg": 110.0}, {})
    """
    where = say(f"batch.step.{step}")
    asked_figures, asked_words = FIGURES.get(step, {}), words_asked(step)
    for odd in [*(set(figures) - set(asked_figures)), *(set(words) - set(asked_words))]:
        raise ImpossibleValue(say("batch.step_no_such"), where=where, value=odd,
                              right=", ".join([*asked_figures, *asked_words]))
    if step in _ONE_AT_LEAST and not figures:
        raise Missing(say("batch.step_needs", what=say("readings.or").join(
            say(f"batch.figure.{name}") for name in asked_figures)), where=where)
    for name, figure in asked_figures.items():
        if name not in figures:
            if figure.needed:
                raise Missing(say("batch.step_needs", what=say(f"batch.figure.{name}")), where=where, about=name)
        elif not figure.low <= figures[name] <= figure.high:
            raise ImpossibleValue(say("batch.step_cannot"), where=say(f"batch.figure.{name}"), about=name,
                                  value=f"{figures[name]:g} {figure.unit}",
                                  right=f"{figure.low:g} – {figure.high:g} {figure.unit}")
    for pair in FIRST_AND_LAST:
        if missing := [name for name in pair if name not in figures] if set(pair) & set(figures) else []:
            raise Missing(say("batch.step_needs", what=say(f"batch.figure.{missing[0]}")), where=where,
                          about=missing[0])
    for name, word in asked_words.items():
        told = words.get(name, "").strip()
        require_length(told, MOST_LINE)
        if word.needed and not told:
            raise Missing(say("batch.step_needs", what=say(f"batch.word.{name}")), where=where, about=name)
        if told and word.choices and told not in word.choices:
            raise ImpossibleValue(say("batch.step_no_choice"), where=say(f"batch.word.{name}"), value=told, about=name,
                                  right=", ".join(word.choices))
        if told and word.day:
            _require_day(told, name)


def _require_day(told: str, name: str) -> None:
    try:
        read_date(told)
    except UnreadableValue as error:
        raise UnreadableValue(error.what, where=say(f"batch.word.{name}"), value=error.value, right=error.right,
                              about=name) from None


def _column(name: str, column: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row[column] for row in table(name).rows))
