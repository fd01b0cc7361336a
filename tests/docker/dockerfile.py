"""The Dockerfile read into stages, by a parser of its own; and the files that its COPY lines would find."""

from __future__ import annotations

import json
import shlex
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from string import Template

from docker.utils import exclude_paths
from dockerfile_parse import DockerfileParser

TOP = Path(__file__).resolve().parents[2]
DOCKERFILE = TOP / "docker" / "Dockerfile"

IMAGE_ENVIRONMENT = {"PATH": "/usr/local/bin:/usr/local/sbin:/usr/sbin:/usr/bin:/sbin:/bin", "LANG": "C.UTF-8"}
"""What the Python image sets (its Dockerfile: ENV PATH and ENV LANG)."""


@dataclass(frozen=True, slots=True)
class Step:
    """One instruction: its word, what stands after it, and the environment, folder and user that hold there."""

    word: str
    value: str
    environment: dict[str, str]
    folder: str
    user: str


@dataclass(slots=True)
class Stage:
    """From one FROM to the next. `name` is None for a stage that none copies from."""

    image: str
    name: str | None
    steps: list[Step] = field(default_factory=list)
    environment: dict[str, str] = field(default_factory=lambda: dict(IMAGE_ENVIRONMENT))
    folder: str = "/"
    user: str = "root"

    def last(self, word: str) -> str:
        """What stands after the last instruction of that kind."""
        return next(step.value for step in reversed(self.steps) if step.word == word)

    def words(self, word: str) -> list[str]:
        """The same for an instruction in the form of a list."""
        found: list[str] = json.loads(self.last(word))
        return found


def stages() -> list[Stage]:
    """The stages of the Dockerfile, in order."""
    parser = DockerfileParser(fileobj=BytesIO(DOCKERFILE.read_bytes()))
    found: list[Stage] = []
    arguments: dict[str, str] = {}
    for line in parser.structure:
        word, value = line["instruction"].upper(), line["value"]
        if word == "COMMENT":
            continue
        if word == "FROM":
            image, *named = Template(value).substitute(arguments).split()
            found.append(Stage(image, named[1] if named else None))
        elif not found:
            arguments |= dict([value.split("=", 1)])
        else:
            _add(found[-1], word, value)
    return found


def _add(stage: Stage, word: str, value: str) -> None:
    if word == "ENV":
        pairs = [pair.split("=", 1) for pair in shlex.split(value)]
        before = dict(stage.environment)
        stage.environment |= {name: Template(text).safe_substitute(before) for name, text in pairs}
    elif word == "WORKDIR":
        stage.folder = value
    elif word == "USER":
        stage.user = value
    stage.steps.append(Step(word, value, dict(stage.environment), stage.folder, stage.user))


def context() -> set[str]:
    """Paths of the files that go to the builder: what .dockerignore lets through, read as the engine's own library reads it."""
    patterns = (TOP / ".dockerignore").read_text(encoding="utf-8").splitlines()
    kept = [line for line in patterns if line.strip() and not line.startswith("#")]
    return {path for path in exclude_paths(str(TOP), kept) if (TOP / path).is_file()}


def copied(value: str) -> tuple[str | None, list[str], str]:
    """A COPY line: the stage it copies from (None: the context), what, and where to."""
    words = shlex.split(value)
    source = words.pop(0).removeprefix("--from=") if words[0].startswith("--from=") else None
    return source, words[:-1], words[-1]
