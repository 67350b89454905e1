"""What the signs leave of the causes outside the soil, and the look that would split the two best."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from rootcase.casework.draws import FloatArray, stream
from rootcase.casework.explain.ground import Ground
from rootcase.casework.explain.signs.looks import Looked, newest, signs_read
from rootcase.casework.explain.signs.web import Web, judged_otherwise, once_a_reading, web_of
from rootcase.records.signs import OutsideCause, SignRead, Signs, SplittingLook
from rootcase.science.inference.noisy_or import ABSENT, NOT_LOOKED, PRESENT, judge, look_bits
from rootcase.tables.load import table
from rootcase.tables.readings import kinds

AT_THE_COLLAR = ("buried_flare", "girdling_roots")
TRIES = 200
WORTH_SEEING = 0.10
"""Share of the yardstick's growth from which a limit of the soil is taken to be there. JUDGEMENT, as table
prescribe/effects has it."""
MOST_PRESENT = 12
"""More signs seen than this are not counted out: the most telling are taken. JUDGEMENT, for speed."""


def signs_of(tree_id: str, ground: Ground, losses: FloatArray, likelihoods: tuple[float, float] | None, *,
             seed: int) -> Signs:
    """How likely is each cause outside the soil at a tree, and what would tell?

    Parameters
    ----------
    tree_id : id of the tree.
    ground : what was read at the tree and around it.
    losses : (6, draws) what each limit of the soil takes, forward, before any growth was seen. Shares
    likelihoods : of the growth that was seen, with the soil alone and with another cause; None: none was seen. 0 to 1
    seed : start of the random streams.

    Returns
    -------
    Signs. Chances, 0 to 1.

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Exact inference in a noisy-OR network. The growth that was seen enters once, as virtual evidence on growth held
    back from outside the soil, and moves no cause before another: given the signs and that something takes growth, a
    cause takes it with its chance times `takes_growth`. The limits of the soil are priors from the forward model, so
    the growth is not in them. The tries halve, keep or double every judged number by lot.

    References
    ----------
    docs/signs.md. Tables explain/causes, explain/cause_hosts, explain/signs, explain/cause_signs: JUDGEMENT.

    Examples
    --------
    >>> unread = signs_of("t", Ground("lawn", {}), np.full((6, 10), 0.05), None, seed=1)
    >>> round(unread.chance_soil_alone, 9), unread.looked_at, unread.causes[0].cause
    (0.7, (), 'girdling_roots')
    """
    read = signs_read(ground)
    web, found = network_at(ground, losses, read)
    there = judge(web.network, found)
    alone = float(judge(web.network, _with_growth(found, ABSENT)).evidence / there.evidence)
    soil, other = likelihoods or (1.0, 1.0)
    lifted = other / (alone * soil + (1.0 - alone) * other)
    takes = web.takes_growth * there.causes[:len(web.causes)]
    grown = _with_growth(found, (soil, other))
    with_growth = judge(web.network, grown).causes
    best = np.argsort(-takes, kind="stable")
    made = {kind for kind in _kinds_of_signs() if newest(ground, kind)}
    return Signs(
        causes=tuple(_cause(web, int(at), float(lifted * takes[at]), float(with_growth[at]), read) for at in best),
        chance_unlisted=lifted * web.unlisted, chance_soil_alone=alone, chance_outside=lifted * (1.0 - alone),
        first_stays=_first_stays(web, found, int(best[0]), stream(seed, "signs", tree_id)), tries=TRIES,
        look=_splitting_look(web, grown, (int(best[0]), int(best[1])), made, read),
        looked_at=tuple(kind for kind in _kinds_of_signs() if kind in made),
        not_looked_at=tuple(kind for kind in _kinds_of_signs() if kind not in made))


def network_at(ground: Ground, losses: FloatArray, read: Mapping[str, Looked]) -> tuple[Web, FloatArray]:
    """The network at a tree and what was found of its signs, growth left open.

    Parameters
    ----------
    ground : what was read at the tree and around it.
    losses : (6, draws) what each limit of the soil takes, forward, before any growth was seen. Shares
    read : the signs that were looked for.

    Returns
    -------
    (network, (signs,) likelihoods of each being absent and present)

    Raises
    ------
    Missing : a table lacks what is needed.

    Notes
    -----
    Of many signs seen the most telling are taken. One reading speaks for or against a cause once.

    References
    ----------
    As `web_of` and `once_a_reading`.

    Examples
    --------
    >>> web, found = network_at(Ground("lawn", {}), np.full((6, 10), 0.05), {})
    >>> found.shape == (len(web.signs) + 1, 2), bool((found == NOT_LOOKED).all())
    (True, True)
    """
    species = next((str(r.choice) for r in newest(ground, "species") if r.choice), "")
    web = web_of(species, [float(np.mean(loss >= WORTH_SEEING)) for loss in losses])
    return once_a_reading(web, read), _evidence(web, read)


def flare_in_doubt(signs: Signs | None) -> bool:
    """Whether the collar is to be opened before anything else is done about a cause outside the soil.

    Parameters
    ----------
    signs : of a tree; None: nothing is known of them.

    Returns
    -------
    True where a buried flare or girdling roots are among the two best causes and something read speaks for it or
    nothing against it, or nothing is known.

    Raises
    ------
    Nothing.

    Notes
    -----
    None.

    References
    ----------
    Collar first, since it is cheap and often skipped: common practice, no source.

    Examples
    --------
    >>> flare_in_doubt(None)
    True
    """
    return signs is None or any(cause.cause in AT_THE_COLLAR and bool(cause.signs_for or not cause.signs_against)
                                for cause in signs.causes[:2])


def _kinds_of_signs() -> tuple[str, ...]:
    return tuple(dict.fromkeys(str(row["reading"]) for row in table("explain/signs").rows))


def _evidence(web: Web, read: Mapping[str, Looked]) -> FloatArray:
    """What was found, sign by sign; growth is not in it yet."""
    seen = [at for at, sign in enumerate(web.signs) if sign in read and read[sign].present]
    telling = sorted(seen, key=lambda at: web.network.leaks[at])[:MOST_PRESENT]
    found = np.array([NOT_LOOKED] * (len(web.signs) + 1))
    for at, sign in enumerate(web.signs):
        if at in telling:
            found[at] = PRESENT
        elif sign in read and not read[sign].present:
            found[at] = ABSENT
    return found


def _with_growth(found: FloatArray, pair: tuple[float, float]) -> FloatArray:
    return np.concatenate([found[:-1], [pair]])


def _cause(web: Web, at: int, takes: float, there: float, read: Mapping[str, Looked]) -> OutsideCause:
    row = table("explain/causes").row(cause=web.causes[at])
    weights, leaks = web.network.weights[at, :-1], web.network.leaks
    linked = sorted(np.flatnonzero(weights), key=lambda sign: leaks[sign] / weights[sign])
    told = [(read[web.signs[sign]], web.signs[sign]) for sign in linked if web.signs[sign] in read]
    return OutsideCause(
        cause=web.causes[at], chance=takes, chance_there=there,
        signs_for=tuple(SignRead(sign, each.reading_ids) for each, sign in told if each.present),
        signs_against=tuple(SignRead(sign, each.reading_ids) for each, sign in told if not each.present),
        first_look=str(row["first_look"]),
        may_follow=tuple(code for code in str(row["may_follow"]).split("|") if code))


def _first_stays(web: Web, found: FloatArray, first: int, rng: np.random.Generator) -> float:
    """Growth is left out: it lifts every cause alike."""
    otherwise = judged_otherwise(web, TRIES, rng)
    takes = otherwise.takes_growth * judge(otherwise.network, found).causes[:, :len(web.causes)]
    return float(np.mean(takes.argmax(axis=1) == first))


def _splitting_look(web: Web, found: FloatArray, two: tuple[int, int], made: set[str],
                    read: Mapping[str, Looked]) -> SplittingLook | None:
    """Of the readings nobody made, the one whose sign takes most from the doubt which of the two is there."""
    bits = look_bits(web.network, found, two)
    open_to = [(float(bits[web.signs.index(str(row["sign"]))]), str(row["sign"]), str(row["reading"]))
               for row in table("explain/signs").rows if row["reading"] not in made and row["sign"] not in read]
    if not open_to:
        return None
    most, sign, kind = max(open_to, key=lambda each: each[0])
    about = kinds()[kind]
    first, second = (web.causes[at] for at in two)
    return SplittingLook(kind, sign, (first, second), most, about.minutes, most / max(about.minutes, 0.1), about.tools,
                         about.season) if most > 0.0 else None
