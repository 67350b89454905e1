"""Sign: a plan under a signature, who stays untreated, and what has changed under it since."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rootcase import __version__
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing, UnreadableValue
from rootcase.ground.length import MOST_WORDS, require_length
from rootcase.ground.words import say
from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.offer import AgainstAdvice, Change, Input, Outdated, SignedPlan, Signing
from rootcase.records.prescribe import Plan
from rootcase.records.report import Casework
from rootcase.science.tree.engine import ENGINE
from rootcase.services.prescribe import prescribe_property, silent_output, thought
from rootcase.services.results import PACKAGE, fingerprint
from rootcase.services.run import Run
from rootcase.services.weather import weather_for
from rootcase.tables.load import table

_NOT_OF_PLANS = ("observe/agreements", "observe/analyte_words", "observe/slip_nets", "observe/tree_names",
                 "people/rights")
"""Tables that say how readings are taken in and who may do what; no plan rests on them."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """How a plan is to be signed."""

    by: str
    reason: str = ""
    against: tuple[str, ...] = ()
    """As typed: oak 4=mulch."""
    untreated: bool = True
    """Whether a lot may leave trees untreated on what is in doubt."""
    tried: tuple[str, ...] = ()
    """Codes of remedies that are tried on top of the plan."""
    lot: int = 0
    """Seed of the lot."""
    mark: str = ""
    """Of the plan as it was shown to who signs; empty: whichever it is on the day."""


@dataclass(frozen=True, slots=True)
class Signed:
    """A property's signed plans, and what has changed under the one that stands."""

    record: PropertyRecord
    plans: tuple[SignedPlan, ...]
    """Newest first."""
    outdated: Outdated | None


def sign_property(fieldbook: Fieldbook, ground: Property, run: Run, wanted: Wanted) -> Signed:
    """Sign the plan as it is prescribed on the run's day; it takes the place of the one that stood."""
    record, signing = to_sign(fieldbook, ground, run, wanted)
    fieldbook.sign(ground.id, signing, by=wanted.by.strip(), day=run.today)
    return Signed(record, fieldbook.signed_plans(ground.id), None)


def to_sign(fieldbook: Fieldbook, ground: Property, run: Run, wanted: Wanted) -> tuple[PropertyRecord, Signing]:
    """What would be put under a signature; nothing is kept."""
    if wanted.tried and not wanted.untreated:
        raise Missing(say("sign.tried_untreated"), right=say("sign.one_or_other"))
    if wanted.against and not wanted.reason.strip():
        raise Missing(say("sign.no_reason"), right=say("sign.say_reason"))
    require_length(wanted.reason.strip(), MOST_WORDS)
    casework = prescribe_property(fieldbook, ground, run)
    if wanted.mark not in ("", casework.plan_mark):
        raise Missing(say("plans.other_shown"), right=say("plans.look_again"))
    if not (casework.plan.judged or wanted.against):
        raise Missing(say("sign.none_judged"), right=say("sign.read_first"))
    from rootcase.casework.prescribe.arms import arms_of  # slow to load, and needed by this command alone

    plan, against = _with_choices(fieldbook, casework, run, _forced(casework.record, wanted.against))
    standing = [arms for each in fieldbook.signed_plans(ground.id) if each.standing == "standing"
                for arms in each.signing.arms]
    arms = arms_of(casework.record, casework.comparison, plan, seed=wanted.lot, apart=wanted.tried, kept=standing
                   ) if wanted.untreated else ()
    for arms_tried in arms:
        if arms_tried.apart and not arms_tried.pairs:
            raise Missing(say("sign.no_pair_to_try"), value=arms_tried.doubt, right=say("sign.leave_out_try"))
    ends = max((each.weather_ends for each in casework.explanations), default=None)
    return casework.record, Signing(
        plan, _inputs(fieldbook, casework), fieldbook_state(fieldbook, casework.record), casework.engine, __version__,
        run.draws, ends, against, wanted.reason.strip(), arms)


