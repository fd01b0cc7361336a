"""Synapse's own environment: made once whoever asks, skipped or failed over where it cannot be, and gone with its tests."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.matrix.homeserver.environment import FOLDER_VARIABLE, VERSION

TOP = Path(__file__).resolve().parent.parent.parent.parent

ASKING = "from tests.matrix.homeserver.environment import synapse_python; print(synapse_python())"

HOSTING = """
import sys, time
from pathlib import Path
from tests.matrix.homeserver.server import Homeserver
server = Homeserver(Path(sys.argv[1]), Path(sys.argv[2]))
server.start()
print(server.port, flush=True)
time.sleep(600)
"""


def started(*arguments: str, **variables: str) -> subprocess.Popen[str]:
    """A Python of ours that runs these arguments with these environment variables."""
    kept = {name: value for name, value in os.environ.items() if name != "CI" and not name.startswith("PYTEST_")}
    return subprocess.Popen(
        [sys.executable, *arguments],
        cwd=TOP,
        env=kept | variables,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.mark.slow
@pytest.mark.usefixtures("synapse")
def test_of_two_that_ask_at_once_one_installs(tmp_path: Path) -> None:
    """Two processes that ask at once for an environment that is not there both get the same one, and it runs Synapse."""
    asking = [started("-c", ASKING, **{FOLDER_VARIABLE: str(tmp_path)}) for _ in range(2)]
    answers = {process.communicate()[0].strip() for process in asking}
    assert len(answers) == 1
    (python,) = answers
    code = "import importlib.metadata as m; print(m.version('matrix-synapse'))"
    assert subprocess.check_output([python, "-c", code], text=True).strip() == VERSION
    assert Path(python).is_relative_to(tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize(("variables", "outcome"), [({}, "1 skipped"), ({"CI": "true"}, "1 error")])
def test_without_a_registry_the_tests_are_skipped_but_fail_in_ci(
    tmp_path: Path, variables: dict[str, str], outcome: str
) -> None:
    """Where Synapse cannot be installed a developer reads why the tests were skipped; CI does not pass over it."""
    nowhere = {"UV_OFFLINE": "1", "UV_CACHE_DIR": str(tmp_path / "cache"), "PIP_NO_INDEX": "1"}
    one = "tests/matrix/test_homeserver.py::test_a_logged_out_device_is_unknown"
    asked = started(
        *("-m", "pytest", "-n", "0", "-m", "slow", "-p", "no:cacheprovider", "--no-cov", "-rs", one),
        **{FOLDER_VARIABLE: str(tmp_path / "home"), "COLUMNS": "300"},
        **nowhere,
        **variables,
    )
    said = asked.communicate()[0]
    assert outcome in said.splitlines()[-1]
    assert f"matrix-synapse=={VERSION}" in said


@pytest.mark.slow
def test_a_server_does_not_outlive_its_tests(tmp_path: Path, synapse: Path) -> None:
    """When the tests are killed without a chance to clean up, their server ends too."""
    host = started("-c", HOSTING, str(tmp_path), str(synapse))
    assert host.stdout
    assert host.stderr
    port = int(host.stdout.readline())
    assert answers(port)
    host.send_signal(signal.SIGKILL)
    host.communicate()
    until = time.monotonic() + 20
    while answers(port) and time.monotonic() < until:
        time.sleep(0.1)
    assert not answers(port)


def answers(port: int) -> bool:
    """Whether somebody listens on this port of loopback."""
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0
