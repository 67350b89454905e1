"""How far a reading may be off, and what stands in where none was made."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cache

import numpy as np
from scipy.special import ndtr, ndtri

from rootcase.casework.draws import FloatArray
from rootcase.ground.errors import Missing
from rootcase.records.observe import Reading
from rootcase.tables.load import Row, table
from rootcase.tables.readings import kinds


@dataclass(frozen=True, slots=True)
class ReadingErrors:
    """Standard normal errors of the six readings every site has, one for each draw."""

    bulk_density: FloatArray
    organic_matter: FloatArray
    resistance: FloatArray
    refusal_depth: FloatArray
    ece: FloatArray
    ph: FloatArray


def draw_reading_errors(draws: int, rng: np.random.Generator) -> ReadingErrors:
    """How far the six readings may be off, in standard deviations.

    Parameters
    ----------
    draws : how many, above 0.
    rng : the generator.

    Returns
    -------
    ReadingErrors, (draws,) each. [-]

    Raises
    ------
    Nothing.

    Notes
    -----
    One draw from each of `draws` slices of equal chance (a Latin hypercube), as the model's parameters.

    References
    ----------
    McKay, Beckman and Conover 1979, Technometrics 21:239-245 (memory).

    Examples
    --------
    >>> bool(abs(draw_reading_errors(100, np.random.default_rng(1)).ph.mean()) < 0.05)
    True
    """
    def sliced() -> FloatArray:
        return np.asarray(ndtri((rng.permutation(draws) + rng.random(draws)) / draws))

    return ReadingErrors(*(sliced() for _ in fields(ReadingErrors)))


def sd_of_mean(kind: str, repeats: int) -> float:
    """Standard deviation of the mean of several readings of a kind, from their own error alone.

    Parameters
    ----------
    kind : kind of reading, a code of the catalogue.
    repeats : how many were made, 1 or more.

    Returns
    -------
    float, in the unit of the kind.

    Raises
    ------
    KeyError : no such kind.

    Notes
    -----
    Readings are taken as made apart from each other; what they share is no part of it, see `floor_sd`.

    References
    ----------
    Table observe/readings: JUDGEMENT.

    Examples
    --------
    >>> sd_of_mean("soil_ph", 4)
    0.075
    """
    return (kinds()[kind].error_size or 0.0) / float(np.sqrt(repeats))


def read_sd(kind: str, repeats: int, reading: str) -> float:
    """Standard deviation of what several readings of a kind say together.

    Parameters
    ----------
    kind : kind of reading, a code of the catalogue.
    repeats : how many were made, 1 or more.
    reading : row of the table of errors that gives the floor.

    Returns
    -------
    Standard deviation, of the natural logarithm where the row says so. [unit of the row]

    Raises
    ------
    Missing : the tables do not know the reading.

    Notes
    -----
    The catalogue's error of one reading over the root of their number, never under the floor: the readings of one
    visit share a hand, a day and a piece of ground.

    References
    ----------
    Tables observe/readings, explain/reading_errors: JUDGEMENT.

    Examples
    --------
    >>> read_sd("soil_ph", 1, "ph"), read_sd("probe_depth", 100, "refusal_depth")
    (0.15, 0.12)
    """
    return max(sd_of_mean(kind, repeats), floor_sd(reading))


def floor_sd(reading: str) -> float:
    """Standard deviation that no number of readings goes under.

    Parameters
    ----------
    reading : row of the table of errors.

    Returns
    -------
    Standard deviation, of the natural logarithm where the row says so. [unit of the row]

    Raises
    ------
    Missing : the table does not know the reading.

    Notes
    -----
    Stands alone where the row's unit is not the catalogue's, or the catalogue's error is of another kind.

    References
    ----------
    Table explain/reading_errors: JUDGEMENT.

    Examples
    --------
    >>> floor_sd("mottle_depth")
    0.03
    """
    return float(_row(reading)["read"])


def spread(central: float, reading: str, sd: float | None, standard: FloatArray) -> FloatArray:
    """What the truth may be, given a central value and how far off it may be.

    Parameters
    ----------
    central : what was read, or what stands in for it. [unit of the reading]
    reading : row of the table of errors: which form the error has, and its size where nothing was read.
    sd : standard deviation where it was read; None where it was not.
    standard : (n,) standard normal errors.

    Returns
    -------
    (n,) draws. [unit of the reading]

    Raises
    ------
    Missing : the tables do not know the reading.

    Notes
    -----
    "added": a normal error is added; "log": the value is multiplied by the exponential of one.

    References
    ----------
    Table explain/reading_errors: JUDGEMENT.

    Examples
    --------
    >>> spread(6.5, "ph", None, np.array([-1.0, 0.0, 1.0])).round(6).tolist()
    [5.8, 6.5, 7.2]
    """
    row = _row(reading)
    size = float(row["not_read"]) if sd is None else sd
    drawn: FloatArray = central + size * standard if row["kind"] == "added" else central * np.exp(size * standard)
    return drawn


def centre(readings: Sequence[Reading], reading: str) -> float:
    """What several readings of a kind say together.

    Parameters
    ----------
    readings : at least one, each with a number.
    reading : row of the table of errors: which form the error has.

    Returns
    -------
    Mean where errors are added, geometric mean where they multiply. [unit of the kind]

    Raises
    ------
    Missing : the tables do not know the reading.

    Notes
    -----
    Where errors multiply a value told as "less than" counts as half of it; where they add it counts as it stands.

    References
    ----------
    Half of the detection limit: common practice, no source.

    Examples
    --------
    >>> from datetime import date
    >>> def read(value, sign="="):
    ...     return Reading("r", "ece", "s", "v", date(2015, 5, 4), "a", value, None, sign, None, str(value))
    >>> round(centre([read(1.0), read(4.0)], "ece"), 9), round(centre([read(1.0, "<")], "ece"), 9)
    (2.0, 0.5)
    """
    if _row(reading)["kind"] == "added":
        return float(np.mean([r.value or 0.0 for r in readings]))
    values = np.array([(r.value or 0.0) * (0.5 if r.sign == "<" else 1.0) for r in readings])
    return float(np.exp(np.log(np.maximum(values, 1e-4)).mean()))


def under(limit: FloatArray, usual: float, reading: str, standard: FloatArray) -> FloatArray:
    """What the truth may be where all that was told is that it lies under a limit.

    Parameters
    ----------
    limit : (n,) above 0. [unit of the reading]
    usual : what such a place has, above 0. [unit of the reading]
    reading : row of the table of errors, one whose errors multiply.
    standard : (n,) standard normal errors.

    Returns
    -------
    (n,) draws, none above its limit. [unit of the reading]

    Raises
    ------
    Missing : the table does not know the reading.

    Notes
    -----
    A reading that was not made, cut off at the limit: a limit far above the usual tells nothing, one far below it
    tells much. The limit itself is taken as exact.

    References
    ----------
    Table explain/reading_errors: JUDGEMENT. Cutting off a distribution: computed.

    Examples
    --------
    >>> under(np.array([0.5, 50.0]), 2.0, "ece", np.zeros(2)).round(2).tolist()
    [0.43, 2.0]
    """
    size = float(_row(reading)["not_read"])
    below = ndtr(np.log(limit / usual) / size)
    return np.asarray(np.minimum(usual * np.exp(size * ndtri(ndtr(standard) * below)), limit))


def assumed(place_kind: str, quantity: str) -> float:
    """What is taken for a reading that was not made, in this kind of place.

    Parameters
    ----------
    place_kind : a code of place_kind; ground of another kind counts as lawn.
    quantity : column of the table.

    Returns
    -------
    The central value. [unit of the table's row]

    Raises
    ------
    Missing : the table does not know the quantity.

    Notes
    -----
    Each is named in the answer, and carries the error of a reading that was not made.

    References
    ----------
    Table explain/assumed_readings: JUDGEMENT, each row with its reason.

    Examples
    --------
    >>> assumed("pitch", "refusal_depth_m"), assumed("woodland", "refusal_depth_m")
    (0.2, 1.2)
    """
    typical = _typical()
    try:
        return typical.get((place_kind, quantity), typical["lawn", quantity])
    except KeyError:
        raise Missing("nothing stands in for this reading", where="tables/explain/assumed_readings",
                      value=quantity, right="add a row for each kind of place") from None


def figure(quantity: str) -> float:
    """A single figure used to turn readings into inputs of the model.

    Parameters
    ----------
    quantity : name of its row.

    Returns
    -------
    The figure. [unit of its row]

    Raises
    ------
    Missing : there is no such row.

    Notes
    -----
    None.

    References
    ----------
    Table explain/quantities: JUDGEMENT.

    Examples
    --------
    >>> figure("guessed_year_factor")
    3.0
    """
    return float(table("explain/quantities").row(quantity=quantity)["value"])


@cache
def _typical() -> dict[tuple[str, str], float]:
    return {(str(row["place_kind"]), str(row["quantity"])): float(row["value"])
            for row in table("explain/assumed_readings").rows}


def _row(reading: str) -> Row:
    return table("explain/reading_errors").row(reading=reading)
