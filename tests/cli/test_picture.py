"""`rackside picture`: the same words as in talk, saved as a file."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.commands import rackside, set_up

pytestmark = pytest.mark.slow

PNG = b"\x89PNG\r\n\x1a\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder with group B in tub 4, of which a feeding is told."""
    made = set_up(tmp_path / "data")
    rackside(made, "say", "fed B 8 crickets")
    return made


@pytest.mark.parametrize("words", ["feeding calendar for B", "what B ate", "feedings of B"])
def test_a_picture_is_saved_and_its_finding_said(folder: Path, words: str) -> None:
    """With or without the word for what it is."""
    path = folder.parent / "b.png"
    done = rackside(folder, "picture", words, "--out", str(path))
    assert (done.returncode, done.stderr) == (0, "")
    assert path.read_bytes().startswith(PNG)
    assert done.stdout.startswith("group B: offered food once, none refused\n")
    assert done.stdout.endswith(f"Saved as {path}.\n")


def test_dark_is_another_picture(folder: Path) -> None:
    """By the option or by the word."""
    paths = [folder.parent / name for name in ("light.png", "dark.png", "said.png")]
    for path, words in zip(
        paths, (["head count of B"], ["head count of B", "--dark"], ["dark chart of how many in B"]), strict=True
    ):
        assert rackside(folder, "picture", *words, "--out", str(path)).returncode == 0
    light, dark, said = (path.read_bytes() for path in paths)
    assert light != dark == said


def test_without_a_file_the_finding_is_said(folder: Path) -> None:
    """And how to save it; nothing is left in the data folder."""
    done = rackside(folder, "picture", "how many in B")
    assert (done.returncode, done.stdout.splitlines()[-1]) == (0, "Add --out FILE.png to save the picture.")
    assert not (folder / "pictures").exists()


@pytest.mark.parametrize("words", ["humidity of tub 4 since March", "growth of B", "hello there"])
def test_where_there_is_nothing_to_draw_a_sentence_says_so(folder: Path, words: str) -> None:
    """The status is 1, and no file is made."""
    path = folder.parent / "none.png"
    done = rackside(folder, "picture", words, "--out", str(path))
    assert (done.returncode, done.stderr, path.exists()) == (1, "", False)
    assert len(done.stdout) > 20


def test_a_file_that_cannot_be_written_gets_a_sentence(folder: Path) -> None:
    """As for every verb: status 2, without a traceback."""
    done = rackside(folder, "picture", "head count of B", "--out", str(folder.parent / "none" / "b.png"))
    assert (done.returncode, done.stdout) == (2, "")
    assert "cannot be written" in done.stderr


def test_the_terminal_says_where_a_picture_lies(folder: Path) -> None:
    """With its whole path, which is that of a PNG."""
    done = rackside(folder, "say", "picture of B's head count")
    path = next(line for line in done.stdout.splitlines() if line.startswith("Picture: ")).removeprefix("Picture: ")
    assert Path(path).read_bytes().startswith(PNG)
