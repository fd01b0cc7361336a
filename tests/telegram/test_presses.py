"""Buttons: the choices of a question, and what comes of a press."""

from __future__ import annotations

from pathlib import Path

from storage import outbox
from tests.telegram.bot_api import BotApi, Chat, Person, Said, Shown
from tests.telegram.served import Home, bot_at

UNCLEAR = "fed the scorpion 2 crickets"


def asked(api: BotApi, person: Person, chat: Chat | None = None) -> Shown:
    """The question that the bot asks back."""
    place = chat or person.chat
    person.say(UNCLEAR if chat is None else f"@{api.username} {UNCLEAR}", chat)
    api.wait(lambda: place.from_bot and place.from_bot[-1].buttons)
    return place.from_bot[-1]


def test_a_press_is_answered_in_place(bot_api: BotApi, tmp_path: Path) -> None:
    """The question becomes its own answer, without buttons; no new message comes, and the press itself is answered."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann):
        question = asked(bot_api, ann)
        assert question.labels == ["sand tray 1", "sand tray 2", "stone crate"]
        assert all(len((button.data or "").encode()) <= 64 for button in question.buttons)
        press = ann.press(question, "sand tray 2")
        bot_api.wait(lambda: ann.chat.message(question.id).edited)
        (shown,) = ann.chat.from_bot
        assert shown.text.startswith(f"{question.text}\n")
        assert "sand tray 2" in shown.text
        assert shown.buttons == []
        bot_api.wait(lambda: press.answer)
        assert press.answer == {"text": "", "alert": False}


def test_an_old_or_a_strangers_press_gets_a_sentence(bot_api: BotApi, tmp_path: Path) -> None:
    """A button pressed too late, or by who is no member, is answered with an alert and changes nothing."""
    ann, zed = bot_api.user("Ann"), bot_api.user("Zed")
    rack = bot_api.group("Rack", ann, zed)
    with bot_at(bot_api, tmp_path / "home", ann):
        question = asked(bot_api, ann, rack)
        strange = zed.press(question, "sand tray 1")
        bot_api.wait(lambda: strange.answer)
        assert strange.answer is not None
        assert strange.answer["alert"]
        assert strange.answer["text"].startswith("I do not know you yet")
        assert not rack.message(question.id).edited
        ann.press(question, "sand tray 2")
        bot_api.wait(lambda: rack.message(question.id).edited)
        after = rack.message(question.id).text
        late = ann.press(question, question.buttons[0])
        bot_api.wait(lambda: late.answer)
        assert late.answer is not None
        assert late.answer["alert"]
        assert late.answer["text"]
        assert rack.message(question.id).text == after


def test_a_press_that_expired_still_counts(bot_api: BotApi, tmp_path: Path) -> None:
    """Where the service takes no answer to the press any more, the choice is made all the same."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann):
        question = asked(bot_api, ann)
        bot_api.fail_next(400, method="answerCallbackQuery")
        press = ann.press(question, "sand tray 2")
        bot_api.wait(lambda: ann.chat.message(question.id).edited)
        assert press.answer is None


def test_a_question_that_is_gone_is_answered_anew(bot_api: BotApi, tmp_path: Path) -> None:
    """Where the message with the button cannot be edited any more, the answer is a message of its own."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann):
        question = asked(bot_api, ann)
        bot_api.slow_next(1.0, method="editMessageText")
        ann.press(question, "sand tray 2")
        bot_api.wait(lambda: bot_api.requested("editMessageText"))
        ann.delete(Said(ann.chat, question.id, None))
        bot_api.wait(lambda: ann.chat.texts)
        assert "sand tray 2" in ann.chat.texts[0]


def replacing(kept: Home, chat: Chat, text: str, replaced: int) -> int:
    with kept.household.app.store.write() as session:
        of = kept.household.collection.id
        return outbox.put(session, of, "telegram", str(chat.id), None, {"text": text}, replaces=replaced)


def test_an_edit_that_changes_nothing_counts_as_sent(bot_api: BotApi, tmp_path: Path) -> None:
    """The service refuses an edit to the same words; what it shows is what was wanted."""
    ann = bot_api.user("Ann")
    with bot_at(bot_api, tmp_path / "home", ann) as kept:
        first = kept.put(ann.chat, "water")
        bot_api.wait(lambda: kept.outgoing(first).sent)
        again = replacing(kept, ann.chat, "water", first)
        bot_api.wait(lambda: kept.outgoing(again).sent)
        assert kept.outgoing(again).service_id == kept.outgoing(first).service_id
        assert ann.chat.texts == ["water"]
        assert kept.outgoing(again).tries == 0
