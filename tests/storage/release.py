"""Keep a released schema: its database as SQL text, and what its own program sees in it.

    python -m tests.storage.release                      the schema of this checkout
    python -m tests.storage.release --program FOLDER     of another one, say a `git worktree` of an older release

plays the season of fixtures/schemas with that program and writes NNNN.sql and NNNN.json there. A pair that is there already is
left alone: a schema that was released does not change.
"""

from __future__ import annotations

import argparse
import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Mapping, Sequence
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from fixtures import schemas

HERE = Path(__file__).resolve().parent
FILE_NAME = "rackside.sqlite3"


def main(arguments: list[str] | None = None) -> int:
    """Write the pair; 1 where it is there already."""
    parser = argparse.ArgumentParser(prog="python -m tests.storage.release", description="Keep a released schema.")
    parser.add_argument("--program", type=Path, default=HERE.parent.parent, metavar="FOLDER", help="its checkout")
    parser.add_argument("--out", type=Path, default=schemas.folder(), metavar="DIR", help="where to write the pair")
    options = parser.parse_args(arguments)
    with TemporaryDirectory(prefix="rackside-") as scratch:
        data = Path(scratch) / "data"
        lived(options.program.resolve(), data)
        revision, text = dump(data / FILE_NAME)
        sight = witness(options.program.resolve(), data)
    if (options.out / f"{revision}.sql").exists():
        sys.stdout.write(f"Schema {revision} is kept already, in {options.out}.\n")
        return 1
    (options.out / f"{revision}.sql").write_text(text, encoding="utf-8")
    (options.out / f"{revision}.json").write_text(written(sight), encoding="utf-8")
    sys.stdout.write(f"Schema {revision}: {revision}.sql and {revision}.json written to {options.out}.\n")
    return 0


def lived(program: Path, data: Path) -> None:
    """Play the season with a program, into a new data folder."""
    season, roster = schemas.folder() / "season.jsonl", schemas.folder() / "roster.toml"
    words = ["-m", "bot.cli", "replay", str(season), "--roster", str(roster), "--keep", str(data)]
    _run(program, words)
    _run(program, [str(HERE / "furnish.py"), str(data)])


def dump(file: Path) -> tuple[str, str]:
    """The revision of a database, and the whole of it as SQL text."""
    with closing(sqlite3.connect(file)) as database:
        revision = database.execute("SELECT version_num FROM alembic_version").fetchone()[0]
        return str(revision), "\n".join(database.iterdump()) + "\n"


def witness(program: Path, data: Path) -> list[dict[str, Any]]:
    """What a program sees in a data folder of its own."""
    found: list[dict[str, Any]] = json.loads(_run(program, [str(HERE / "witness.py"), str(data)]))
    return found


def written(sight: Sequence[Mapping[str, Any]]) -> str:
    """The sight as JSON that can be read, and compared line by line: each thing on a line of its own."""
    collections = []
    for one in sight:
        parts = [f" {json.dumps(key)}: {_lines(value)}" for key, value in one.items()]
        collections.append("{\n" + ",\n".join(parts) + "\n}")
    return "[" + ",\n".join(collections) + "]\n"


def _lines(value: object) -> str:
    if not isinstance(value, list) or not value:
        return json.dumps(value, ensure_ascii=False)
    return "[\n  " + ",\n  ".join(json.dumps(one, ensure_ascii=False) for one in value) + "\n ]"


def _run(program: Path, words: list[str]) -> str:
    """Run Python with that program, and no other, on the path; what it prints."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("RACKSIDE_")}
    environment = {**kept, "PYTHONPATH": str(program), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [sys.executable, *words], cwd=program, env=environment, stdout=subprocess.PIPE, text=True, check=True
    )
    return done.stdout


if __name__ == "__main__":
    sys.exit(main())
