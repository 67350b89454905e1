"""docs/serve.md: its files are read out of the page and tried, so that the page cannot say what does not work."""

from __future__ import annotations

import os
import re
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click
import httpx2 as httpx
import pytest

from rootcase.cli.main import rootcase
from rootcase.fieldbook.fieldbook import open_fieldbook
from rootcase.fieldbook.people.keys import accept, invite
from rootcase.fieldbook.people.register import add_person
from tests.fieldbook.sheets import NOW

CHECKOUT = Path(__file__).parents[2]
PAGE = (CHECKOUT / "docs" / "serve.md").read_text(encoding="utf-8")
FILES = dict(re.findall(r"`/etc/(?:systemd/system|caddy)/([\w.-]+)`:\n\n```\w+\n(.*?)```", PAGE, re.DOTALL))
NAME = "trees.example.org"
PASSWORD = "nine oaks on a bank"
WAIT_S = 60


def commands() -> list[str]:
    """Every command of ours on the page, as one line each."""
    said = PAGE.replace("\\\n", " ")
    return sorted({" ".join(found.split()) for found in re.findall(r"(?:run |\$ )rootcase ([^\n]+)", said)})


@pytest.mark.parametrize("command", commands())
def test_every_command_on_the_page_is_one(command: str) -> None:
    words = [word.strip('"') for word in re.findall(r'"[^"]*"|\S+', command)]
    group: click.Command = rootcase
    while isinstance(group, click.Group) and words and not words[0].startswith("-"):
        found = group.get_command(click.Context(group), words.pop(0))
        assert found is not None
        group = found
    known = {option for parameter in group.params for option in parameter.opts} | {"--version"}
    assert {word for word in words if word.startswith("--")} <= known


def test_the_page_holds_the_files_it_names() -> None:
    assert set(FILES) == {"rootcase.service", "rootcase-backup.service", "rootcase-backup.timer", "Caddyfile"}
    assert f"--public-url https://{NAME}" in FILES["rootcase.service"]
    assert "127.0.0.1:8470" in FILES["Caddyfile"]
    assert "--port 8470" in FILES["rootcase.service"]


def test_systemd_takes_the_units(tmp_path: Path, long: bool) -> None:
    if shutil.which("systemd-analyze") is None:
        if long:
            pytest.skip("systemd-analyze is not here")
        return
    for name in ("rootcase.service", "rootcase-backup.service", "rootcase-backup.timer"):
        # systemd looks whether the program is there; here another stands for it.
        (tmp_path / name).write_text(FILES[name].replace("/opt/rootcase/run", sys.executable), encoding="utf-8")
    done = subprocess.run(["systemd-analyze", "verify", *map(str, tmp_path.iterdir())], capture_output=True, text=True,
                          check=False, env={**os.environ, "SYSTEMD_LOG_LEVEL": "warning"})
    ours = [line for line in done.stderr.splitlines() if "rootcase" in line]
    assert (ours, done.returncode) == ([], 0)


def caddy(folder: Path) -> str | None:
    """The program, where need be taken out of Debian's package without installing it; None where that cannot be."""
    if found := shutil.which("caddy"):
        return found
    if shutil.which("apt-get") and shutil.which("dpkg"):
        subprocess.run(["apt-get", "-qq", "download", "caddy"], cwd=folder, capture_output=True, check=False)
        for package in folder.glob("caddy_*.deb"):
            subprocess.run(["dpkg", "-x", str(package), str(folder)], check=True)
            return str(folder / "usr" / "bin" / "caddy")
    return None


def free_port() -> int:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        port: int = taken.getsockname()[1]
        return port


@contextmanager
def running(command: list[str], log: Path, **environment: str) -> Iterator[subprocess.Popen[bytes]]:
    with log.open("wb") as told, subprocess.Popen(command, stdout=told, stderr=told,
                                                  env={**os.environ, **environment}) as process:
        try:
            yield process
        finally:
            process.send_signal(signal.SIGINT)
            process.wait(WAIT_S)


def answered(client: httpx.Client, address: str, log: Path) -> httpx.Response:
    """The first answer of a server that is being started."""
    for _ in range(WAIT_S * 10):
        try:
            return client.get(address)
        except httpx.TransportError:
            time.sleep(0.1)
    raise AssertionError(log.read_text(encoding="utf-8"))


@pytest.mark.full
def test_through_tls_with_a_local_authority(tmp_path: Path) -> None:
    program = caddy(tmp_path)
    if program is None:
        pytest.skip("caddy is not here and could not be had: apt-get install caddy")
    with open_fieldbook(tmp_path / "book.sqlite") as book:
        add_person(book.store, "c1", "A crew lead", "crew", "crew")
        token = invite(book.store, "c1", NOW, os.urandom)
        assert accept(book.store, token, PASSWORD, "", NOW) is not None
    ours, theirs = free_port(), free_port()
    base = f"https://localhost:{theirs}"
    site = FILES["Caddyfile"].replace(NAME, f"localhost:{theirs}").replace("127.0.0.1:8470", f"127.0.0.1:{ours}")
    alone = f"admin off\nauto_https disable_redirects\nskip_install_trust\nstorage file_system {tmp_path}/tls\n"
    (tmp_path / "Caddyfile").write_text(
        f"{{\n{alone}}}\n" + site.replace("{\n", "{\n\ttls internal\n", 1), encoding="utf-8")
    app = [sys.executable, "-m", "rootcase.cli.main", "serve", "--fieldbook", str(tmp_path / "book.sqlite"),
           "--port", str(ours), "--public-url", base]
    with (running(app, tmp_path / "app.log", PYTHONPATH=str(CHECKOUT / "src")) as server,
          running([program, "run", "--adapter", "caddyfile", "--config", str(tmp_path / "Caddyfile")],
                  tmp_path / "caddy.log", HOME=str(tmp_path))):
        authority = tmp_path / "tls" / "pki" / "authorities" / "local" / "root.crt"
        for _ in range(WAIT_S * 10):
            if authority.exists():
                break
            time.sleep(0.1)
        with httpx.Client(base_url=base, verify=ssl.create_default_context(cafile=str(authority))) as client:
            while (door := answered(client, "/sign-in", tmp_path / "caddy.log")).status_code == 502:
                time.sleep(0.1)  # ours is not up yet
            assert (door.status_code, "password" in door.text) == (200, True)
            assert door.headers["strict-transport-security"] == "max-age=31536000"
            came = client.post("/sign-in", data={"login": "crew", "password": PASSWORD}, headers={"origin": base})
            assert came.status_code == 303
            cookie = came.headers["set-cookie"]
            assert cookie.startswith("__Host-")
            assert {"Secure", "HttpOnly"} <= {part.strip() for part in cookie.split(";")}
            assert client.get("/practice").status_code == 200
            foreign = client.post("/sign-in", data={"login": "crew"}, headers={"origin": "https://elsewhere.example"})
            assert foreign.status_code == 403
        with httpx.Client(verify=False) as stranger:  # by another name of this machine
            refused = stranger.get(f"http://127.0.0.1:{ours}/sign-in", headers={"host": "elsewhere.example"})
            assert refused.status_code == 403
    assert server.returncode == 0
