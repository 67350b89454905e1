"""What a look not yet taken would say of causes outside the soil: each answer, how likely it is, what it leaves."""

from __future__ import annotations

from dataclasses import dataclass

from rootcase.casework.draws import FloatArray
from rootcase.casework.explain.ground import Ground
from rootcase.casework.explain.signs.looks import newest, signs_read
from rootcase.casework.explain.signs.signs import network_at
from rootcase.science.inference.noisy_or import ABSENT, judge, sign_chances
from rootcase.tables.load import table


@dataclass(frozen=True, slots=True)
class LookAhead:
    """A sign nobody looked for."""

    kind: str
    """The reading that tells it, a code of the catalogue."""
    sign: str
    chance: float
    """That it is there."""
    alone_if_there: float
    """Chance that nothing outside the soil takes growth, before the growth that was seen, once the sign is seen."""
    alone_if_not: float


def looks_ahead(ground: Ground, losses: FloatArray) -> tuple[LookAhead, ...]:
    """What each sign nobody looked for would say.

    Parameters
    ----------
    ground : what was read at the tree and around it.
    losses : (6, draws) what each limit of the soil takes, forward, before any growth was seen. Shares

    Returns
    -------
    LookAhead, in the order of the table of signs.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Exact, by the same network as `signs_of` and Bayes's rule. A reading that was made tells its other signs no more.

    References
    ----------
    Tables explain/causes, explain/cause_hosts, explain/signs, explain/cause_signs: JUDGEMENT.

    Examples
    --------
    >>> import numpy as np
    >>> look = looks_ahead(Ground("lawn", {}), np.full((6, 10), 0.05))[0]
    >>> meant = look.chance * look.alone_if_there + (1.0 - look.chance) * look.alone_if_not
    >>> look.kind, look.alone_if_there < look.alone_if_not, round(meant, 9)
    ('root_flare_state', True, 0.7)
    """
    read = signs_read(ground)
    web, found = network_at(ground, losses, read)
    growing = found.copy()
    growing[-1] = ABSENT
    alone = float(judge(web.network, growing).evidence / judge(web.network, found).evidence)
    there, there_growing = sign_chances(web.network, found), sign_chances(web.network, growing)
    open_to = {sign: (float(there[at]), float(alone * there_growing[at] / there[at]),
                      float(alone * (1.0 - there_growing[at]) / (1.0 - there[at])))
               for at, sign in enumerate(web.signs) if sign not in read and 0.0 < there[at] < 1.0}
    rows = [row for row in table("explain/signs").rows if row["sign"] in open_to]
    return tuple(LookAhead(str(row["reading"]), str(row["sign"]), *open_to[row["sign"]])
                 for row in rows if not newest(ground, row["reading"]))
