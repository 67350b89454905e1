"""The color of soil by the chips that soil is held against: which chip comes nearest, and which others may be meant."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.tables.load import table

C_WHITE = (0.31006, 0.31616)
"""Chromaticity of illuminant C, in which the chips are told. CIE 15 (memory)"""
SRGB_TO_XYZ = np.array([(0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505)])
"""Linear red, green and blue to X, Y, Z under D65. IEC 61966-2-1 (memory)"""
CONES = np.array([(0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296)])
"""X, Y, Z to three receptors that white is held constant in: Bradford. (memory)"""
VALUES, CHROMAS = (2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0), (1.0, 2.0, 3.0, 4.0, 6.0, 8.0)
"""That charts of soil colors are made in. Common practice, no source"""
DRAWS, SEED = 2_000, 110
SURE, LEAST_SHARE = 0.9, 0.05
BEYOND = 2.0
"""So much darker or lighter than every chip is told of. [CIELAB units] JUDGEMENT"""
EPSILON, KAPPA = 216 / 24_389, 24_389 / 27
"""Where the cube root of lightness gives way to a line, and how steep that is. CIE 15"""


class Chip(NamedTuple):
    """One chip of a chart of soil colors."""

    notation: str
    hue: str
    value: float
    chroma: float


class ChipDoubt(NamedTuple):
    """The chip that comes nearest, and what else the color may be."""

    nearest: Chip
    away: float
    """How far the color is from that chip, but for what it is darker or lighter than all of them. [CIELAB units]"""
    beyond: bool
    """It is darker or lighter than every chip."""
    near: tuple[tuple[Chip, float], ...]
    """The likeliest chips with their shares, down to one in twenty."""
    hue: tuple[str, str] | None
    """The reddest and the greenest, nine times in ten; None of a gray, and where more than half of the chart's hues may
    be meant."""
    value: tuple[float, float]
    chroma: tuple[float, float]
    """Between what they lie nine times in ten; the chart's first and last stand for what lies beyond them too."""


def luminance_of_value(value: Numbers) -> Numbers:
    """How much of the light does a color of this Munsell value give back?

    Parameters
    ----------
    value : Munsell value. [-], 0 to 10

    Returns
    -------
    luminance over that of a perfect white. [1]

    Raises
    ------
    OutOfRange : a value that is not between 0 and 10.

    Notes
    -----
    The polynomial of the renotation times 0.975, which is what its white, magnesium oxide, gives back.

    References
    ----------
    Newhall, Nickerson and Judd 1943, Final report of the O.S.A. subcommittee on the spacing of the Munsell colors,
    J. Opt. Soc. Am. 33:385-418, equation 2; times 0.975 as in ASTM D1535 (seen: the rule in a public package).

    Examples
    --------
    >>> round(float(luminance_of_value(5.0)), 4)
    0.1927
    """
    steps = within("value", value, 0.0, 10.0, "1")
    return 0.01 * steps * (1.1914 + steps * (-0.22533 + steps * (0.23352 + steps * (-0.020484 + steps * 0.00081939))))


@cache
def soil_chips() -> tuple[tuple[Chip, ...], Lanes]:
    """Which chips is soil held against, and which color has each?

    Returns
    -------
    the chips, and a row each of CIELAB L*, a*, b* under illuminant C. [CIELAB units]

    Raises
    ------
    Nothing.

    Notes
    -----
    Values 2 to 8 and 2.5, chromas 1 to 4, 6 and 8, and the neutral greys, as charts of soil colors have them, where the
    renotation has a real color. What lies between its values and chromas is laid straight between them: in luminance
    and in chromaticity; chroma 1 between grey and chroma 2.

    References
    ----------
    Table photo/munsell; straight lines between its rows as in ASTM D1535 (seen: a public package).

    Examples
    --------
    >>> chips, colors = soil_chips()
    >>> colors[[chip.notation for chip in chips].index("10YR 3/2")].round(1).tolist()
    [30.4, 3.4, 12.1]
    """
    told = {(row["hue"], row["value"], row["chroma"]): np.array([row["x"], row["y"]])
            for row in table("photo/munsell").rows}
    hues = tuple(dict.fromkeys(hue for hue, _, _ in told))
    chips = [Chip(f"N {value:g}/", "N", value, 0.0) for value in VALUES]
    places = [np.array(C_WHITE)] * len(VALUES)
    for hue, value, chroma in ((hue, value, chroma) for hue in hues for value in VALUES for chroma in CHROMAS):
        place = _between_values(told, hue, value, chroma)
        if place is not None:
            chips.append(Chip(f"{hue} {value:g}/{chroma:g}", hue, value, chroma))
            places.append(place)
    luminance = np.asarray(luminance_of_value(np.array([chip.value for chip in chips])))
    x, y = np.array(places).T
    return tuple(chips), lab_of(np.stack([x / y, np.ones_like(y), (1 - x - y) / y], -1) * luminance[:, np.newaxis])


def _between_values(told: dict[tuple[str, float, float], Lanes], hue: str, value: float, chroma: float) -> Lanes | None:
    low, high = (_between_chromas(told, hue, float(each), chroma) for each in (np.floor(value), np.ceil(value)))
    if low is None or high is None:
        return None
    dark, here, bright = np.asarray(luminance_of_value(np.array([np.floor(value), value, np.ceil(value)])))
    return low if dark == bright else low + (high - low) * (here - dark) / (bright - dark)


