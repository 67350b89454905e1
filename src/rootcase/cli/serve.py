"""rootcase serve."""

from __future__ import annotations

import secrets
from datetime import UTC, datetime
from pathlib import Path

import click
from platformdirs import user_data_dir

from rootcase.cli.options import OWN_FIELDBOOK, OWN_RESULTS, WholeNumber, fieldbook_option, open_book, out
from rootcase.ground.errors import Missing
from rootcase.ground.words import say

DEMO = Path(user_data_dir("rootcase", appauthor=False)) / "demo.sqlite"
"""The invented fieldbook; it is made anew when it is not there."""


@click.command(help=say("cli.help.serve"))
@fieldbook_option
@click.option("--demo", "want_demo", is_flag=True, help=say("cli.option.serve_demo"))
@click.option("--host", default="127.0.0.1", show_default=True, help=say("cli.option.host"))
@click.option("--port", type=WholeNumber(0, 65535), default=8470, show_default=True, help=say("cli.option.port"))
@click.option("--public-url", default="", help=say("cli.option.public_url"))
def serve(fieldbook_path: Path | None, want_demo: bool, host: str, port: int, public_url: str) -> None:
    from rootcase.services.demo import demo_fieldbook
    from rootcase.web.desk import Desk
    from rootcase.web.security import LOOPBACK
    from rootcase.web.server import open_socket
    from rootcase.web.server import serve as answer

    own = fieldbook_path or OWN_FIELDBOOK
    is_demo = want_demo or not own.exists()
    if is_demo:
        if host not in LOOPBACK or public_url:
            raise Missing(say("web.demo_host"), value=public_url or host, right=say("web.demo_host_right"))
        demo_fieldbook(DEMO)
    key = "" if _has_owner(own) else secrets.token_urlsafe(12)
    desk = Desk(DEMO if is_demo else own, lambda: datetime.now(UTC), OWN_RESULTS, demo=is_demo, own_path=own,
                first_run_key=key, public_url=public_url.rstrip("/"))
    listening = open_socket(host, port)
    address = public_url or f"http://{f'[{host}]' if ':' in host else host}:{listening.getsockname()[1]}/"
    out(say("web.open", address=address))
    out(say("web.invented") if is_demo else say("web.see_demo"))
    if key:
        out(say("web.make_own", address=f"{address.rstrip('/')}/first-run?key={key}"))
    answer(desk, listening)
    out(say("web.ended"))


def _has_owner(own: Path) -> bool:
    """Whether somebody can sign in to the practice's own fieldbook already."""
    from rootcase.services.people import anyone_in

    if not own.exists():
        return False
    with open_book(own) as book:
        return anyone_in(book)
