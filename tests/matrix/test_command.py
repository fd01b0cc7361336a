"""`rackside matrix login` and `logout`, as they are typed."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.matrix.homeserver import Homeserver


def rackside(*words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "bot.cli", "matrix", *words], capture_output=True, text=True, check=False, timeout=60
    )


def test_a_login_takes_its_password_from_a_file_and_a_logout_undoes_it(homeserver: Homeserver, tmp_path: Path) -> None:
    """Each says in a sentence what came of it; a password that is wrong is a sentence too, and no traceback."""
    account = homeserver.user("keeper-at-a-shell")
    data, password = tmp_path / "data", tmp_path / "password"
    asked = ["login", "--data", str(data), "--homeserver", homeserver.url, "--user", account.user_id]
    password.write_text("wrong\n", encoding="utf-8")
    refused = rackside(*asked, "--password-file", str(password))
    assert refused.returncode != 0
    assert "does not know the user" in refused.stderr + refused.stdout
    assert "Traceback" not in refused.stderr
    password.write_text(f"{account.password}\n", encoding="utf-8")
    done = rackside(*asked, "--password-file", str(password))
    assert (done.returncode, done.stdout.startswith(f"Logged in as {account.user_id}")) == (0, True)
    gone = rackside("logout", "--data", str(data))
    assert (gone.returncode, gone.stdout.startswith(f"Logged out {account.user_id}")) == (0, True)
