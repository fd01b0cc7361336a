"""One Synapse process on loopback: started, stopped, killed, started again on the same data and port; and its users."""

from __future__ import annotations

import hashlib
import hmac
import http.client
import json
import secrets
import socket
import subprocess
import time
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

from tests.matrix.homeserver.config import NAME, write_config

READY_WITHIN = 60.0
"""Seconds; Synapse needs 1 to 3, but the machine may be busy."""

STOP_WITHIN = 20.0

# The server lives no longer than the pipe from the tests, so that none is left behind when the tests are killed.
LAUNCHER = """
import os, threading
threading.Thread(target=lambda: (os.read(0, 1), os._exit(0)), daemon=True).start()
from synapse.app.homeserver import main
main()
"""


class ServerRefused(Exception):
    """The homeserver said no to a request of the tests' own; the text is its answer."""


@dataclass(frozen=True, slots=True)
class Account:
    """A user of the homeserver, logged in on one device."""

    user_id: str
    password: str
    access_token: str
    device_id: str


class Homeserver:
    """A Synapse with its data in `folder`, run by the Python that has Synapse installed."""

    def __init__(self, folder: Path, python: Path) -> None:
        self.folder = folder
        self.name = NAME
        self.port = _free_port()
        self._python = python
        self._secret = secrets.token_hex(16)
        self._process: subprocess.Popen[bytes] | None = None
        self._admin: Account | None = None

    @property
    def url(self) -> str:
        """Where clients find the server, also while it is down."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def log(self) -> Path:
        """The file with a line for each request answered, and warnings."""
        return self.folder / "homeserver.log"

    @property
    def running(self) -> bool:
        """Whether the process lives."""
        return self._process is not None and self._process.poll() is None

    def start(self) -> None:
        """Start on the data and the port of before, and wait until the server says that it is ready."""
        if self.running:
            return
        config = write_config(self.folder, self.port, self._secret)
        with (self.folder / "output.log").open("ab") as output:
            self._process = subprocess.Popen(
                [str(self._python), "-c", LAUNCHER, "--config-path", str(config)],
                cwd=self.folder,
                stdin=subprocess.PIPE,
                stdout=output,
                stderr=subprocess.STDOUT,
            )
        self._wait_until_ready(self._process)

    def stop(self) -> None:
        """Stop as an operator would; requests that wait are broken off."""
        self._end(kill=False)

    def kill(self) -> None:
        """End the process at once, as a power cut would."""
        self._end(kill=True)

    def restart(self) -> None:
        """Stop, and start on the same data and port."""
        self.stop()
        self.start()

    def user(self, name: str, *, admin: bool = False) -> Account:
        """Register a user with this local name, logged in on a first device."""
        password = secrets.token_urlsafe(12)
        path = "/_synapse/admin/v1/register"
        nonce = str(self.ask("GET", path)["nonce"])
        signed = "\0".join([nonce, name, password, "admin" if admin else "notadmin"]).encode()
        mac = hmac.new(self._secret.encode(), signed, hashlib.sha1).hexdigest()
        body = {"nonce": nonce, "username": name, "password": password, "admin": admin, "mac": mac}
        said = self.ask("POST", path, body)
        return Account(str(said["user_id"]), password, str(said["access_token"]), str(said["device_id"]))

    def login(self, account: Account) -> Account:
        """The same user on a new device."""
        body = {
            "type": "m.login.password",
            "identifier": {"type": "m.id.user", "user": account.user_id},
            "password": account.password,
        }
        said = self.ask("POST", "/_matrix/client/v3/login", body)
        return Account(account.user_id, account.password, str(said["access_token"]), str(said["device_id"]))

    def logout(self, account: Account) -> None:
        """Take back the account's access token and device."""
        self.ask("POST", "/_matrix/client/v3/logout", {}, account.access_token)

    def limit(self, account: Account, per_second: int, burst: int) -> None:
        """From now on this user may send `burst` messages at once and `per_second` after; more gets M_LIMIT_EXCEEDED."""
        body = {"messages_per_second": per_second, "burst_count": burst}
        self.ask("POST", self._limit_path(account), body, self.admin().access_token)

    def lift_limit(self, account: Account) -> None:
        """The user has the server's own limits again, which no test meets."""
        self.ask("DELETE", self._limit_path(account), None, self.admin().access_token)

    def admin(self) -> Account:
        """The server's administrator, registered when first asked for."""
        if self._admin is None:
            self._admin = self.user(f"admin-{secrets.token_hex(3)}", admin=True)
        return self._admin

    def ask(self, method: str, path: str, body: object = None, token: str = "") -> dict[str, object]:
        """The server's answer to one request; ServerRefused where it is not a 200."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=30)
        try:
            headers = {"Authorization": f"Bearer {token}"} if token else {}
            connection.request(method, path, None if body is None else json.dumps(body), headers)
            answer = connection.getresponse()
            said = answer.read()
        finally:
            connection.close()
        if answer.status != http.client.OK:
            raise ServerRefused(f"{method} {path}: {answer.status} {said.decode(errors='replace')}")
        parsed: dict[str, object] = json.loads(said)
        return parsed

    @staticmethod
    def _limit_path(account: Account) -> str:
        return f"/_synapse/admin/v1/users/{quote(account.user_id)}/override_ratelimit"

    def _wait_until_ready(self, process: subprocess.Popen[bytes]) -> None:
        until = time.monotonic() + READY_WITHIN
        while not self._healthy():
            if process.poll() is not None or time.monotonic() > until:
                self.kill()
                output = (self.folder / "output.log").read_text(encoding="utf-8", errors="replace")
                raise ServerRefused(f"the homeserver did not start: {output[-2000:]}")
            time.sleep(0.05)

    def _healthy(self) -> bool:
        """Whether /health answers; it does once every listener is open."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=5)
        try:
            connection.request("GET", "/health")
            return connection.getresponse().read() == b"OK"
        except OSError:
            return False
        finally:
            connection.close()

    def _end(self, *, kill: bool) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        if not kill:
            process.terminate()
            try:
                process.wait(STOP_WITHIN)
            except subprocess.TimeoutExpired:
                kill = True
        if kill:
            process.kill()
        process.wait()
        if process.stdin:
            process.stdin.close()


def _free_port() -> int:
    """A port of loopback that nobody listens on now.

    Taken from below those that systems hand out for outgoing connections (from 32768 or higher): while the server is
    down, one of these could be given away, or a client that tries to connect could find itself.
    """
    while True:
        port = 20000 + secrets.randbelow(12000)
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