def _between_chromas(told: dict[tuple[str, float, float], Lanes], hue: str, value: float,
                     chroma: float) -> Lanes | None:
    low, high = 2 * float(chroma // 2), 2 * float(-(-chroma // 2))
    places = [np.array(C_WHITE) if each == 0.0 else told.get((hue, value, each)) for each in (low, high)]
    if places[0] is None or places[1] is None:
        return None
    return np.asarray(places[0] if low == high else places[0] + (places[1] - places[0]) * (chroma - low) / (high - low))


def lab_of(xyz: Lanes) -> Lanes:
    """Which CIELAB color is this under illuminant C?

    Parameters
    ----------
    xyz : (X, Y, Z) a row, Y 1 for a perfect white. [1]

    Returns
    -------
    (L*, a*, b*) a row. [CIELAB units]

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    CIE 15, Colorimetry: CIELAB (memory).

    Examples
    --------
    >>> lab_of(np.array([0.2, 0.2, 0.2])).round(1).tolist()
    [51.8, 1.9, 6.3]
    """
    share = xyz / _white(C_WHITE)
    root = np.where(share > EPSILON, np.cbrt(share), (KAPPA * share + 16) / 116)
    return np.stack([116 * root[..., 1] - 16, 500 * (root[..., 0] - root[..., 1]),
                     200 * (root[..., 1] - root[..., 2])], axis=-1)


def _white(place: tuple[float, float]) -> Lanes:
    x, y = place
    return np.array([x / y, 1.0, (1 - x - y) / y])


def lab_beside_white(over: Lanes, white: float) -> Lanes:
    """Which CIELAB color has what is seen beside a white, under illuminant C?

    Parameters
    ----------
    over : (red, green, blue) in linear light over those of the white, a row. [1], 0 or more
    white : what the white gives back of the light. [1], 0 to 1

    Returns
    -------
    (L*, a*, b*) a row. [CIELAB units]

    Raises
    ------
    OutOfRange : a white outside 0.5 to 1.

    Notes
    -----
    The channels are taken for those of sRGB once the white is white; a camera's own differ.

    References
    ----------
    IEC 61966-2-1 (sRGB); adaptation from D65 to C in the receptors of Bradford (both memory).

    Examples
    --------
    >>> lab_beside_white(np.array([0.2, 0.15, 0.1]), 0.87).round(1).tolist()
    [43.7, 2.4, 12.3]
    """
    light = np.asarray(over) * within("white", white, 0.5, 1.0, "1")
    d65 = SRGB_TO_XYZ.sum(axis=1)
    turned = np.linalg.inv(CONES) @ np.diag(CONES @ _white(C_WHITE) / (CONES @ d65)) @ CONES
    return lab_of(light @ (turned @ SRGB_TO_XYZ).T)


def chip_of(lab: Lanes, off: Lanes) -> ChipDoubt:
    """Which chip comes nearest to a color, and which others may be meant?

    Parameters
    ----------
    lab : (L*, a*, b*) under illuminant C. [CIELAB units]
    off : standard errors of the three. [CIELAB units], 0 or more

    Returns
    -------
    ChipDoubt(nearest, away, beyond, near, hue, value, chroma). [CIELAB units]

    Raises
    ------
    Nothing.

    Notes
    -----
    Nearest by the straight distance. The color is drawn 2,000 times within its errors, normal, with a fixed seed; a
    chip's share is how often it was the nearest. Every chip is as likely as another beforehand (JUDGEMENT): a soil of
    the place is not known.

    References
    ----------
    CIE 15: the CIELAB color difference of 1976 (memory); JUDGEMENT for the shares.

    Examples
    --------
    >>> found = chip_of(np.array([30.0, 3.5, 12.5]), np.full(3, 1.0))
    >>> found.nearest.notation, round(found.away, 2)
    ('10YR 3/2', 0.55)
    """
    chips, colors = soil_chips()
    distance = np.linalg.norm(colors - lab, axis=1)
    first = int(np.argmin(distance))
    on_chart = np.array([np.clip(lab[0], colors[:, 0].min(), colors[:, 0].max()), lab[1], lab[2]])
    drawn = lab + np.random.default_rng(SEED).standard_normal((DRAWS, 3)) * off
    hit = np.argmin(((drawn[:, np.newaxis] - colors) ** 2).sum(axis=2), axis=1)
    shares = np.bincount(hit, minlength=len(chips)) / DRAWS
    likely = [each for each in np.argsort(-shares, kind="stable") if shares[each] >= LEAST_SHARE]
    value, chroma = (_nine_in_ten(np.array([chips[each][at] for each in hit])) for at in (2, 3))
    return ChipDoubt(chips[first], float(np.linalg.norm(colors - on_chart, axis=1).min()),
                     abs(float(lab[0] - on_chart[0])) > BEYOND,
                     tuple((chips[each], float(shares[each])) for each in likely),
                     _hues(chips, hit) if chips[first].chroma else None, value, chroma)


def _hues(chips: tuple[Chip, ...], hit: NDArray[np.intp]) -> tuple[str, str] | None:
    order = [*dict.fromkeys(chip.hue for chip in chips if chip.chroma)]
    low, high = (int(each) for each in _nine_in_ten(np.array([order.index(chips[each].hue) for each in hit
                                                             if chips[each].chroma])))
    return (order[low], order[high]) if high - low <= len(order) / 2 else None


def _nine_in_ten(drawn: Lanes) -> tuple[float, float]:
    low, high = np.quantile(drawn, ((1 - SURE) / 2, (1 + SURE) / 2), method="nearest")
    return float(low), float(high)
