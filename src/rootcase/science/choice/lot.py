"""Like trees in pairs, and the lot that says which of two goes without."""

from __future__ import annotations

from hashlib import sha256

import numpy as np
import numpy.typing as npt

from rootcase.ground.errors import OutOfRange, require_range

FloatArray = npt.NDArray[np.float64]

MOST_SEED = 2**63 - 1


def left_out(seed: int, one: str, other: str) -> str:
    """Which of two the lot leaves out.

    Parameters
    ----------
    seed : of the lot, a whole number, 0 to 2^63 - 1.
    one, other : ids of the two, not the same; their order does not matter.

    Returns
    -------
    The id of the one that is left out.

    Raises
    ------
    OutOfRange : the seed leaves its range, or both ids are the same.

    Notes
    -----
    SHA-256 of: the seed in decimal figures, then the SHA-256 in hexadecimal of each id's UTF-8 bytes, the two in rising
    order, all three joined by single spaces. Is the last bit of the digest 0, the id whose own digest comes first is
    left out, else the other. So nothing but seed and ids enters, anyone can draw again by hand in any language, and it
    stays the same for ever: the hash is a standard, while a library's random numbers may change with its version.

    References
    ----------
    NIST 2015, Secure Hash Standard, FIPS 180-4 (memory). numpy promises no fixed stream of its Generator: NEP 19, 2018
    (memory).

    Examples
    --------
    >>> left_out(7, "oak 1", "oak 2") == left_out(7, "oak 2", "oak 1")
    True
    >>> sorted({left_out(seed, "oak 1", "oak 2") for seed in range(8)})
    ['oak 1', 'oak 2']
    """
    if not 0 <= seed <= MOST_SEED:
        raise OutOfRange("the lot's seed is outside its range", value=str(seed),
                         right=f"it must lie between 0 and {MOST_SEED}")
    if one == other:
        raise OutOfRange("a lot is drawn between two", value=f'"{one}" twice', right="name two trees")
    (first, first_id), (second, second_id) = sorted((sha256(an_id.encode("utf-8")).hexdigest(), an_id)
                                                    for an_id in (one, other))
    drawn = sha256(f"{seed} {first} {second}".encode("ascii")).digest()
    return second_id if drawn[-1] & 1 else first_id


def like_pairs(apart: npt.ArrayLike) -> tuple[tuple[int, int], ...]:
    """Pairs of things, the most alike first; each thing in one pair at most.

    Parameters
    ----------
    apart : (n, n) how far two things are apart, >= 0, the same both ways; infinite where they may not be paired. [-]

    Returns
    -------
    (lower index, higher index) of each pair, the pairs in rising order of their distance.

    Raises
    ------
    OutOfRange : a distance is below zero or not a number, or the table is not square.

    Notes
    -----
    The two nearest are paired, then the two nearest of the rest, until no two may be paired; of equal distances the
    lower indices first. So the best pairs are as good as they can be, while one pair more might be had by worse ones.

    References
    ----------
    Greedy matching: JUDGEMENT; pairing before a lot is common practice, no source.

    Examples
    --------
    >>> like_pairs([[0.0, 2.0, 1.0], [2.0, 0.0, 5.0], [1.0, 5.0, 0.0]])
    ((0, 2),)
    """
    far: FloatArray = np.asarray(apart, dtype=float)
    if far.ndim != 2 or far.shape[0] != far.shape[1]:
        raise OutOfRange("distances are not a square table", value=str(far.shape), right="(n, n)")
    require_range("apart", far, 0.0, np.inf, "")
    rows, columns = np.triu_indices(far.shape[0], 1)
    order = np.lexsort((columns, rows, far[rows, columns]))
    taken: set[int] = set()
    pairs = []
    for at in order.tolist():
        one, other = int(rows[at]), int(columns[at])
        if np.isfinite(far[one, other]) and not {one, other} & taken:
            taken |= {one, other}
            pairs.append((one, other))
    return tuple(pairs)
