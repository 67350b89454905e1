"""No word of ours says that an extract or a tea of compost feeds a tree, or cures, controls or keeps off a disease.

Read are the words shown, the tables, the pages, the demonstration, the templates and every text in the code. What is
said of the extract may be denied: each claim needs its own denial before it, in its own clause.
"""

from __future__ import annotations

import ast
import csv
import re
import shutil
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).parents[2]
READ = (*sorted((CHECKOUT / "src" / "rootcase").rglob("*")), *sorted((CHECKOUT / "docs").rglob("*")),
        *sorted(CHECKOUT.glob("*.md")))
ENDINGS = (".py", ".toml", ".csv", ".md", ".typ")

ABOUT = re.compile(r"\b(?:extracts?|(?:compost|worm|trial|field-trial)[ -]teas?|teas?|brews?)\b", re.IGNORECASE)
OF_THE_LABORATORY = re.compile(
    r"(?:saturat\w+|paste|water|thin|dilut\w+|same|mg/L of an|Olsen|Mehlich\W*\d?|Morgan|acetate|soil'?s?) "
    r"extracts?|extracts? (?:of \d|of the soil|of soil|with \d|in|which)|extract_(?:1|equations|told|paste)|"
    r"\.extract\b|ext\|extr",
    re.IGNORECASE)
"""A laboratory's extract of soil is another thing."""
CLAIM = re.compile(
    r"\b(?:feed(?:s|ing)?|fed|fertili[sz]\w+|nourish\w*|nutrit\w+|plant food|cur(?:es?|ed|ing)|heal(?:s|ed|ing)?|"
    r"controls|controll\w+|(?:can|will|may|to|helps?) control|control (?:\w+ ){0,2}(?:disease|pest|rot|canker|blight|"
    r"scab|wilt|mildew|fung|insect|weed)\w*|prevent(?:s|ed|ing|ion)?|suppress\w*|protect(?:s|ed|ing|ion)?|fights?|kills?|"
    r"keeps? off|wards? off|repels?|immun\w+|resist\w*|boost\w*|strengthen\w*|revitali\w+|rejuvenat\w+|"
    r"disease[- ]free|grows? (?:better|faster|more)|greens)\b", re.IGNORECASE)
DENIED = re.compile(
    r"\b(?:no|not|never|none|nor|neither|nothing|nobody|without|cannot|isn't|doesn't|don't|refuse\w*)\b"
    r"(?! (?:only|just|merely))",
    re.IGNORECASE)
NEVER = re.compile(r"\b(?:boost\w*|strengthen\w*|improv\w+) (?:[\w'’]+ ){0,3}immun\w+|\bmiracle|"
                   r"\bguarantee\w* (?:growth|results?|health)|"
                   r"\bcures? (?:\w+ ){0,3}(?:tree|disease|blight|canker|wilt)",
                   re.IGNORECASE)
"""Said of nothing at all, denied or not."""


def texts(file: Path) -> Iterator[str]:
    """What a file says, in pieces that speak of one thing; the name under which a word is kept says of what."""
    text = file.read_text(encoding="utf-8")
    if file.suffix == ".py":
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield from re.split(r"\n\s*\n", re.sub(r"^ *(?:>>>|\.\.\.) .*$", "", node.value, flags=re.MULTILINE))
    elif file.suffix == ".toml":
        yield from _words(tomllib.loads(text), "")
    elif file.suffix == ".csv":
        yield from ("; ".join(row) for row in csv.reader(text.splitlines()))
    else:
        for paragraph in re.split(r"\n\s*\n", text):
            yield from re.split(r"\n(?=\s*(?:[|#]|[-*] |\d+\. ))", paragraph)


def _words(branch: dict[str, object], names: str) -> Iterator[str]:
    for name, value in branch.items():
        named = f"{names} {name}"
        if isinstance(value, dict):
            yield from _words(value, named)
        elif isinstance(value, str):
            yield from (f"{re.sub('_', ' ', named)}: {line}" for line in value.split("\n"))


def claims(text: str) -> list[str]:
    """The clauses of a text about the extract that claim what must not be claimed."""
    text = " ".join(text.split())
    found = [hit.group() for hit in NEVER.finditer(text)]
    if not ABOUT.search(OF_THE_LABORATORY.sub("", text)):
        return found
    for clause in re.split(r"[.;:!?|()]|,? but | and (?=(?:\w+ )?\w+(?:s|ed)\b)", text):
        found += [clause.strip() for hit in CLAIM.finditer(clause) if not DENIED.search(clause[:hit.start()])]
    return found


def said_in(*files: Path) -> list[tuple[str, str]]:
    """Name of the file and text of each piece."""
    return [(file.name, text) for file in files if file.is_file() and file.suffix in ENDINGS for text in texts(file)]


@cache
def said_anywhere() -> list[tuple[str, str]]:
    return said_in(*READ)


def found_in(said: list[tuple[str, str]]) -> list[str]:
    return [f"{name}: {claim}" for name, text in said for claim in claims(text)]


def test_no_word_claims_feeding_or_disease_control() -> None:
    assert found_in(said_anywhere()) == []


def test_every_kind_of_file_is_read() -> None:
    read = {file.suffix for file in READ if file.is_file() and file.suffix in ENDINGS}
    assert read == set(ENDINGS)
    assert sum(1 for _, text in said_anywhere() if ABOUT.search(OF_THE_LABORATORY.sub("", text))) > 20


@pytest.mark.parametrize("planted", [
    "Compost extract feeds the tree.", "The extract fertilises the soil.", "Compost tea controls leaf disease.",
    "Our extract prevents canker, with no harm to bees.", "An extract does not only feed, it cures.",
    "The extract is no product and it suppresses root rot.", "With extract the roots resist rot.",
    "Nothing else is needed: compost tea protects against scab.", "It boosts the tree's immune system.",
    "A miracle for old oaks.", "The tree grows better with extract.", "Extract greens the crown."])
def test_a_planted_claim_is_found(planted: str, tmp_path: Path) -> None:
    page = shutil.copy(CHECKOUT / "docs" / "prescribe.md", tmp_path)
    assert found_in(said_in(Path(page))) == []
    with Path(page).open("a", encoding="utf-8") as file:
        file.write(f"\n{planted}\n")
    assert len(found_in(said_in(Path(page)))) >= 1
    code, words, table = tmp_path / "a.py", tmp_path / "a.toml", tmp_path / "a.csv"
    code.write_text(f'TEXT = "{planted}"\n', encoding="utf-8")
    words.write_text(f'[some]\nwords = "{planted}"\n', encoding="utf-8")
    table.write_text(f'remedy,note\nmulch,"{planted}"\n', encoding="utf-8")
    assert {line.partition(":")[0] for line in found_in(said_in(code, words, table))} == {"a.py", "a.toml", "a.csv"}


def test_the_name_of_a_word_says_what_it_speaks_of(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text('[prescribe.note]\nextract = "It feeds the soil life."\n', encoding="utf-8")
    assert len(found_in(said_in(tmp_path / "a.toml"))) == 1


@pytest.mark.parametrize("honest", [
    "Extract: no trial with landscape trees has shown growth from it. Offered only as a trial, priced apart.",
    "Compost extract does not feed a tree and does not cure, control or prevent a disease.",
    "The extract is never sold as plant food.", "Salt in the saturation extract controls what roots take up.",
    "Chips feed the soil life.", "Slow nitrogen feeds a tree that a leaf test finds short."])
def test_what_is_honest_may_be_said(honest: str) -> None:
    assert claims(honest) == []
