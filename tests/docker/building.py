"""Building the image without an engine: each step is run, as it stands, in a root of its own, and the result used read-only.

A root is an overlay over the root of this machine, in a mount namespace: whatever a step writes lands in a folder of the stage.
This machine's Python takes the place of the base image's, at /usr/local as there; the project itself is hidden, so that a step finds
only what was copied. That needs root, `unshare` and overlays; `why_not` says what is missing.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import sysconfig
from dataclasses import dataclass
from pathlib import Path

from tests.docker.dockerfile import TOP, Stage, Step, context, copied, stages

PASSED_ON = ("PIP_", "SSL_CERT", "REQUESTS_CA", "HTTP_PROXY", "HTTPS_PROXY", "NO_PROXY", "http_proxy", "https_proxy")
"""Variables of this machine that a build gets from whoever starts it: how packages are reached from here."""

# A Python that is built on a library of its own looks for it where it was installed, and here it was moved.
_LIBRARY = {"LD_LIBRARY_PATH": "/usr/local/lib"} if sysconfig.get_config_var("Py_ENABLE_SHARED") else {}

_MOUNT = """
set -e
mount -t overlay overlay -o "lowerdir=/,upperdir=$ROOM/upper,workdir=$ROOM/work" "$ROOM/root"
mount --bind "$PYTHON" "$ROOM/root/usr/local"
mount --rbind /proc "$ROOM/root/proc"
mount --rbind /dev "$ROOM/root/dev"
mount -t tmpfs tmpfs "$ROOM/root$TOP"
"""

_BUILD = _MOUNT + 'exec chroot "$ROOM/root" /bin/sh -c "cd $FOLDER; $STEP"'

_USE = (
    _MOUNT
    + """
mount -t tmpfs -o mode=1777,nosuid,nodev,noexec tmpfs "$ROOM/root/tmp"
mount --bind "$DATA" "$ROOM/root/data"
mount -o remount,ro,bind "$ROOM/root/usr/local"
mount -o remount,ro,bind "$ROOM/root"
exec chroot "$ROOM/root" setpriv --reuid "${WHO%:*}" --regid "${WHO#*:}" --clear-groups \
    --bounding-set=-all --inh-caps=-all --no-new-privs env -i --chdir="$FOLDER" "$@"
"""
)


def why_not() -> str | None:
    """What keeps an image from being built here; None where nothing does."""
    if sys.platform != "linux" or os.geteuid() != 0:
        return "building needs root on Linux"
    if any(shutil.which(tool) is None for tool in ("unshare", "setpriv", "chroot", "mount")):
        return "building needs unshare, setpriv, chroot and mount"
    return None


@dataclass(frozen=True)
class Image:
    """A stage that was built, in its folder `room`."""

    stage: Stage
    room: Path

    def path(self, inside: str) -> Path:
        """Where something that a step wrote lies."""
        return self.room / "upper" / inside.lstrip("/")

    def start(self, words: list[str], data: Path, settings: dict[str, str] | None = None) -> subprocess.Popen[str]:
        """Start a command as a container would: its user, its environment, no capability, a root that cannot be written."""
        environment = {**_LIBRARY, **self.stage.environment, **(settings or {})}
        told = [f"{name}={value}" for name, value in environment.items()]
        outside = {"DATA": str(data), "WHO": self.stage.user, "FOLDER": self.stage.folder}
        return subprocess.Popen(
            ["unshare", "--mount", "/bin/sh", "-c", _USE, "use", *told, *words],
            env=_outside(self.room) | outside,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )

    def run(self, words: list[str], data: Path, settings: dict[str, str] | None = None) -> tuple[int, str, str]:
        """The same to its end: status, output, errors."""
        with self.start(words, data, settings) as process:
            said, logged = process.communicate(timeout=120)
            return process.returncode, said, logged


def build(folder: Path) -> Image:
    """Build every stage of the Dockerfile below a folder; the last one is the image."""
    built: dict[str | None, Image] = {}
    sent = context()
    for number, stage in enumerate(stages()):
        image = Image(stage, folder / str(number))
        for name in ("upper", "work", "root"):
            (image.room / name).mkdir(parents=True)
        for step in stage.steps:
            _do(step, image, built, sent)
        built[stage.name] = image
    return image


def _do(step: Step, image: Image, built: dict[str | None, Image], sent: set[str]) -> None:
    if step.word == "WORKDIR":
        image.path(step.value).mkdir(parents=True, exist_ok=True)
    elif step.word == "RUN":
        _run(step, image)
    elif step.word == "COPY":
        source, what, where = copied(step.value)
        for path in what:
            if source is None:
                _send(path, image.path(where), sent)
            else:
                shutil.copytree(built[source].path(path), image.path(where), symlinks=True)


def _send(path: str, target: Path, sent: set[str]) -> None:
    """Copy a file into a folder, or what a folder holds, as far as it goes to the builder."""
    files = {
        name: Path(name).name if name == path else Path(name).relative_to(path) for name in sent if _of(name, path)
    }
    assert files, f"{path} does not get to the builder"
    for name, place in files.items():
        (target / place).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(TOP / name, target / place)


def _of(name: str, path: str) -> bool:
    return name == path or name.startswith(f"{path}/")


def _run(step: Step, image: Image) -> None:
    passed = {name: value for name, value in os.environ.items() if name.startswith(PASSED_ON)}
    told = {**passed, **_LIBRARY, **step.environment, "STEP": step.value, "FOLDER": step.folder}
    done = subprocess.run(
        ["unshare", "--mount", "/bin/sh", "-c", _BUILD],
        env=_outside(image.room) | told,
        capture_output=True,
        text=True,
        check=False,
        timeout=1200,
    )
    assert done.returncode == 0, f"{step.value}\n{done.stdout[-3000:]}\n{done.stderr[-3000:]}"


def _outside(room: Path) -> dict[str, str]:
    return {"PATH": os.environ["PATH"], "ROOM": str(room), "PYTHON": sys.base_prefix, "TOP": str(TOP)}
