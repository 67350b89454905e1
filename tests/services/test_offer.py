"""From a signed plan to an offer, an answer that holds until the plan changes, a programme and what is due."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from rootcase.cli.main import rootcase
from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.ground.errors import Missing, RootcaseError, UnreadableValue
from rootcase.records.observe import Property, PropertyRecord
from rootcase.records.offer import Reply, Signing
from rootcase.report.terminal.offer import due_text, offers_text, programme_text
from rootcase.services.offer import (
    Answering,
    answer_offer,
    due_in_practice,
    make_offer,
    offers_of,
    programmes_of,
    renew_programme,
    reply_to,
    skip_visit,
    start_programme,
    stop_programme,
    without_step,
    yes_gone,
)
from rootcase.services.run import Run
from rootcase.services.sign import fieldbook_state
from tests.casework.prescribe.test_offer import plan_of
from tests.fieldbook.sheets import SHEET, open_book, write_sheet
from tests.report.test_pdf import pages

DAY = date(2016, 5, 3)
RUN = Run(DAY)
PRACTICE = [["key", "value", "ends"], ["name", "The practice", ""], ["tax_rate", "10 %", ""],
            ["licence", "applicator 12", "2016-06-30"]]


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Fieldbook]:
    with open_book(tmp_path / "f.sqlite") as found:
        assert not found.import_sheet(write_sheet(tmp_path / "in", SHEET | {"practice": PRACTICE})).faults
        sign(found)
        yield found


def ground(book: Fieldbook) -> Property:
    found, = book.properties()
    return found


def sign(book: Fieldbook, volume_m3: float = 3.2, day: date = DAY) -> None:
    """Mulch at oak 4, and a price that follows its volume."""
    plan = plan_of([100.0 * volume_m3], volume_m3=volume_m3)
    oak = next(tree.id for tree in book.record(ground(book).id).trees if tree.label == "oak 4")
    plan = replace(plan, property_id=ground(book).id, trees=(replace(plan.trees[0], tree_id=oak),),
                   items=(replace(plan.items[0], tree_id=oak),), frontier=())
    state = fieldbook_state(book, book.record(ground(book).id))
    book.sign(ground(book).id, Signing(plan, (), state, "engine", "0", 100, None), by="rs", day=day)


def say_yes(book: Fieldbook, day: date = date(2016, 5, 4), option: int | None = None) -> None:
    answer_offer(book, ground(book), Answering("yes", "A client", option), day)


def test_an_offer_of_a_signed_plan_is_kept_once_and_bears_the_practices_tax(book: Fieldbook) -> None:
    shown, told = make_offer(book, ground(book), RUN)
    again, _ = make_offer(book, ground(book), RUN)
    assert shown.made == again.made
    assert shown.offer.signed
    assert shown.offer.plan_mark == book.signed_plans(ground(book).id)[0].mark
    assert shown.offer.options[1].this_year.total == pytest.approx(1.1 * (320.0 + 80.0))
    assert told == ()
    assert len(book.offers(ground(book).id)) == 1


def test_a_yes_holds_until_the_plan_changes_and_is_asked_again_then(book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    say_yes(book)
    assert offers_of(book, ground(book), date(2016, 5, 5))[1][0][1].standing == "open"
    sign(book, 3.8, date(2016, 5, 6))
    _, offers, people = offers_of(book, ground(book), date(2016, 5, 7))
    made, state = offers[0]
    assert (state.standing, state.since) == ("changed", date(2016, 5, 6))
    assert people[made.answers[0].contact_id] == "A client"
    with pytest.raises(Missing, match=r"It changed on 6 May 2016: wood-chip mulch, 4\.2 yd³ \(3\.2 m³\) at oak 4 "
                                      r"becomes 5 yd³ \(3\.8 m³\) at oak 4; .*; make a new offer"):
        say_yes(book, date(2016, 5, 7))
    make_offer(book, ground(book), Run(date(2016, 5, 8)))
    say_yes(book, date(2016, 5, 9))
    assert offers_of(book, ground(book), date(2016, 5, 9))[1][0][1].standing == "open"
    book.withdraw_plan(ground(book).id, by="rs", day=DAY, reason="sold")
    assert offers_of(book, ground(book), date(2016, 5, 9))[1][0][1].standing == "withdrawn"


@pytest.mark.parametrize(("answering", "day", "says"), [
    (Answering("yes", "A"), date(2016, 6, 3), "Offer 1 held until 2 June 2016; make a new offer"),
    (Answering("yes", " "), DAY, "an answer has a name"),
    (Answering("yes", "A", 7), DAY, "no such option .*7.*one of 0 Leave it alone; 1 The plan"),
    (Answering("question", "A"), DAY, "a question has words"),
    (Answering("yes", "A"), date(2016, 5, 2), "the offer was made on 3 May 2016"),
    (Answering("yes", "A", mark="00000000"), DAY, "no offer has this mark")])
def test_an_answer_that_cannot_be_kept_says_why(answering: Answering, day: date, says: str, book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    with pytest.raises(RootcaseError, match=says):
        answer_offer(book, ground(book), answering, day)
    assert book.offers(ground(book).id)[0].answers == ()


def test_a_no_may_come_late_and_stands_for_leaving_it_alone(book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    answer_offer(book, ground(book), Answering("no", "A client"), date(2017, 1, 1))
    answer, = book.offers(ground(book).id)[0].answers
    assert (answer.answer, answer.option) == ("no", 0)


def test_an_offer_from_before_the_plan_or_the_newest_offer_is_refused(book: Fieldbook) -> None:
    with pytest.raises(UnreadableValue, match="on 3 May 2016, after this offer"):
        make_offer(book, ground(book), Run(date(2016, 5, 2)))
    make_offer(book, ground(book), Run(date(2016, 5, 8)))
    with pytest.raises(UnreadableValue, match="on 8 May 2016, after this offer"):
        make_offer(book, ground(book), Run(date(2016, 5, 7)))
    assert len(book.offers(ground(book).id)) == 1


def test_the_newest_of_two_yeses_binds_and_one_that_holds_no_longer_is_due(book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    first = book.offers(ground(book).id)[0]
    sign(book, 3.8, date(2016, 5, 4))
    make_offer(book, ground(book), Run(date(2016, 5, 4)))
    say_yes(book, date(2016, 5, 5))
    book.answer_offer(ground(book).id, first, "yes", 0, name="A client", day=date(2016, 5, 6))
    text = offers_text(*offers_of(book, ground(book), date(2016, 5, 7)))
    assert "the newest answer binds, that of 6 May 2016 to offer 1." in " ".join(text.split())
    with pytest.raises(Missing, match="nobody has said yes to work here"):
        start_programme(book, ground(book), date(2016, 5, 7), 1, None)
    say_yes(book, date(2016, 5, 7))
    start_programme(book, ground(book), date(2016, 5, 7), 1, None)
    sign(book, 4.4, date(2016, 5, 8))
    day = date(2016, 5, 9)
    items, records = due_in_practice(book, (ground(book),), Run(day), day)
    again, = (item for item in items if item.kind == "yes_again")
    assert (again.day, again.what) == (date(2016, 5, 8), "2")
    assert "The yes to offer 2 holds no longer: ask again." in due_text(items, records, day, day)
    shown = programme_text(*programmes_of(book, ground(book), day), yes_gone(book, ground(book), day))
    assert "The yes it rests on holds no longer. It changed on 8 May 2016" in " ".join(shown.split())


def test_a_question_stands_until_somebody_replied_whatever_else_is_answered(book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    answer_offer(book, ground(book), Answering("question", "A client", words="On a Sunday?"), date(2016, 5, 4))
    sign(book, 3.8, date(2016, 5, 5))
    make_offer(book, ground(book), Run(date(2016, 5, 6)))
    day = date(2016, 5, 7)

    def asked() -> list[str]:
        items, _ = due_in_practice(book, (ground(book),), Run(day), day)
        return [item.why for item in items if item.kind == "question"]

    assert asked() == ["On a Sunday?"]
    say_yes(book, day)
    assert asked() == ["On a Sunday?"]
    older = book.offers(ground(book).id)[1].mark
    with pytest.raises(UnreadableValue, match="the question is of 4 May 2016"):
        reply_to(book, ground(book), older, Reply(date(2016, 5, 3), "rs", "Never."))
    with pytest.raises(RootcaseError, match="by a code, not by a name"):
        reply_to(book, ground(book), older, Reply(day, "A client", "Never."))
    reply_to(book, ground(book), older, Reply(day, "rs", "Never on a Sunday."))
    assert asked() == []
    with pytest.raises(Missing, match="no question waits here"):
        reply_to(book, ground(book), older, Reply(day, "rs", "Never."))


def test_a_question_behind_a_yes_takes_nothing_back(book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    say_yes(book, date(2016, 5, 4))
    answer_offer(book, ground(book), Answering("question", "A client", words="When?"), date(2016, 5, 5))
    start_programme(book, ground(book), date(2016, 5, 7), 1, None)
    text = " ".join(offers_text(*offers_of(book, ground(book), date(2016, 5, 7))).split())
    assert "said yes on 4 May 2016" in text
    assert "asked on 5 May 2016 about offer 1: When?" in text


def test_a_yes_behind_a_no_is_held_against_what_it_says_yes_to(book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    book.withdraw_plan(ground(book).id, by="rs", day=DAY, reason="drawn anew")
    proposed = replace(book.offers(ground(book).id)[0].offer, signed=False)
    book.make_offer(proposed)
    sign(book, 3.8, DAY)
    answer_offer(book, ground(book), Answering("no", "A client"), DAY)
    with pytest.raises(Missing, match="It changed on 3 May 2016"):
        say_yes(book)


@pytest.mark.parametrize("name", ["A client", " a CLIENT ", " "])
def test_a_plan_is_not_withdrawn_under_a_name(name: str, book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    say_yes(book)
    with pytest.raises(RootcaseError, match="by a code, not by a name"):
        book.withdraw_plan(ground(book).id, by=name, day=DAY, reason="sold")


def test_days_and_amounts_that_cannot_be_are_refused_in_one_line(book: Fieldbook, tmp_path: Path) -> None:
    path = tmp_path / "f.sqlite"
    make_offer(book, ground(book), RUN)
    say_yes(book, DAY)
    for words, says in [(("programme", "start", "--price-until", "2010-01-01"), "a day before 4 May 2016"),
                        (("programme", "start"), ""),
                        (("programme", "skip", "--reason", " "), "it is empty"),
                        (("due", "--until", "2016-05-03"), "the list begins on 4 May 2016"),
                        (("due", "--until", "9999-12-31"), "lies too far off"),
                        (("offer", "--budget", "nan"), "nan is not an amount")]:
        done = run(path, *words)
        assert (done.exit_code == 0) == (not says)
        assert says in (done.output + str(done.exception))
    with pytest.raises(UnreadableValue, match="the programme began on 4 May 2016"):
        stop_programme(book, ground(book), DAY, "sold")


def test_a_programme_runs_from_a_yes_to_its_end(book: Fieldbook) -> None:
    with pytest.raises(Missing, match="nobody has said yes to work here"):
        start_programme(book, ground(book), DAY, 2, None)
    make_offer(book, ground(book), RUN)
    say_yes(book)
    start_programme(book, ground(book), date(2016, 6, 1), 2, None)
    with pytest.raises(Missing, match="a programme runs here already"):
        start_programme(book, ground(book), date(2016, 6, 2), 2, None)
    assert skip_visit(book, ground(book), date(2016, 11, 20), None, "frost") == date(2016, 12, 1)
    with pytest.raises(Missing, match="no such visit is open"):
        skip_visit(book, ground(book), date(2016, 11, 20), date(2016, 12, 1), "frost")
    renew_programme(book, ground(book), date(2017, 3, 1), None, date(2017, 12, 31))
    _, (state,) = programmes_of(book, ground(book), date(2017, 3, 1))
    assert state.programme.years == ((date(2016, 6, 1), 2), (date(2017, 6, 1), 2))
    assert (state.renewal_due, state.programme.price_until) == (date(2018, 6, 1), date(2017, 12, 31))
    stop_programme(book, ground(book), date(2017, 7, 1), "sold")
    assert not programmes_of(book, ground(book), date(2017, 7, 1))[1][0].price_held
    with pytest.raises(Missing, match="no programme runs here"):
        stop_programme(book, ground(book), date(2017, 7, 2), "sold")


def test_what_is_due_comes_from_everywhere_it_is_written_down(book: Fieldbook) -> None:
    make_offer(book, ground(book), RUN)
    items, records = due_in_practice(book, book.properties(), RUN, date(2019, 1, 1))
    assert [(item.kind, item.day) for item in items if item.kind != "pest"] == [
        ("work", date(2016, 5, 3)), ("offer", date(2016, 6, 2)), ("licence", date(2016, 6, 30)),
        ("look", date(2018, 6, 15))]
    assert set(records) == {ground(book).id}


def run(path: Path, *words: str) -> Result:
    return CliRunner().invoke(rootcase, ["prescribe", *words, "--fieldbook", str(path), "--day", "2016-05-04"])


def test_the_command_line_goes_from_offer_to_answer_to_programme(book: Fieldbook, tmp_path: Path) -> None:
    path = tmp_path / "f.sqlite"
    shown = run(path, "offer", "--pdf", str(tmp_path / "offer.pdf"), "--prepared-by", "R. Reader")
    assert shown.exit_code == 0, shown.output
    assert "1 The plan" in shown.output
    assert "Prepared by R. Reader" in " ".join(pages((tmp_path / "offer.pdf").read_bytes()))
    assert json.loads(run(path, "offer", "--json").output)["offer"]["options"][1]["this_year"]["total"] == 440.0
    assert "A client said yes on 4 May 2016" in run(path, "answer", "yes", "--name", "A client").output
    assert json.loads(run(path, "answer", "--json").output)[0]["state"]["standing"] == "open"
    assert "1 August 2016" not in run(path, "programme", "start", "--visits", "2").output
    assert "left out" in run(path, "programme", "skip", "--reason", "drought").output
    assert "To renew or to end: 4 May 2018." in run(path, "programme", "renew").output
    assert json.loads(run(path, "programme", "show", "--json").output)[0]["price_held"] is True
    assert "Stopped on 4 May 2016: sold" in run(path, "programme", "stop", "--reason", "sold").output
    due = run(path, "due", "--until", "2016-07-01")
    assert "A licence runs out: applicator 12." in due.output
    assert json.loads(run(path, "due", "--json", "--until", "2016-07-01").output)[-1]["kind"] == "licence"


def test_a_budget_below_every_step_is_said(book: Fieldbook) -> None:
    shown, told = make_offer(book, ground(book), RUN, (1.0,))
    assert told[-1].startswith("For 1.00 USD no smaller step is to be had: ")
    plan = shown.offer.options[1]
    less = replace(plan, number=2, kind="less", this_year=replace(plan.this_year, net=100.0))
    stepped = replace(shown.offer, options=(*shown.offer.options[:2], less))
    assert without_step(stepped, (50.0, 80.0, 100.0))[0].startswith("For 50.00 USD and 80.00 USD no ")
    assert without_step(stepped, (100.0,)) == []


def test_a_question_is_replied_to_once_and_a_yes_is_judged_when_it_is_written(book: Fieldbook,
                                                                             monkeypatch: pytest.MonkeyPatch) -> None:
    make_offer(book, ground(book), RUN)
    answer_offer(book, ground(book), Answering("question", "A client", words="On a Sunday?"), date(2016, 5, 4))
    made = book.offers(ground(book).id)[0]
    asked, reply = made.open_questions[0], Reply(date(2016, 5, 7), "rs", "Never.")
    book.reply(ground(book).id, asked, reply)
    with pytest.raises(Missing, match="no question waits here"):
        book.reply(ground(book).id, asked, reply)
    stood = book.record

    def signed_meanwhile(property_id: str) -> PropertyRecord:
        monkeypatch.undo()
        sign(book, 3.8, date(2016, 5, 8))
        return stood(property_id)

    monkeypatch.setattr(book, "record", signed_meanwhile)
    with pytest.raises(Missing, match="changed on 8 May 2016"):
        say_yes(book, date(2016, 5, 8))
