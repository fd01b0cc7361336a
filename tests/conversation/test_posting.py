"""Replies on their way out: in as many messages as the service takes, with buttons on the last, in place of what was tapped."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.conversation.posting import CHOSEN, Where, bare, post, split, units
from bot.conversation.reply import Attachment, Reply
from storage import chats, inbox, outbox
from storage.inbox import Incoming
from storage.outbox import OutboxRow
from tests.front import ANA, CHANNEL, Front

LONGEST = 4096
LINE = "Marigolds 🕷️: fed 3 crickets, Tue 3 Mar 2026"


def posted(front: Front, body: dict[str, Any], channel: str = CHANNEL, answers: int | None = None) -> list[OutboxRow]:
    """What a body comes to in the outbox, oldest first."""
    with front.desk.app.store.write() as session:
        message = None if answers is None else inbox.row(session, answers)
        last = post(session, Where(1, channel, ANA, message), body)
        rows = outbox.waiting(session, channel)
        assert last == (rows[-1].id if rows else None)
        for row in rows:
            outbox.mark_sent(session, row.id, f"b{row.id}")
    return rows


def tapped(front: Front, asked: OutboxRow, label: str, channel: str = CHANNEL) -> int:
    """A choice of a message was tapped; the id of that in the inbox."""
    with front.desk.app.store.write() as session:
        tap = Incoming(
            collection_id=1,
            member_id=2,
            channel=channel,
            chat=ANA,
            key=f"tap {asked.id}",
            text=label,
            sent_at=front.clock.now(),
            pressed=asked.id,
        )
        taken = inbox.receive(session, tap)
    assert taken is not None
    return taken


def question(text: str = "Which one was it for?") -> dict[str, Any]:
    return bare(Reply(text, choices=("Marigolds", "Saffron")))


def no_gaps(text: str) -> str:
    """A text without the gaps between its words."""
    return "".join(text.split())


def test_a_long_reply_is_parted_at_line_ends(front: Front) -> None:
    """10,000 characters go in parts of at most 4,096 UTF-16 units, each of whole lines, and joined they are the whole."""
    text = "\n".join(f"{number}. {LINE}" for number in range(220))
    assert len(text) > 10_000
    parts = [row.body["text"] for row in posted(front, bare(Reply(text)))]
    assert len(parts) == 3
    assert "\n".join(parts) == text
    assert all(0 < units(part) <= LONGEST for part in parts)
    assert all(units(first) + 1 + units(second.split("\n")[0]) > LONGEST for first, second in pairwise(parts))


@given(
    st.lists(st.text(st.characters() | st.sampled_from("\n 🕷é")) | st.just("🕷️" * 30) | st.just("\n" * 50)).map("".join)
)
def test_any_text_is_parted_into_its_words(text: str) -> None:
    """No part is empty or too long, whatever the text; the parts hold every character but the gaps where they were parted."""
    parts = list(split(text, 40))
    assert all(part.strip() and units(part) <= 40 for part in parts)
    assert no_gaps("".join(parts)) == no_gaps(text) or not text.strip()
    if text.strip() and units(text) <= 40:
        assert parts == [text]


@given(st.text())
def test_length_is_counted_as_the_services_count(text: str) -> None:
    """Units are UTF-16 code units: an emoji beyond the first plane counts as two."""
    assert units(text) == len(text.encode("utf-16-le", "surrogatepass")) // 2


def test_a_line_that_is_too_long_is_parted_at_a_space_and_a_word_anywhere(front: Front) -> None:
    """Without a line end the last space that fits, without a space the very limit."""
    words = "cricket " * 600 + "x" * 5000
    parts = [row.body["text"] for row in posted(front, bare(Reply(words)))]
    assert [units(part) for part in parts] == [4095, 703, 4096, 904]
    assert no_gaps("".join(parts)) == no_gaps(words)


def test_what_belongs_to_a_reply_once_goes_with_its_last_part(front: Front) -> None:
    """Choices, table, entries and the open question are on the last part alone; whom it is for is on each."""
    reply = Reply(
        f"{LINE}\n" * 200,
        ("one", "two"),
        ("day",),
        (("3 Mar",),),
        ({"kind": "feeding"},),
        (Attachment("photos/x.jpg"),),
    )
    body = {**bare(reply), "question": 7, "more": {"x": 1}, "did": {"setup": True}, "to": ANA, "about": 9}
    *early, last = posted(front, body)
    assert len(early) >= 2
    for row in early:
        assert not {"choices", "header", "rows", "files", "entries", "question", "more", "did"} & set(row.body)
        assert row.token is None
        assert (row.body["to"], row.body["about"]) == (ANA, 9)
    assert {**last.body, "text": ""} == {**body, "text": "", "choices": ["one", "two"]} | _as_json(body)
    assert last.token


def _as_json(body: dict[str, Any]) -> dict[str, Any]:
    return {
        **body,
        "text": "",
        "choices": list(body["choices"]),
        "header": list(body["header"]),
        "rows": [list(row) for row in body["rows"]],
        "entries": list(body["entries"]),
        "files": list(body["files"]),
    }


def test_a_long_push_rings_once(front: Front) -> None:
    """The first of its parts makes a sound, the others come without one; a short one rings as ever."""
    body = bare(Reply(f"{LINE}\n" * 300)) | {"push": True}
    rows = posted(front, body)
    assert [bool(row.body.get("push")) for row in rows] == [True, *(False for _ in rows[1:])]
    assert len(rows) > 2
    (row,) = posted(front, bare(Reply(LINE)) | {"push": True})
    assert row.body["push"]


def test_a_file_with_many_words_comes_after_them(front: Front) -> None:
    """Words too long for a caption go before the file, which then has none; a short caption stays with its file."""
    file = Attachment("photos/x.jpg")
    words, alone = posted(front, bare(Reply("x" * 1025, files=(file,))))
    assert (len(words.body["text"]), words.body.get("files")) == (1025, None)
    assert (alone.body["text"], len(alone.body["files"])) == ("", 1)
    (together,) = posted(front, bare(Reply("x" * 1024, files=(file,))))
    assert (len(together.body["text"]), len(together.body["files"])) == (1024, 1)


def test_a_terminal_gets_it_whole(front: Front) -> None:
    """Where nothing limits a message, it is one."""
    (row,) = posted(front, bare(Reply("x" * 50_000)), "console")
    assert len(row.body["text"]) == 50_000


@pytest.mark.parametrize("text", ["", "  ", "\n\n"])
def test_nothing_to_say_is_no_message(front: Front, text: str) -> None:
    """A reply without words or file is not sent; a file alone is."""
    assert posted(front, bare(Reply(text))) == []
    assert len(posted(front, bare(Reply(text, files=(Attachment("photos/x.jpg"),))))) == 1


def test_tokens_are_short_and_each_message_has_its_own(front: Front) -> None:
    """The id of a button is at most 64 bytes, and no two messages share one."""
    choices = tuple(f"choice {number}" for number in range(120))
    rows = [posted(front, bare(Reply("Which?", choices)))[0] for _ in range(5)]
    assert len({row.token for row in rows}) == 5
    assert all(row.token and len(f"{row.token}:119".encode()) <= 64 for row in rows)


def test_the_answer_to_a_tap_takes_the_place_of_its_message(front: Front) -> None:
    """On Telegram it goes where the question stood, with the question and the choice before it, and with choices of its own."""
    (asked,) = posted(front, question())
    tap = tapped(front, asked, "Saffron")
    (answer,) = posted(front, question("Which day?"), answers=tap)
    assert answer.replaces == asked.id
    assert answer.body["text"] == f"Which one was it for?\n{CHOSEN}Saffron\nWhich day?"
    assert answer.body["choices"] == ["Marigolds", "Saffron"]
    assert answer.token not in (None, asked.token)


@pytest.mark.parametrize("channel", ["matrix", "console"])
def test_elsewhere_the_answer_to_a_tap_is_a_message_of_its_own(front: Front, channel: str) -> None:
    """Services whose messages are not changed in place get a new one, with the answer alone."""
    (asked,) = posted(front, question(), channel)
    (answer,) = posted(front, bare(Reply("Written.")), channel, tapped(front, asked, "Saffron", channel))
    assert (answer.replaces, answer.body["text"]) == (None, "Written.")


def test_an_answer_too_long_for_its_place_is_a_message_of_its_own(front: Front) -> None:
    """Where question and answer together are longer than a message, the answer stands alone; up to that they are one."""
    (asked,) = posted(front, question())
    around = units(f"Which one was it for?\n{CHOSEN}Saffron\n")
    (fits,) = posted(front, bare(Reply("x" * (LONGEST - around))), answers=tapped(front, asked, "Saffron"))
    assert fits.replaces == asked.id
    (asked,) = posted(front, question())
    (alone,) = posted(front, bare(Reply("x" * (LONGEST - around + 1))), answers=tapped(front, asked, "Saffron"))
    assert (alone.replaces, alone.body["text"][:3]) == (None, "xxx")


def test_a_picture_takes_no_message_s_place(front: Front) -> None:
    """A file cannot be put where words stood, nor words where a file stood."""
    (asked,) = posted(front, question())
    picture = bare(Reply("Here.", files=(Attachment("photos/x.jpg"),)))
    (answer,) = posted(front, picture, answers=tapped(front, asked, "Saffron"))
    assert answer.replaces is None
    (shown,) = posted(front, {**picture, "choices": ["one"]})
    (answer,) = posted(front, bare(Reply("Done.")), answers=tapped(front, shown, "one"))
    assert answer.replaces is None


def test_an_answer_to_a_moved_chat_goes_where_the_chat_is_now(front: Front) -> None:
    """A message that waited while its chat moved is answered in the new one."""
    with front.desk.app.store.write() as session:
        chats.move(session, CHANNEL, ANA, "-1009")
    (row,) = posted(front, bare(Reply("Written.")))
    assert row.chat == "-1009"
