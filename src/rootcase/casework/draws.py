"""Random streams that belong to one thing, so that another tree on the property changes no figure of this one."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]


def stream(seed: int, *names: str) -> np.random.Generator:
    """The random stream of one purpose at one thing.

    Parameters
    ----------
    seed : start of all streams of a piece of casework, 0 or above.
    names : what it is for and whose it is, such as ("explain", tree id).

    Returns
    -------
    numpy Generator (PCG64), the same for the same seed and names.

    Raises
    ------
    Nothing.

    Notes
    -----
    The bytes of the names are part of the seed, hashed by numpy's SeedSequence.

    References
    ----------
    O'Neill 2014, PCG: a family of simple fast space-efficient statistically good algorithms for random number
    generation (memory).

    Examples
    --------
    >>> bool(stream(1, "a", "b").random() == stream(1, "a", "b").random() != stream(1, "ab").random())
    True
    """
    return np.random.default_rng([seed, *"\0".join(names).encode()])


class Middle:
    """Stands for a generator and gives the middle of what one would draw, so that no chance enters."""

    def standard_normal(self, size: int | tuple[int, ...]) -> FloatArray:
        return np.zeros(size)

    def random(self, size: int) -> FloatArray:
        return np.full(size, 0.5)

    def permutation(self, count: int) -> npt.NDArray[np.int64]:
        return np.arange(count)

    def dirichlet(self, alpha: FloatArray, size: int) -> FloatArray:
        return np.tile(alpha / alpha.sum(), (size, 1))

    def choice(self, count: int, size: int, p: FloatArray) -> npt.NDArray[np.int64]:
        """The likeliest, the first of several alike."""
        return np.full(size, int(np.argmax(p[:count])))


def observed_share(log_share_draws: FloatArray | None, draws: int, rng: np.random.Generator) -> FloatArray | None:
    """Draws of the observed share, to be set beside as many draws of the predicted one.

    Parameters
    ----------
    log_share_draws : draws of ln(share) from the comparison, any number; None: nothing was observed.
    draws : how many are wanted, above 0.
    rng : the generator.

    Returns
    -------
    (draws,) share of the yardstick's growth. [-]; None where nothing was observed.

    Raises
    ------
    Nothing.

    Notes
    -----
    Observation and prediction are independent, so the draws are shuffled; where as many are wanted as there are, or
    a multiple, each is taken as often as another and their mean stays what it was.

    References
    ----------
    None: bootstrap of draws; JUDGEMENT that the two are independent.

    Examples
    --------
    >>> taken = observed_share(np.log([0.1, 0.2, 0.3]), 3, np.random.default_rng(1))
    >>> sorted(taken.round(6).tolist())
    [0.1, 0.2, 0.3]
    """
    if log_share_draws is None:
        return None
    have = log_share_draws.size
    evenly = draws % have == 0
    chosen = rng.permutation(np.tile(np.arange(have), draws // have)) if evenly else rng.integers(have, size=draws)
    shares: FloatArray = np.exp(log_share_draws[chosen])
    return shares
