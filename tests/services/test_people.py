"""Who may do what, as the table says it, and the page that shows the table."""

from __future__ import annotations

from pathlib import Path

import pytest

from rootcase.records.people import ROLES
from rootcase.services.people import may, wanted_for
from rootcase.tables.load import table

PAGE = Path(__file__).parents[2] / "docs" / "people.md"
COLUMNS = (*ROLES, "client")


def rights_page() -> str:
    """The table of rights as docs/people.md holds it; `python -m tests.services.test_people` writes it there."""
    said = {"yes": "yes", "no": "", "signing": "who may sign"}
    lines = ["| action | owner | practitioner | crew | client's link | why |", "|---|---|---|---|---|---|"]
    lines += [f"| `{row['action']}` | {' | '.join(said[row[column]] for column in COLUMNS)} | {row['why']} |"
              for row in table("people/rights").rows]
    return "\n".join(lines)


def parts() -> tuple[str, str, str]:
    before, _, rest = PAGE.read_text(encoding="utf-8").partition("<!-- rights -->\n")
    shown, _, after = rest.partition("\n<!-- end of rights -->")
    return before, shown, after


def test_the_page_shows_the_table_as_it_is() -> None:
    assert parts()[1] == rights_page(), "run: python -m tests.services.test_people"


@pytest.mark.parametrize(("action", "role", "may_sign", "allowed"), [
    ("sign_plans", "owner", True, True), ("sign_plans", "owner", False, False),
    ("sign_plans", "practitioner", True, True), ("sign_plans", "practitioner", False, False),
    ("sign_plans", "crew", True, False), ("take_out", "practitioner", True, False), ("take_out", "owner", False, True),
    ("answer_offers", "owner", True, False), ("answer_offers", "client", False, True),
    ("see_trees", "client", False, False), ("no such action", "owner", True, False),
    ("see_trees", "nobody", True, False)])
def test_a_right_is_what_the_table_says_and_else_none(action: str, role: str, may_sign: bool, allowed: bool) -> None:
    assert may(action, role, may_sign=may_sign) is allowed


def test_who_is_refused_hears_what_is_lacking() -> None:
    assert wanted_for("sign_plans", "practitioner") == (
        "It needs the right to sign, which an owner gives on the page People.")
    assert wanted_for("sign_plans", "crew") == "It is for: owner or practitioner."
    assert wanted_for("answer_offers", "owner") == "Nobody may do this here."


if __name__ == "__main__":
    start, _, end = parts()
    PAGE.write_text(f"{start}<!-- rights -->\n{rights_page()}\n<!-- end of rights -->{end}", encoding="utf-8")
