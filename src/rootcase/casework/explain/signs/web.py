"""The network of signs from its tables: causes outside the soil, the soil's limits beside them, growth held back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.signs.looks import Looked
from rootcase.ground.errors import Missing
from rootcase.records.explain import LIMITS
from rootcase.science.inference.noisy_or import NoisyOr
from rootcase.science.inference.posterior import CHANCE_SOIL_ALONE
from rootcase.tables.load import table

FACTORS = (0.5, 1.0, 2.0)
MOST = 0.99
"""No doubled chance goes above it."""


@dataclass(frozen=True, slots=True)
class Web:
    """Causes and signs by their codes; the network's last sign is that growth is held back from outside the soil."""

    causes: tuple[str, ...]
    """Those of the table; in the network the limits of the soil follow them."""
    signs: tuple[str, ...]
    network: NoisyOr

    @property
    def takes_growth(self) -> FloatArray:
        """(..., causes)"""
        return self.network.weights[..., :len(self.causes), -1]

    @property
    def unlisted(self) -> float:
        """Chance that what no row names takes growth."""
        return float(self.network.leaks[-1])


def web_of(species: str, soil_chances: Sequence[float]) -> Web:
    """The network of signs at one tree.

    Parameters
    ----------
    species : botanical name, or empty where nobody knows it.
    soil_chances : that each limit of the soil takes growth worth seeing, in the order of LIMITS. 0 to 1

    Returns
    -------
    Web.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    All weights are net. What no row names takes growth as often as is left to the chance that anything outside the
    soil does where no sign was read: a host or a changed prior moves doubt between causes, not that chance, as long as
    the rows do not exceed it. Limits of the soil explain signs away; of what holds growth back they are no part.

    References
    ----------
    Tables explain/causes, explain/cause_hosts, explain/signs, explain/cause_signs: JUDGEMENT.

    Examples
    --------
    >>> maple, oak = (web_of(kind, [0.2] * 6) for kind in ("Acer rubrum", "Quercus rubra"))
    >>> at = oak.causes.index("girdling_roots")
    >>> float(maple.network.priors[at]), float(oak.network.priors[at]), maple.unlisted < oak.unlisted
    (0.16, 0.1, True)
    >>> [round(float((1 - web.unlisted) * (1 - web.network.priors[:15] * web.takes_growth).prod()), 9)
    ...  for web in (maple, oak)]
    [0.7, 0.7]
    """
    rows = table("explain/causes").rows
    hosts = {row["cause"]: row["prior"] for row in table("explain/cause_hosts").rows
             if row["genus"] == species.partition(" ")[0]}
    leaks = {str(row["sign"]): row["leak"] for row in table("explain/signs").rows}
    causes, signs = tuple(str(row["cause"]) for row in rows), tuple(leaks)
    priors = np.array([hosts.get(row["cause"], row["prior"]) for row in rows])
    takes = np.array([row["takes_growth"] for row in rows])
    weights = np.zeros((len(causes) + len(LIMITS), len(signs) + 1))
    weights[:len(causes), -1] = takes
    at = {name: number for number, name in enumerate((*causes, *LIMITS))}
    for row in table("explain/cause_signs").rows:
        if row["cause"] not in at or row["sign"] not in leaks:
            raise Missing("there is no such cause or sign", where="tables/explain/cause_signs",
                          value=f"{row['cause']}, {row['sign']}", right="codes of explain/causes and explain/signs")
        weights[at[row["cause"]], signs.index(row["sign"])] = row["weight"]
    unlisted = max(1.0 - CHANCE_SOIL_ALONE / float((1.0 - priors * takes).prod()), 0.0)
    return Web(causes, signs, NoisyOr(np.concatenate([priors, soil_chances]), weights,
                                      np.array([*leaks.values(), unlisted])))


def once_a_reading(web: Web, read: Mapping[str, Looked]) -> Web:
    """The network in which one reading speaks for or against a cause once.

    Parameters
    ----------
    web : of one tree.
    read : the signs that were looked for.

    Returns
    -------
    Web, some links of signs that are not there taken out.

    Raises
    ------
    Nothing.

    Notes
    -----
    A reading whose answer is one of several signs rules the others out by that answer alone. So a cause that shows the
    one seen is not held against for those, and where none is seen a cause loses by its strongest only. Counted as looks
    of their own, a crown dead from the top spoke against girdling roots twice, for not being one-sided nor patchy.

    References
    ----------
    None: JUDGEMENT that of signs which shut one another out a cause shows any one about as often as its strongest.

    Examples
    --------
    >>> web = web_of("", [0.2] * 6)
    >>> top, side = Looked(True, ("crown",)), Looked(False, ("crown",))
    >>> told = once_a_reading(web, {"from_top": top, "one_side": side})
    >>> [float(told.network.weights[web.causes.index(cause), web.signs.index("one_side")])
    ...  for cause in ("girdling_roots", "heat")]
    [0.0, 0.4]
    """
    weights = web.network.weights.copy()
    of_reading: dict[str, list[str]] = {}
    for sign, looked in read.items():
        for reading in looked.reading_ids:
            of_reading.setdefault(reading, []).append(sign)
    for told in of_reading.values():
        seen, not_there = ([web.signs.index(sign) for sign in told if read[sign].present is there]
                           for there in (True, False))
        if not_there:
            against = weights[:, not_there]
            strongest = np.arange(len(not_there)) == against.argmax(axis=1)[:, None]
            shows = (web.network.weights[:, seen] > 0.0).any(axis=1, keepdims=True)
            weights[:, not_there] = np.where(strongest & ~shows, against, 0.0)
    return replace(web, network=replace(web.network, weights=weights))


def judged_otherwise(web: Web, tries: int, rng: np.random.Generator) -> Web:
    """The network so many times over, each of its judged numbers halved, kept or doubled by lot.

    Parameters
    ----------
    web : of one tree.
    tries : how many, above 0.
    rng : the generator.

    Returns
    -------
    Web whose network has a leading axis of tries.

    Raises
    ------
    Nothing.

    Notes
    -----
    Priors, weights and leaks by themselves, none above 0.99. Chances of the soil's limits come from its model and stay.

    References
    ----------
    None: JUDGEMENT that half and double span what somebody else would have written.

    Examples
    --------
    >>> many = judged_otherwise(web_of("Quercus rubra", [0.2] * 6), 3, np.random.default_rng(1))
    >>> many.network.priors.shape, many.takes_growth.shape, float(many.network.priors[:, -1].max())
    ((3, 21), (3, 15), 0.2)
    """
    def by_lot(numbers: FloatArray) -> FloatArray:
        drawn: FloatArray = numbers * rng.choice(FACTORS, (tries, *numbers.shape))
        return np.minimum(drawn, MOST)

    network, outside = web.network, len(web.causes)
    soil = np.broadcast_to(network.priors[outside:], (tries, len(LIMITS)))
    priors = np.concatenate([by_lot(network.priors[:outside]), soil], axis=1)
    return replace(web, network=NoisyOr(priors, by_lot(network.weights), by_lot(network.leaks)))
