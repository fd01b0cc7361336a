"""The Dockerfile and the compose files as text: what tools of others say of them, and that they fit the project and each other."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

import pytest
import yaml
from sqlalchemy import make_url

from bot.cli_tree import build_parser
from tests.docker.dockerfile import DOCKERFILE, TOP, context, copied, stages

FOLDER = TOP / "docker"
PLAIN, POSTGRESQL = FOLDER / "compose.yaml", FOLDER / "compose.postgresql.yaml"
BIN = Path(sys.executable).parent


def tool(*words: str | Path) -> subprocess.CompletedProcess[str]:
    """Run a tool of this environment."""
    return subprocess.run([BIN / words[0], *words[1:]], capture_output=True, text=True, check=False, timeout=120)


def merged(*files: Path) -> dict[str, Any]:
    """What Compose itself makes of these files together."""
    chosen = [word for file in files for word in ("--file", file)]
    done = tool("docker-compose", *chosen, "config", "--format", "json")
    assert (done.returncode, done.stderr) == (0, "")
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def checked(file: Path) -> subprocess.CompletedProcess[str]:
    """A file held against the published Compose schema, which comes with the package check-jsonschema."""
    return tool("check-jsonschema", "--builtin-schema", "vendor.compose-spec", file)


def test_the_linter_finds_nothing_in_the_dockerfile() -> None:
    """Hadolint, with all of its rules; none is switched off in the file."""
    done = tool("hadolint", DOCKERFILE)
    assert (done.returncode, done.stdout + done.stderr) == (0, "")
    assert "hadolint ignore" not in DOCKERFILE.read_text(encoding="utf-8")


def test_the_linter_would_find_something(tmp_path: Path) -> None:
    """A check of the check: a tag that moves is found (its rule DL3007)."""
    (tmp_path / "Dockerfile").write_text("FROM python:latest\n")
    assert "DL3007" in tool("hadolint", tmp_path / "Dockerfile").stdout


@pytest.mark.parametrize("file", [PLAIN, POSTGRESQL], ids=lambda path: path.name)
def test_a_compose_file_is_good_by_the_published_schema(file: Path, tmp_path: Path) -> None:
    """And with a word in it that Compose does not know, it is not."""
    assert checked(file).returncode == 0
    spoilt = tmp_path / "compose.yaml"
    spoilt.write_text(file.read_text(encoding="utf-8").replace("    restart:", "    restarts:", 1))
    assert checked(spoilt).returncode == 1


def test_compose_takes_the_plain_file() -> None:
    """One service with its volume; it cannot write but there and in /tmp, and holds no capability."""
    made = merged(PLAIN)
    assert list(made["services"]) == ["rackside"]
    service = made["services"]["rackside"]
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert [volume["target"] for volume in service["volumes"]] == ["/data"]
    assert [place.split(":")[0] for place in service["tmpfs"]] == ["/tmp"]  # noqa: S108 - inside
    assert service["restart"] == "unless-stopped"
    assert Path(service["build"]["context"]) == TOP
    assert (TOP / service["build"]["dockerfile"]).samefile(DOCKERFILE)


def test_compose_takes_both_files_together() -> None:
    """Rackside waits for a database that is well, and nobody else reaches it; the hardening of the plain file still holds."""
    made = merged(PLAIN, POSTGRESQL)
    rackside, database = made["services"]["rackside"], made["services"]["postgres"]
    assert rackside["read_only"] is True
    assert rackside["depends_on"]["postgres"]["condition"] == "service_healthy"
    assert database["healthcheck"]["test"][:2] == ["CMD", "pg_isready"]
    assert "ports" not in database
    assert set(database["networks"]) == {"database"}
    assert made["networks"]["database"]["internal"] is True
    assert set(rackside["networks"]) == {"database", "default"}
    assert {volume["target"] for volume in database["volumes"]} == {"/var/lib/postgresql/data"}


@pytest.mark.parametrize("files", [(PLAIN,), (PLAIN, POSTGRESQL)], ids=["plain", "both"])
def test_secrets_come_from_files_alone(files: tuple[Path, ...]) -> None:
    """Each is a file outside the image; the variables name where it stands inside, and none holds a password."""
    made = merged(*files)
    for service in made["services"].values():
        inside = {f"/run/secrets/{one.get('target', one['source']).split('/')[-1]}" for one in service["secrets"]}
        named = {value for name, value in service["environment"].items() if name.endswith("_FILE")}
        assert named == inside
        assert not any("password" in str(value).lower() for value in set(service["environment"].values()) - named)
    assert all(Path(one["file"]).parent == FOLDER / "secrets" for one in made["secrets"].values())
    assert "docker/secrets/" in (TOP / ".gitignore").read_text(encoding="utf-8").splitlines()


def told_to_type(file: Path) -> list[str]:
    """The commands in the comments at the top of a file, without those for an engine, and without what is said beside them."""
    shown = "\n".join(re.findall(r"^#     (.*)$", file.read_text(encoding="utf-8"), re.MULTILINE)).replace("\\\n", "")
    return [re.sub(r"(?<=\S)\s{3,}then .*", "", line) for line in shown.split("\n") if not line.startswith("docker ")]


@pytest.mark.skipif(shutil.which("openssl") is None, reason="openssl makes the password")
def test_the_commands_in_the_comments_make_the_secrets(tmp_path: Path) -> None:
    """All three, readable in the container and closed to others outside; the address holds the password, and is one."""
    (tmp_path / "docker").mkdir()
    commands = told_to_type(PLAIN) + told_to_type(POSTGRESQL)
    assert len(commands) == 4
    for line in commands:
        subprocess.run(["sh", "-ec", line], cwd=tmp_path, input="7:token\n", text=True, check=True, umask=0o077)
    folder = tmp_path / "docker" / "secrets"
    assert folder.stat().st_mode & 0o777 == 0o700
    assert {path.name: path.stat().st_mode & 0o777 for path in folder.iterdir()} == dict.fromkeys(
        ["telegram_token", "database_password", "database_url"], 0o644
    )
    address = make_url((folder / "database_url").read_text(encoding="utf-8"))
    assert (address.drivername, address.host, address.database) == ("postgresql+psycopg", "postgres", "rackside")
    assert address.username == "rackside"
    assert address.password == (folder / "database_password").read_text(encoding="utf-8").strip()
    assert len(str(address.password)) == 48
    assert (folder / "telegram_token").read_text(encoding="utf-8") == "7:token\n"


def test_the_variables_they_set_are_known_to_the_program() -> None:
    """A misspelt one would be passed over without a word."""
    program = "\n".join(path.read_text(encoding="utf-8") for path in (TOP / "bot").glob("*.py"))
    told = merged(PLAIN, POSTGRESQL)["services"]["rackside"]["environment"]
    assert set(told) == {"RACKSIDE_ZONE", "RACKSIDE_TELEGRAM_TOKEN_FILE", "RACKSIDE_DATABASE_FILE"}
    assert all(f"RACKSIDE_{name.removeprefix('RACKSIDE_').removesuffix('_FILE')}" in program for name in told)


def test_the_check_of_health_is_the_same_in_both() -> None:
    """The image's own and the compose file's."""
    image = json.loads(stages()[-1].last("HEALTHCHECK").split("CMD", 1)[1])
    assert yaml.safe_load(PLAIN.read_text(encoding="utf-8"))["services"]["rackside"]["healthcheck"]["test"] == [
        "CMD",
        *image,
    ]


def test_the_image_starts_what_there_is() -> None:
    """Its command and its check are verbs of ours."""
    last = stages()[-1]
    assert last.words("ENTRYPOINT") == ["rackside"]
    check = json.loads(last.last("HEALTHCHECK").split("CMD", 1)[1])
    assert check[0] == "rackside"
    assert build_parser().parse_args(last.words("CMD")).verb == "bot.cli_run:run"
    assert build_parser().parse_args(check[1:]).verb == "bot.cli_health:health"


def test_what_is_copied_is_there_and_gets_to_the_builder() -> None:
    """Every source of a COPY line is let through by .dockerignore, and nothing else than these."""
    sent = context() - {".dockerignore"}
    sources = [
        path
        for stage in stages()
        for step in stage.steps
        if step.word == "COPY"
        for source, what, _ in [copied(step.value)]
        if source is None
        for path in what
    ]
    for path in sources:
        assert any(name == path or name.startswith(f"{path}/") for name in sent), path
    stray = [name for name in sent if not any(name == path or name.startswith(f"{path}/") for path in sources)]
    assert stray == []
    assert not any(part in name for name in sent for part in ("__pycache__", "fixtures/schemas", "secrets"))


def test_the_images_python_is_one_that_the_project_takes() -> None:
    """Both stages have the same; it is one on which the pins were made; and its tag names a full version."""
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    images = {stage.image for stage in stages()}
    assert len(images) == 1
    found = re.fullmatch(r"python:(\d+)\.(\d+)\.\d+-slim-[a-z]+", images.pop())
    assert found
    asked = re.fullmatch(r">=(\d+)\.(\d+)", project["requires-python"])
    assert asked
    assert (int(found[1]), int(found[2])) >= (int(asked[1]), int(asked[2]))


def test_every_image_is_of_a_full_version() -> None:
    """A tag such as `17` would bring another program one day, unasked."""
    images = [one["image"] for one in merged(PLAIN, POSTGRESQL)["services"].values() if "build" not in one]
    assert images
    assert all(re.fullmatch(r"[a-z]+:\d+\.\d+(\.\d+)?-[a-z]+", image) for image in images)


def test_nothing_is_installed_without_a_hash() -> None:
    """Each `pip install` checks hashes, or takes one wheel that was just built here and looks for nothing elsewhere."""
    installs = [
        part
        for stage in stages()
        for step in stage.steps
        if step.word == "RUN"
        for part in step.value.split("&&")
        if " install " in part and "pip" in part
    ]
    assert len(installs) == 3
    for one in installs:
        assert ("--require-hashes" in one and "--only-binary :all:" in one) or (
            "--no-index" in one and "--no-deps" in one
        )
    for name in ("requirements.lock", "build.lock"):
        lock = (FOLDER / name).read_text(encoding="utf-8")
        assert "://" not in lock
        blocks = re.split(r"\n(?=[a-z])", lock)[1:]
        assert blocks
        assert all("--hash=sha256:" in block for block in blocks)
