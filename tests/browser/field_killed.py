"""Browsers killed between a tap and the server's answer, started as a person starts them, with a profile that stays."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from queue import Queue
from threading import Thread
from time import sleep
from typing import Any

import uvicorn
from fastapi import Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response

from rootcase.web.app import create_app
from rootcase.web.desk import Desk
from rootcase.web.server import open_socket
from tests.browser.field_phone import MODEL

PATIENCE_S = 180
PAGE = '<!doctype html><title>phone</title><script type="module" src="/tests/{script}"></script>'
CHROMIUM = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
            "--disable-component-update", "--disable-sync", "--headless=new")
FIREFOX = {"browser.shell.checkDefaultBrowser": False, "browser.aboutwelcome.enabled": False,
           "datareporting.policy.dataSubmissionEnabled": False, "toolkit.telemetry.reportingpolicy.firstRun": False,
           "browser.sessionstore.resume_from_crash": False, "toolkit.startup.max_resumed_crashes": -1,
           "app.update.enabled": False, "browser.startup.homepage_override.mstone": "ignore",
           "network.captive-portal-service.enabled": False, "network.connectivity-service.enabled": False}
WEBKIT = Path("/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser")


@dataclass
class Killed:
    """A server whose page has its own browser killed; what the page said before is here."""

    address: str
    profile: Path
    browser: str
    said: dict[str, str] = field(default_factory=dict)
    """Hash by id of all that was said to be saved."""
    ended: Queue[tuple[str, dict[str, Any]]] = field(default_factory=Queue)

    def once(self, place: int, readings: int) -> tuple[str, dict[str, Any]]:
        """Open the browser and wait until the page is at the place, or done; then it is killed."""
        with self.opened(f"/tests/page?place={place}&readings={readings}"):
            return self.ended.get(timeout=PATIENCE_S)

    @contextmanager
    def opened(self, path: str) -> Iterator[None]:
        """The browser with a page open, until it is killed."""
        own = os.environ | {"HOME": str(self.profile), "XDG_DATA_HOME": str(self.profile)}
        with subprocess.Popen(self._command(f"{self.address}{path}"), stdin=subprocess.DEVNULL,
                              stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
                              env=own) as opened:
            try:
                yield
            finally:
                kill_all(opened)

    def _command(self, url: str) -> list[str]:
        if self.browser == "firefox":
            self.profile.mkdir(exist_ok=True)
            (self.profile / "user.js").write_text("".join(
                f"user_pref({json.dumps(name)}, {json.dumps(value)});\n" for name, value in FIREFOX.items()))
            return [_program("firefox-esr"), "--headless", "--no-remote", "--profile", str(self.profile), url]
        if self.browser == "webkit":
            return [_program("xvfb-run"), "-a", str(WEBKIT), url]
        return [_program("chromium"), *CHROMIUM, f"--user-data-dir={self.profile}", url]


def kill_all(opened: subprocess.Popen[bytes]) -> None:
    """Kill a browser's processes and wait until the last is gone: it may still hold the profile's files."""
    with suppress(ProcessLookupError):
        while True:
            os.killpg(opened.pid, signal.SIGKILL)
            opened.poll()
            sleep(0.02)


def missing(browser: str) -> str:
    """Why this browser cannot be started here; empty where it can."""
    wanted = {"chromium": ["chromium"], "firefox": ["firefox-esr"], "webkit": ["xvfb-run", str(WEBKIT)]}[browser]
    gone = [each for each in wanted if not shutil.which(each)]
    return f"{browser} is not on this machine: {', '.join(gone)}" if gone else ""


def _program(name: str) -> str:
    found = shutil.which(name)
    assert found
    return found


@contextmanager
def killing(desk: Desk, profile: Path, browser: str) -> Iterator[Killed]:
    app = create_app(desk)
    listening = open_socket("127.0.0.1", 0)
    killed = Killed("http://{}:{}".format(*listening.getsockname()), profile, browser)

    @app.get("/tests/page")
    def page(request: Request) -> Response:
        return HTMLResponse(PAGE.format(script=f"killed.js?{request.url.query}".replace("&", "&amp;")))

    @app.get("/field/renewed")
    def renewed() -> Response:
        return HTMLResponse(PAGE.format(script="renewed.js"))

    @app.get("/tests/{name}.js")
    def script(name: str) -> Response:
        return Response((MODEL / f"{name}.js").read_text(encoding="utf-8"), media_type="text/javascript")

    @app.post("/tests/{what}")
    def told(what: str, said: dict[str, Any]) -> Response:
        if what == "said":
            killed.said |= {each["id"]: each["hash"] for each in said["kept"]}
        else:
            killed.ended.put((what, said))
        return PlainTextResponse("")

    server = uvicorn.Server(uvicorn.Config(app, log_level="critical"))
    thread = Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    yield killed
    server.should_exit = True
    thread.join(10)

