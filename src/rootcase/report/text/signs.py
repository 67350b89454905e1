"""What the signs say of causes outside the soil: two or three best, how sure, what would tell; never "fine"."""

from __future__ import annotations

from rootcase.ground.words import say
from rootcase.records.explain import Explanation
from rootcase.records.signs import OutsideCause, SignRead, Signs, SplittingLook
from rootcase.report.text.cases import SHOOTS, TreeCase
from rootcase.report.text.causes import LIKELY, MAYBE, main_cause, word_of
from rootcase.report.text.figures import known, listed, sentence
from rootcase.report.text.naming import looked_for, named_kinds, names
from rootcase.report.text.statements import Statement, of_tree
from rootcase.tables.readings import kinds

MOST_NAMED = 3
WORTH_NAMING = 0.05
"""A cause under it is not named where nothing better is known. JUDGEMENT."""
WORTH_A_LOOK = 0.05
"""Bits of doubt under which no look is proposed. JUDGEMENT."""
SOIL_TAKES_POINTS = 10.0
"""From here on the soil invites what follows a weak root zone. JUDGEMENT, as table prescribe/effects has it."""
OPENS_GROUND = "soil_unfrozen"
"""The season of kinds that are dug or probed for."""


def signs_told(case: TreeCase) -> list[Statement]:
    """Return what is said of causes outside the soil, the finding first; empty where nothing was explained."""
    explanation = case.explanation
    if explanation is None or explanation.signs is None:
        return []
    signs, outside = explanation.signs, not_a_soil_case(explanation)
    named = best_causes(signs)
    said = ["" if _told_by_the_verdict(case) else _finding(signs, explanation, outside),
            *(_cause(cause) for cause in named), _there_all_the_same(signs),
            *(_follows(cause, signs, explanation) for cause in named)]
    if outside or named:
        said += [_stays(signs), _look(signs.look)]
    about = (of_tree(explanation.tree_id, "signs"),) if signs.looked_at else ()
    return [Statement(text, about if at == 0 else ()) for at, text in enumerate(text for text in said if text)]


def read_next(trees: list[str]) -> list[str]:
    """Return that trees whose growth nobody read are read at the next visit; nothing where there are none."""
    return [say("offer.due.wanted", what=looked_at(SHOOTS), trees=names(trees))] if trees else []


def not_looked_for(case: TreeCase) -> str:
    """Return which signs nobody looked for, where the soil does not explain the growth."""
    explanation = case.explanation
    if explanation is None or explanation.signs is None or not not_a_soil_case(explanation):
        return ""
    kinds_left = explanation.signs.not_looked_at
    return say("signs.not_looked", kinds=named_kinds(list(kinds_left))) if kinds_left else ""


def not_a_soil_case(explanation: Explanation) -> bool:
    """Whether a cause outside the soil leads, once the growth that was seen is taken in."""
    return main_cause(explanation).name == "other"


def best_causes(signs: Signs) -> list[OutsideCause]:
    """Return the causes that are likely or maybe, best first."""
    return [cause for cause in signs.causes[:MOST_NAMED] if cause.chance > MAYBE]


def look_for(explanation: Explanation | None) -> str:
    """Return the causes to look for; where none is worth naming, where to look."""
    causes = _worth_naming(explanation.signs) if explanation and explanation.signs else []
    return say("signs.look_for", causes="; ".join(causes)) if causes else say("signs.look_for_any")


def change_of_mind_outside(explanation: Explanation) -> str:
    """Return what would change our mind about the best cause outside the soil; empty where none is likely or maybe."""
    named = best_causes(explanation.signs) if explanation.signs else []
    return say(f"signs.mind.{named[0].cause}") if named else ""


def signs_readings(signs: Signs) -> tuple[str, ...]:
    """Return the ids of the readings that told of a sign of any cause."""
    told = (each.reading_ids for cause in signs.causes for each in (*cause.signs_for, *cause.signs_against))
    return tuple(dict.fromkeys(i for ids in told for i in ids))


def _told_by_the_verdict(case: TreeCase) -> bool:
    return case.prescription is not None and case.prescription.reason == "not_the_soil"


def _finding(signs: Signs, explanation: Explanation, outside: bool) -> str:
    if outside:
        return say("signs.outside", look_for=look_for(explanation))
    if not signs.looked_at:
        return say("signs.nobody_looked")
    if best_causes(signs):
        return ""
    first = signs.causes[0]
    seen = any(cause.signs_for for cause in signs.causes)
    return say("signs.none_stands_out", cause=cause_name(first.cause),
               odds=odds(first.chance)) if seen else say("signs.nothing_points")


