"""Who may write and ask here, changed by talking."""

from __future__ import annotations

import pytest

from storage import households, outbox, questions
from tests.conversation.chatting import NOW, TELEGRAM, Chat


@pytest.mark.parametrize("words", ["who is here", "who's here?", "Members", "who else is here"])
def test_members_are_told_with_role_and_channel(chat: Chat, words: str) -> None:
    """Each member has a line, the asker is marked, and no address is shown."""
    text = chat.hear(words, by="vic")
    assert text.splitlines() == [
        "Here are:",
        "- owner, at the terminal",
        "- Ana, owner, on telegram",
        "- Ben, keeper, on telegram",
        "- Vic, viewer, on telegram (you)",
    ]


@pytest.mark.parametrize("words", ["remove Ben", "remove member ben", "Kick Ben.", "please remove the member Ben"])
def test_an_owner_removes_a_member(chat: Chat, words: str) -> None:
    """The membership ends, the open question with it, what waits for the chat is given up; the entries stay."""
    chat.hear("fed Flint 2", by="ben")
    chat.hear("fed 3 roaches", by="ben")
    with chat.session() as session:
        late = outbox.put(session, 1, TELEGRAM, "ben", None, {"text": "good morning"})
    assert chat.hear(words) == "Ben is no member any more and can neither write nor ask. What Ben wrote stays."
    with chat.session() as session:
        assert questions.open_questions(session, chat.member("Ben").id) == []
        row = outbox.row(session, late)
        assert row is not None
        assert row.given_up
        assert households.member_by_address(session, TELEGRAM, "ben") is None
    assert ("feeding", ("Flint",), "fed Flint 2") in chat.lines()
    assert "Ben" not in chat.hear("who is here")


@pytest.mark.parametrize("by", ["ben", "vic"])
@pytest.mark.parametrize("words", ["remove Ana", "make Ana a viewer", "remove member Vic", "make Vic an owner"])
def test_only_owners_change_who_is_here(chat: Chat, by: str, words: str) -> None:
    """Keepers and viewers get a sentence, and nothing changes."""
    before = chat.hear("who is here")
    assert chat.hear(words, by=by) == "Only an owner may change who is here, so nothing was changed."
    assert chat.hear("who is here") == before


@pytest.mark.parametrize("words", ["remove Ana", "remove me", "make Ana a keeper"])
def test_the_last_owner_stays(chat: Chat, words: str) -> None:
    """With one owner left, that one can neither be removed nor be made less."""
    chat.hear("make owner a keeper")
    assert chat.hear(words).startswith("Ana is the only owner, so nothing was changed.")
    assert chat.member("Ana").role == "owner"


def test_a_name_of_the_roster_comes_before_a_members(chat: Chat) -> None:
    """A member called like an animal is only meant with the word "member"."""
    with chat.session() as session:
        households.add_member(session, 1, TELEGRAM, "f", "Flint", "keeper", NOW)
    assert "no member" not in chat.hear("remove Flint")
    assert not chat.member("Flint").left
    assert chat.hear("remove member Flint").startswith("Flint is no member any more")


def test_a_name_that_is_no_members_is_no_matter_of_membership(chat: Chat) -> None:
    """“remove Zed” is read as ever; with the word "member" it is said that there is none."""
    assert "member" not in chat.hear("remove Zed")
    assert chat.hear("remove member Zed").startswith("No member is called Zed, so nothing was changed.")


def test_two_of_one_name_are_told_apart_by_channel(chat: Chat) -> None:
    """The bot asks for the channel, and the sentence that it gives removes that one."""
    with chat.session() as session:
        households.add_member(session, 1, "matrix", "@ben:house", "Ben", "viewer", NOW)
    assert "Say “remove Ben on telegram” or “remove Ben on matrix”." in chat.hear("remove Ben")
    chat.hear("remove Ben on matrix")
    with chat.session() as session:
        assert households.member_by_address(session, TELEGRAM, "ben") is not None
        assert households.member_by_address(session, "matrix", "@ben:house") is None


def test_two_of_one_name_on_one_channel_are_told_apart_by_number(chat: Chat) -> None:
    """Where the channel does not tell them apart, their numbers do."""
    with chat.session() as session:
        other = households.add_member(session, 1, TELEGRAM, "ben2", "Ben", "viewer", NOW)
    text = chat.hear("make Ben an owner")
    assert f"“make member {other} an owner”" in text
    assert chat.hear(f"make member {other} an owner") == "Ben is an owner now: may ask, write, and say who is here."
    with chat.session() as session:
        assert households.member(session, other).role == "owner"


def test_a_role_is_changed_and_holds_at_once(chat: Chat) -> None:
    """A keeper made a viewer may ask and not write; a viewer made a keeper may write."""
    assert chat.hear("make Ben a viewer") == "Ben is a viewer now: may ask, and not write."
    assert chat.hear("fed Flint 2", by="ben").startswith("You may ask here but not write")
    assert chat.hear("make Vic keeper") == "Vic is a keeper now: may ask and write."
    assert chat.hear("fed Flint 2", by="vic").startswith("Written: Flint: fed 2")
    assert chat.hear("make Vic a keeper") == "Vic is a keeper already."


def test_one_made_a_viewer_is_not_held_up_by_an_open_question(chat: Chat) -> None:
    """A question that a viewer could not answer is dropped with the role, so that asking goes on."""
    chat.hear("fed 3 roaches", by="ben")
    chat.hear("make Ben a viewer")
    assert chat.hear("when did Flint last eat", by="ben") == "No feeding of Flint is written."


def test_what_waits_in_a_shared_chat_is_still_sent(chat: Chat) -> None:
    """Where the removed member was written to in a group of several, the others still get what waits there."""
    with chat.session() as session:
        for address in ("ben", "vic"):
            member = households.member_by_address(session, TELEGRAM, address)
            assert member is not None
            households.set_chat(session, member.id, "group")
        late = outbox.put(session, 1, TELEGRAM, "group", None, {"text": "good morning"})
    chat.hear("remove Ben")
    with chat.session() as session:
        row = outbox.row(session, late)
    assert row is not None
    assert not row.given_up
