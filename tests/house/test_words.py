"""The catalogue of words and the code agree: no key without words, no words without use, no field left open."""

from __future__ import annotations

import ast
import re
import string
import tomllib
from collections.abc import Iterator
from functools import cache
from itertools import product
from pathlib import Path

import jinja2
import jinja2.nodes
import pytest

from rootcase.services.field_kinds import field_words

PACKAGE = Path(__file__).parents[2] / "src" / "rootcase"
LANGUAGES = sorted((PACKAGE / "ground" / "words").iterdir())
TEMPLATES = sorted((PACKAGE / "web" / "templates").rglob("*.html"))
SCRIPTS = sorted((PACKAGE / "web" / "static" / "field").glob("*.js"))
SECTIONS = "field|dates|intake|limit|quantity|readings|report|typed|web"
IN_SCRIPTS = re.compile(rf'"((?:{SECTIONS})\.[\w.]+)"|`((?:{SECTIONS})\.(?:[\w.]|\$\{{[^}}]*\}})+)`')


def flat(branch: dict[str, object], prefix: str = "") -> Iterator[tuple[str, str]]:
    for name, value in branch.items():
        if isinstance(value, dict):
            yield from flat(value, f"{prefix}{name}.")
        else:
            yield f"{prefix}{name}", str(value)


def words(language: Path) -> dict[str, str]:
    return {key: said for file in sorted(language.glob("*.toml"))
            for key, said in flat(tomllib.loads(file.read_text(encoding="utf-8")))}


def fields(template: str) -> set[str]:
    return {re.split(r"[.\[]", name)[0] for _, name, _, _ in string.Formatter().parse(template) if name}


def pattern(node: ast.JoinedStr) -> str:
    return "".join(re.escape(part.value) if isinstance(part, ast.Constant) else ".+" for part in node.values)


@cache
def nodes() -> list[tuple[Path, ast.Call | ast.Constant | ast.JoinedStr]]:
    return [(file.relative_to(PACKAGE), node) for file in sorted(PACKAGE.rglob("*.py"))
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call | ast.Constant | ast.JoinedStr)]


@cache
def said_in_templates() -> list[tuple[str, str, set[str] | None]]:
    """Place, pattern of the key, and the fields given (None: not known) of every say() of a template."""
    return list(_said_in_templates())


def _said_in_templates() -> Iterator[tuple[str, str, set[str] | None]]:
    reader = jinja2.Environment(autoescape=True)
    for file in TEMPLATES:
        for call in reader.parse(file.read_text(encoding="utf-8")).find_all(jinja2.nodes.Call):
            if isinstance(call.node, jinja2.nodes.Name) and call.node.name == "say" and call.args:
                place = f"{file.relative_to(PACKAGE)}:{call.lineno}"
                given = None if call.dyn_kwargs else {each.key for each in call.kwargs}
                for key in key_patterns(call.args[0]):
                    yield place, key, given


def key_patterns(key: jinja2.nodes.Node) -> list[str]:
    """What the key may be: of a choice either, of what is joined every part, of what is filled in anything."""
    if isinstance(key, jinja2.nodes.CondExpr):
        return [*key_patterns(key.expr1), *(key_patterns(key.expr2) if key.expr2 else [])]
    if isinstance(key, jinja2.nodes.Concat):
        return ["".join(parts) for parts in product(*map(key_patterns, key.nodes))]
    return [re.escape(str(key.value)) if isinstance(key, jinja2.nodes.Const) else ".+"]


ENGLISH = words(PACKAGE / "ground" / "words" / "en")
EACH_ON_A_LINE = "\n".join(ENGLISH)


@cache
def like(key: str) -> list[str]:
    """The keys of words that a pattern of one may become."""
    return re.findall(rf"^(?:{key})$", EACH_ON_A_LINE, re.MULTILINE)


def said() -> Iterator[tuple[str, ast.Call]]:
    for file, node in nodes():
        if isinstance(node, ast.Call) and node.args and (
                getattr(node.func, "id", "") == "say" or getattr(node.func, "attr", "") == "say"):
            yield f"{file}:{node.lineno}", node


def test_every_key_said_has_words_and_all_their_fields() -> None:
    wrong = []
    for place, call in said():
        key = call.args[0]
        if isinstance(key, ast.JoinedStr) and not like(pattern(key)):
            wrong.append(f"{place}: no words like {pattern(key)}")
        if isinstance(key, ast.Constant):
            if key.value not in ENGLISH:
                wrong.append(f"{place}: no words for {key.value}")
            elif all(word.arg for word in call.keywords):
                for field in fields(ENGLISH[key.value]) - {word.arg for word in call.keywords}:
                    wrong.append(f"{place}: {key.value} needs {{{field}}}")
    assert wrong == []


def test_every_key_said_in_a_template_has_words_and_all_their_fields() -> None:
    wrong = []
    for place, key, given in said_in_templates():
        found = like(key)
        if not found:
            wrong.append(f"{place}: no words like {key}")
        if given is not None and len(found) == 1:
            wrong.extend(f"{place}: {found[0]} needs {{{field}}}" for field in fields(ENGLISH[found[0]]) - given)
    assert wrong == []


def said_in_scripts() -> list[tuple[str, str]]:
    """Script, and the pattern of every key of words that stands in it; what is filled in may be anything."""
    return [(file.name, "".join(".+" if part.startswith("${") else re.escape(part)
                                for part in re.split(r"(\$\{[^}]*\})", found[1] or found[2])))
            for file in SCRIPTS for found in IN_SCRIPTS.finditer(file.read_text(encoding="utf-8"))]


def test_every_key_in_a_script_has_words_that_the_phone_is_sent() -> None:
    sent = field_words()
    assert [(file, key) for file, key in said_in_scripts() if not any(re.fullmatch(key, each) for each in sent)] == []


def test_all_words_are_used() -> None:
    literals = {node.value for _, node in nodes() if isinstance(node, ast.Constant) and isinstance(node.value, str)}
    built = {pattern(node) for _, node in nodes() if isinstance(node, ast.JoinedStr)}
    built |= {key for _, key, _ in said_in_templates()} | {key for _, key in said_in_scripts()}
    built = {each for each in built if re.match(r"\w+\\\.", each)}  # a section's name, then what is filled in
    any_built = re.compile("|".join(sorted(built)))
    unused = [key for key in ENGLISH if key not in literals and not any_built.fullmatch(key)]
    assert unused == []


@pytest.mark.parametrize("language", LANGUAGES, ids=lambda folder: folder.name)
def test_every_language_has_the_same_keys_and_fields(language: Path) -> None:
    assert {k: fields(v) for k, v in words(language).items()} == {k: fields(v) for k, v in ENGLISH.items()}
