"""What may be said of a tank, on its sheet and to a client."""

from __future__ import annotations

from rootcase.ground.quantity import System, number, show
from rootcase.ground.words import say
from rootcase.records.make.claims import Claims


def claim_heads(claims: Claims, system: System) -> tuple[str, str, str]:
    """What stands over the rows of `claim_rows`."""
    return (say("made.claims.head_what"), say("made.claims.head_tank", rate=show(claims.rate_l_m2, "L/m2", system)),
            say("made.claims.head_there"))


def claim_rows(claims: Claims, system: System) -> tuple[tuple[str, str, str], ...]:
    """What it brings, what the tank holds of it, what is there already."""
    rows = []
    for each in claims.brought:
        there = say("made.claims.nitrogen_there", layer=show(claims.compost_layer_m, "m", system, ("in", "cm")),
                    compost=show(claims.compost_nitrogen_kg_m2, "kg/m2", system),
                    mineral=show(claims.mineral_nitrogen_kg_m2, "kg/m2", system))
        rows.append((say(f"made.claims.{each.element}"),
                     say("made.claims.brought", amount=show(each.kg_m2, "kg/m2", system, ("lb/1000ft2", "g/m2"))),
                     there if each.element == "nitrogen" else say("made.claims.not_compared")))
    alive = claims.organisms
    key = "bacteria_said" if not alive.counted else "bacteria_counted" if alive.pct else "bacteria_none"
    return (*rows, (say("made.claims.bacteria"), say(f"made.claims.{key}", count=_many(alive.per_ml)),
                    say("made.claims.bacteria_there", pct=number(alive.pct),
                        depth=show(alive.depth_m, "m", system, ("in", "cm")))))


def claim_lines(claims: Claims, system: System) -> tuple[str, ...]:
    """What is said below the rows: what each trial found, as its row says."""
    field = (say("made.claims.field", years=number(trial.years), found=trial.found)
             for trial in claims.trials if trial.years and not trial.differs)
    differed = (say("made.claims.differed", rate=show(trial.rate_l_m2, "L/m2", system), found=trial.found)
                for trial in claims.trials if trial.differs and not trial.growth)
    return (say("made.claims.rich"), *_of_growth(claims), *field, say("made.claims.not_same"),
            say("made.claims.count_is_no_change"), say("made.claims.first"), *differed)


def _of_growth(claims: Claims) -> tuple[str, ...]:
    """Whether a trial with landscape trees found a difference in growth, and which."""
    found = tuple(say("made.claims.growth", found=trial.found, source=trial.source)
                  for trial in claims.trials if trial.growth and trial.differs)
    return found or (say("made.claims.no_growth"),)


def claim_sources(claims: Claims) -> tuple[str, ...]:
    """Each source once."""
    return tuple(dict.fromkeys((*(each.source for each in claims.brought), claims.mineral_source,
                                claims.compost_source, claims.organisms.source,
                                *(each.source for each in claims.trials))))


def client_claims(claims: Claims, system: System) -> tuple[str, ...]:
    """The same in the client's words."""
    share = 100.0 * claims.brought[0].kg_m2 / claims.compost_nitrogen_kg_m2
    percent = next(each for each in (0.01, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0) if share < each)
    layer = show(claims.compost_layer_m, "m", system, ("in", "cm"))
    pct = claims.organisms.pct
    life = say("made.claims.client_life", times=number(100.0 / pct, 1)) if pct else say("made.claims.client_none")
    return (say("made.claims.client_little", share=f"{percent:g} %", layer=layer), life, *_of_growth(claims))


def _many(count: float) -> str:
    """Of so many only what they bear: 100 million."""
    return say("made.claims.million", count=number(count / 1e6)) if count >= 1e6 else number(count)