def signed_property(fieldbook: Fieldbook, ground: Property, run: Run) -> Signed:
    """Every signed plan of a property; of the one that stands also what has changed under it, old and new."""
    record = fieldbook.record(ground.id)
    plans = fieldbook.signed_plans(ground.id)
    standing = next((plan for plan in plans if plan.standing == "standing"), None)
    if standing is None or standing.signing.fieldbook == fieldbook_state(fieldbook, record):
        return Signed(record, plans, None)
    signing = standing.signing
    run = replace(run, draws=signing.draws, seed=signing.plan.seed)
    casework = prescribe_property(fieldbook, ground, run)
    from rootcase.casework.prescribe.outdated import outdated  # slow to load, and needed by this command alone

    there = {tree.tree_id for tree in casework.plan.trees}
    forced = {each.tree_id: each.taken for each in signing.against if each.tree_id in there}
    try:
        plan, _ = _with_choices(fieldbook, casework, run, forced)
    except Missing:  # what was chosen then is advised, barred or unpriced today: old and new show it
        plan = casework.plan
    return Signed(record, plans, outdated(standing, _inputs(fieldbook, casework), record, plan))


def changes_since(fieldbook: Fieldbook, signed: SignedPlan, ground: Property, run: Run) -> tuple[Change, ...]:
    """What has changed under a signed plan; it is not prescribed anew for that."""
    record, signing = fieldbook.record(ground.id), signed.signing
    if signing.fieldbook == fieldbook_state(fieldbook, record):
        return ()
    from rootcase.casework.prescribe.outdated import inputs_of, outdated  # slow to load, and seldom needed

    _, _, _, explanations, book = thought(fieldbook, ground, replace(run, draws=signing.draws, seed=signing.plan.seed))
    found = outdated(signed, inputs_of(record, explanations, book, _versions(), ENGINE), record, signing.plan)
    return found.changes if found else ()


def with_signature(fieldbook: Fieldbook, casework: Casework) -> Casework:
    """The casework with the plan that stands signed, so that the page can say whether it is this one."""
    plans = fieldbook.signed_plans(casework.record.property.id)
    return replace(casework, signed=next((plan for plan in plans if plan.standing == "standing"), None))


def _with_choices(fieldbook: Fieldbook, casework: Casework, run: Run,
                  forced: dict[str, str]) -> tuple[Plan, tuple[AgainstAdvice, ...]]:
    """The plan with what is wanted against the advice, and what that is."""
    if not forced:
        return casework.plan, ()
    from rootcase.casework.prescribe.against import against_advice
    from rootcase.casework.prescribe.prescribe import plan_with
    from rootcase.services.prescribe import plan_inputs

    record = casework.record
    against = against_advice(casework.plan, forced, {tree.id: tree.label for tree in record.trees})
    inputs = plan_inputs(record, casework.comparison, casework.explanations,
                         weather_for(fieldbook, record.property, run),
                         fieldbook.price_book(record.property.currency), run)
    with silent_output():
        return plan_with(inputs, forced), against


def _forced(record: PropertyRecord, typed: tuple[str, ...]) -> dict[str, str]:
    """Codes of courses by tree id, as a person types them: oak 4=mulch."""
    forced = {}
    for each in typed:
        label, sign, course = each.rpartition("=")
        if not sign:
            raise UnreadableValue(say("sign.not_a_choice"), value=f'"{each}"', right=say("sign.choice_example"))
        trees = [tree for tree in record.trees if label.strip().casefold() in (tree.label.casefold(), tree.id)]
        if len(trees) != 1:
            raise Missing(say("sign.no_tree" if not trees else "sign.several_trees"), value=label.strip(),
                          right=say("sign.see_trees"))
        if trees[0].id in forced:
            raise UnreadableValue(say("sign.told_twice"), where=trees[0].label, value=f'"{each}"',
                                  right=say("sign.one_choice"))
        forced[trees[0].id] = course.strip()
    return forced


def _inputs(fieldbook: Fieldbook, casework: Casework) -> tuple[Input, ...]:
    from rootcase.casework.prescribe.outdated import inputs_of

    return inputs_of(casework.record, casework.explanations,
                     fieldbook.price_book(casework.record.property.currency), _versions(), casework.engine)


def fieldbook_state(fieldbook: Fieldbook, record: PropertyRecord) -> str:
    """What decides, whether a plan can be outdated at all, before anything is reckoned."""
    return fingerprint(record, fieldbook.price_book(record.property.currency), _versions(), ENGINE)


def _versions() -> dict[str, str]:
    """Version of each table that a plan may rest on."""
    folder = PACKAGE / "tables"
    names = sorted(file.relative_to(folder).with_suffix("").as_posix() for file in folder.rglob("*.csv"))
    return {name: table(name).version for name in names if name not in _NOT_OF_PLANS}
