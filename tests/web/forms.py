"""The forms of a page as a browser would find and send them, and what in a page is none of ours."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

_NO_TEXT = ("hidden", "radio", "checkbox", "file", "submit", "image")
_FOREIGN = {"iframe", "embed", "base", "evil"}


@dataclass
class Field:
    name: str
    kind: str
    value: str
    choices: list[str] = field(default_factory=list)

    @property
    def is_text(self) -> bool:
        return self.kind not in (*_NO_TEXT, "select")


@dataclass
class Form:
    action: str
    method: str
    fields: list[Field] = field(default_factory=list)

    def as_it_stands(self) -> dict[str, str]:
        """What a browser would send of a form that nobody touched."""
        pressed = next((each for each in self.fields if each.kind == "submit"), None)
        return {each.name: each.value or (each.choices[0] if each.choices else "") for each in reversed(self.fields)
                if each.name and each.kind not in ("file", "image") and (each.kind != "submit" or each is pressed)}


class Page(HTMLParser):
    """A page taken apart."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.foreign: list[str] = []
        self.text = ""
        self._open: Form | None = None
        self._area: Field | None = None
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if (tag in _FOREIGN or (tag == "script" and not told.get("src", "").startswith("/static/"))
                or any(name.startswith("on") for name in told) or "style" in told
                or not told.get("src", told.get("data", "/")).startswith("/")
                or told.get("href", "").strip().lower().startswith("javascript:")):
            self.foreign.append(self.get_starttag_text() or tag)
        self.text += " ".join(["", *(told.get(name, "") for name in ("value", "aria-label", "alt", "title")), ""])
        if tag == "form":
            self._open = Form(told.get("action", ""), told.get("method", "get").lower())
            self.forms.append(self._open)
        elif self._open is not None:
            self._take(self._open, tag, told)

    def _take(self, form: Form, tag: str, told: dict[str, str]) -> None:
        if tag == "option" and form.fields and form.fields[-1].kind == "select":
            form.fields[-1].choices.append(told.get("value", ""))
            if "selected" in told:
                form.fields[-1].value = told.get("value", "")
        elif tag == "button" and told.get("formaction"):
            self.forms.append(Form(told["formaction"], told.get("formmethod", form.method), form.fields))
        elif tag == "button" or (tag in ("input", "select", "textarea") and told.get("name")):
            kind = told.get("type", "text") if tag == "input" else "submit" if tag == "button" else tag
            form.fields.append(Field(told.get("name", ""), kind, told.get("value", "")))
            self._area = form.fields[-1] if tag == "textarea" else None

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._open = None
        if tag == "textarea":
            self._area = None

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area.value += data
        self.text += data
