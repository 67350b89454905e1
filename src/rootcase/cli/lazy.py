"""Groups of commands whose modules are loaded only when they are called, so that help is quick."""

from __future__ import annotations

import importlib
from typing import Any

import click


class Lazy(click.Group):
    """Each command stands in a module of its own name, as a function of that name (a hyphen is an underscore)."""

    def __init__(self, *args: Any, package: str, names: tuple[str, ...], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.package, self.names = package, names

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.names)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command:
        if cmd_name not in self.names:
            raise click.exceptions.NoSuchCommand(cmd_name, possibilities=self.names, ctx=ctx)
        name = cmd_name.replace("-", "_")
        return getattr(importlib.import_module(f"{self.package}.{name}"), name)  # type: ignore[no-any-return]
