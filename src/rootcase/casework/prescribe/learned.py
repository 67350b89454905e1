"""What the practice's own trials say of a remedy, in the place of the handbook's rates at one tree."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from rootcase.casework.draws import FloatArray
from rootcase.casework.prescribe.states import MULCHED_TOO, TIMES, Rates
from rootcase.records.outlook import NOTHING
from rootcase.records.prove import SignedEffect
from rootcase.science.trials.carried import growth_times, log_ratio, size_here

Shares = Mapping[str, FloatArray]
"""Share of the yardstick's growth under each remedy by itself, by the handbook: (5, draws) each."""


def beside_what(remedy: str) -> str:
    """What the untreated trees of a trial of a remedy get.

    Parameters
    ----------
    remedy : its code.

    Returns
    -------
    Code of a remedy, "nothing" where they get nothing.

    Raises
    ------
    Nothing.

    Notes
    -----
    Where the thing in doubt is covered with chips, the ground of the untreated gets the chips.

    References
    ----------
    None; bookkeeping (computed).

    Examples
    --------
    >>> beside_what("air_tillage"), beside_what("extract")
    ('mulch', 'nothing')
    """
    return "mulch" if remedy in MULCHED_TOO else NOTHING


def learned_rates(learned: Iterable[SignedEffect], rates: Mapping[str, Rates], shares: Shares,
                  normals: Callable[[str], FloatArray]) -> dict[str, Rates]:
    """Rates of the remedies of which trials were signed and that the model may expect something of at this tree.

    Parameters
    ----------
    learned : what was signed, of each remedy once.
    rates : the handbook's draws by remedy.
    shares : growth by the handbook under each remedy by itself, "nothing" among them.
    normals : standard normal draws for a remedy, as many as its rates have.

    Returns
    -------
    Rates by remedy, with what growth is multiplied by under `TIMES`; a remedy that is not among them keeps the
    handbook's.

    Raises
    ------
    OutOfRange : an effect outside its range.

    Notes
    -----
    The trials' posterior takes the place of the handbook's spread and is not multiplied into it, so that neither what
    was believed before nor what was read at a tree is counted twice: the tree's own growth today is left as it is.

    References
    ----------
    docs/decisions/0008-trials-replace-the-handbook.md: JUDGEMENT.

    Examples
    --------
    >>> import numpy as np
    >>> from datetime import date
    >>> said = SignedEffect(remedy="extract", mean=0.2, sd=0.0, promised=None, tree_ids=("t", "u"), properties=1,
    ...                     seasons=1, by="rs", day=date(2015, 11, 4))
    >>> shares = {"nothing": np.full((5, 2), 0.5), "extract": np.full((5, 2), 0.5)}
    >>> found = learned_rates([said], {"nothing": {}, "extract": {}}, shares, lambda remedy: np.zeros(2))
    >>> found["extract"]["times"].round(3).tolist()
    [1.221, 1.221]
    """
    found: dict[str, Rates] = {}
    for said in learned:
        if said.remedy not in shares:
            continue
        beside = beside_what(said.remedy)
        grown, grown_beside = (max(float(shares[code].mean()), 1e-6) for code in (said.remedy, beside))
        size = size_here(log_ratio(grown, grown_beside), said.promised)
        if size is not None:
            found[said.remedy] = {**rates[beside],
                                  TIMES: growth_times(said.mean, said.sd, size, normals(said.remedy))}
    return found
