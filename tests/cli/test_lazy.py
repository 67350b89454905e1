"""Commands below a stage: loaded when called, and an option before the word is not lost in silence."""

from __future__ import annotations

import click
import pytest
from click.testing import CliRunner

from rootcase.cli import prescribe as room
from rootcase.cli.lazy import Lazy


@click.command()
def choose() -> None:
    click.echo("chosen")


def test_an_option_before_the_word_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Lazy, "get_command", lambda *_: choose)
    refused = CliRunner().invoke(room.prescribe, ["--seed", "3", "choose"])
    assert refused.exit_code == 2
    assert "options go after the word choose" in refused.output
    assert CliRunner().invoke(room.prescribe, ["choose"]).output == "chosen\n"
