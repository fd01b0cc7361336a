"""The house itself: what stands at the top, how long a module may be, what the wheel carries."""

from __future__ import annotations

import ast
import os
import re
import subprocess
import tomllib
import zipfile
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parent.parent
ROOMS = {"bot", "storage", "tests", "fixtures", "docker"}
PAPERS = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml"}
LONGEST_MODULE = 300


def tracked() -> list[str]:
    """Paths that git knows; in a copy without git, all files but those that tools leave behind."""
    listed = subprocess.run(["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=False)
    if listed.returncode == 0:
        return [path for path in listed.stdout.splitlines() if (TOP / path).exists()]
    rooms = [path for room in ROOMS for path in (TOP / room).rglob("*") if "__pycache__" not in path.parts]
    return [str(path.relative_to(TOP)) for path in rooms if path.is_file()]


MODULES = [path for path in tracked() if path.endswith(".py")]


def test_the_top_level_holds_what_it_should_and_no_more() -> None:
    """At the top stand the five rooms, the papers, and dot files."""
    top = {path.split("/", maxsplit=1)[0] for path in tracked()}
    assert {name for name in top if not name.startswith(".")} <= ROOMS | PAPERS
    assert all((TOP / name).exists() for name in ROOMS | PAPERS)


@pytest.mark.parametrize("module", MODULES)
def test_a_module_is_short_and_says_what_it_is(module: str) -> None:
    """Every module has at most 300 lines and begins with a docstring."""
    source = (TOP / module).read_text(encoding="utf-8")
    assert source.count("\n") <= LONGEST_MODULE
    assert ast.get_docstring(ast.parse(source)), f"{module} does not say what it is"


def test_functions_are_short() -> None:
    """Half of the program's functions have at most 12 lines, nine in ten fewer than 35."""
    lengths = sorted(
        (node.end_lineno or node.lineno) - node.lineno + 1
        for module in MODULES
        if module.startswith(("bot/", "storage/"))
        for node in ast.walk(ast.parse((TOP / module).read_text(encoding="utf-8")))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    )
    assert lengths[len(lengths) // 2] <= 12
    assert lengths[len(lengths) * 9 // 10] < 35


def test_the_clock_is_read_in_one_place() -> None:
    """Only bot/app.py asks what time it is; everybody else is told."""
    asking = {
        module
        for module in MODULES
        if module.startswith(("bot/", "storage/"))
        for node in ast.walk(ast.parse((TOP / module).read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and node.attr in {"now", "utcnow", "today"}
        if isinstance(node.value, ast.Name) and node.value.id in {"datetime", "date"}
    }
    assert asking <= {"bot/app.py"}


def test_the_ci_script_can_be_run() -> None:
    """.ci/run is executable, and bash finds no fault in its grammar."""
    script = TOP / ".ci" / "run"
    assert os.access(script, os.X_OK)
    subprocess.run(["bash", "-n", str(script)], check=True)


def test_the_pinned_packages_are_the_projects_own() -> None:
    """docker/requirements.lock pins, with hashes, every package that pyproject.toml asks for, and names no host."""
    lock = (TOP / "docker" / "requirements.lock").read_text(encoding="utf-8")
    project = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = [re.split(r"[\[<>=]", wanted)[0] for wanted in project["dependencies"]]
    assert asked
    for package in asked:
        assert f"\n{package}==" in lock, f"{package} is not pinned"
    pinned = [block for block in lock.split("\n") if "==" in block and not block.startswith((" ", "#"))]
    assert lock.count("--hash=sha256:") >= len(pinned)
    assert "://" not in lock


@pytest.mark.slow
def test_the_wheel_carries_what_the_program_reads(tmp_path: Path) -> None:
    """A wheel built from here holds the vocabulary, the demo and the migrations, and no tests."""
    built = subprocess.run(
        [os.environ.get("UV", "uv"), "build", "--quiet", "--wheel", "--out-dir", str(tmp_path), str(TOP)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert built.returncode == 0, built.stderr
    (wheel,) = tmp_path.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    data = {path for path in tracked() if path.startswith(("bot/", "storage/", "fixtures/"))}
    assert data <= names
    assert any(name.startswith("bot/language/lexicon/") and name.endswith(".toml") for name in names)
    assert {"fixtures/demo/roster.toml", "fixtures/demo/season.jsonl"} <= names
    assert any(name.startswith("storage/migrations/versions/") for name in names)
    assert not any(name.startswith("tests/") for name in names)
