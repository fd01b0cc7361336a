"""The demo season as a chat export, brought in: the same records as the season replayed, but for what is of its time alone."""

from __future__ import annotations

import json
from collections import Counter
from datetime import datetime
from pathlib import Path

import pytest

from bot.cli import main
from fixtures.demo import roster_path, season_path
from tests.moving.incoming import Said, standing_in

pytestmark = [pytest.mark.slow, pytest.mark.sqlite_only("the command is told its folder here")]


FORM = "{at:%m/%d/%y, %I:%M\u202f%p} - owner: {text}"


def exported() -> str:
    """The season as an exporter would print it: the last words of an edited message, none that was deleted."""
    said: dict[str, tuple[datetime, str]] = {}
    for line in season_path().read_text().splitlines():
        one = json.loads(line)
        if "deletes" in one:
            said.pop(one["deletes"], None)
        elif "edits" in one:
            said[one["edits"]] = (said[one["edits"]][0], one["text"])
        else:
            said[one["id"]] = (datetime.fromisoformat(one["at"]), one["text"])
    return "\n".join(FORM.format(at=at, text=text) for at, text in said.values())


def logged(entries: Counter[Said]) -> Counter[Said]:
    """Records of what was done and seen; plans and notes of bygone ones are left out."""
    return Counter(
        {one: number for one, number in entries.items() if not one[1].startswith("plan") and one[1] != "note"}
    )


def test_a_season_brought_in_is_the_season_replayed(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every record of the replay is there and no other, but for one message edited on the next day, whose day is its own now."""
    chat = tmp_path / "chat.txt"
    chat.write_text(exported(), encoding="utf-8")
    replayed, brought = tmp_path / "replayed", tmp_path / "brought"
    roster = str(roster_path())
    assert main(["replay", str(season_path()), "--roster", roster, "--keep", str(replayed)]) == 0
    assert main(["roster", "import", roster, "--data", str(brought)]) == 0
    assert main(["import", str(chat), "--data", str(brought)]) == 0
    assert "Read a chat as text: 254 messages" in capsys.readouterr().out
    one, other = logged(standing_in(replayed)), logged(standing_in(brought))
    assert sum((one & other).values()) > 180
    # The edit came on the 27th: replayed, the new words count from then; in an export they stand at the message's own time.
    assert [(on, words) for on, _kind, _who, _fields, words in one - other] == [("2026-03-27", "nimbus 40 grams")]
    assert [(on, words) for on, _kind, _who, _fields, words in other - one] == [("2026-03-26", "nimbus 40 grams")]