def _worth_naming(signs: Signs) -> list[str]:
    return [say("signs.how_sure_there" if _only_there(cause) else "signs.how_sure", cause=cause_name(cause.cause),
                word=_word(cause.chance), odds=odds(cause.chance))
            for cause in signs.causes[:MOST_NAMED] if cause.chance >= WORTH_NAMING]


def _only_there(cause: OutsideCause) -> bool:
    """It is there as good as surely, and that it takes growth is not known."""
    return cause.chance_there > LIKELY and cause.chance <= MAYBE


def _cause(cause: OutsideCause) -> str:
    said = [say("signs.cause_is", cause=sentence(cause_name(cause.cause)), word=_word(cause.chance))]
    if cause.signs_for:
        said.append(say("signs.seen", signs=_listed(cause.signs_for)))
    if cause.signs_against:
        said.append(say("signs.against", signs=_listed(cause.signs_against)))
    return " ".join(said)


def _there_all_the_same(signs: Signs) -> str:
    there = [cause_name(cause.cause) for cause in signs.causes if _only_there(cause)]
    return say("signs.there", causes=sentence(listed(there))) if there else ""


def _follows(cause: OutsideCause, signs: Signs, explanation: Explanation) -> str:
    """A follower beside what may have invited it: both can be true."""
    there = [other.cause for other in signs.causes if other.cause in cause.may_follow and other.chance_there > MAYBE]
    takes = max(limit.points.mean for limit in explanation.limits)
    if not there and "soil" in cause.may_follow and takes >= SOIL_TAKES_POINTS:
        return say("signs.follows", cause=sentence(cause_name(cause.cause)), first=say("signs.weak_soil"))
    if not there:
        return ""
    first = listed([cause_name(code) for code in there])
    return say("signs.follows", cause=sentence(cause_name(cause.cause)), first=first)


def _stays(signs: Signs) -> str:
    tenths = min(round(10 * signs.first_stays), 10 if signs.first_stays == 1.0 else 9)
    return say("signs.stays", cause=sentence(cause_name(signs.causes[0].cause)), tenths=tenths)


def _look(look: SplittingLook | None) -> str:
    if look is None or look.bits < WORTH_A_LOOK:
        return say("signs.no_look")
    first, second = (cause_name(code) for code in look.between)
    return say("signs.look", first=first, second=second, what=looked_at(look.kind), how=how_to_look(look))


def how_to_look(look: SplittingLook) -> str:
    """Return with what a look at the signs is taken, for how long and when, and what comes before."""
    minutes = max(round(look.minutes), 1)
    how = [look.tools, say("report.next.minute") if minutes == 1 else say("report.next.minutes", minutes=minutes),
           say(f"report.next.season.{look.season}")]
    if kinds()[look.kind].season == OPENS_GROUND:
        how.append(say("report.next.lines"))
    return "; ".join(how)


def look_first(explanation: Explanation) -> str:
    """Return the look at the signs that comes before any reading of the soil; empty where the soil leads."""
    look = explanation.signs.look if explanation.signs and not_a_soil_case(explanation) else None
    return "" if look is None or look.bits < WORTH_A_LOOK else looked_at(look.kind)


def looked_at(kind: str) -> str:
    """Return what to look at, with what has to be opened before.

    >>> looked_at("encircling_share")
    "open the collar, and see how much of the trunk's girth roots squeeze"
    """
    return say(f"signs.opened.{kind}") if known(f"signs.opened.{kind}") else looked_for([kind])


def first_look(kind: str, trees: str) -> str:
    """Return what is proposed at trees where a cause outside the soil leads: what of its signs is looked at first.

    >>> first_look("encircling_share", "oak 6")
    'Open the collar at oak 6 first, before the soil is read or worked (about 20 minutes; buried lines located first).'
    """
    about = kinds()[kind]
    how = [say("report.next.minutes", minutes=max(round(about.minutes), 2))]
    if about.season == OPENS_GROUND:
        how.append(say("report.next.lines"))
    form = "collar" if known(f"signs.opened.{kind}") else "other"
    return say(f"signs.first.{form}", trees=trees, what=looked_at(kind), how="; ".join(how))


def odds(chance: float) -> str:
    """Return a chance as so many in ten.

    >>> odds(0.78), odds(0.02), odds(0.99)
    ('8 in 10', 'under 1 in 10', 'over 9 in 10')
    """
    tenths = round(10 * chance)
    return say("signs.under") if tenths < 1 else say("signs.over") if tenths > 9 else say("signs.odds", tenths=tenths)


def _word(chance: float) -> str:
    return say(f"signs.word.{word_of(chance).replace(' ', '_')}")


def cause_name(code: str) -> str:
    """Return what a cause outside the soil is called."""
    return say(f"signs.cause.{code}")


def _listed(signs: tuple[SignRead, ...]) -> str:
    return "; ".join(say(f"signs.sign.{each.sign}") for each in signs)
