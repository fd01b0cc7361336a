"""Each rule of the Bot API that a bot can break is found once, and answered as the service answers."""

from __future__ import annotations

import html
import json
import time
from collections.abc import Iterator
from itertools import pairwise

import httpx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.telegram.bot_api import BotApi
from tests.telegram.bot_api.formatted import from_html
from tests.telegram.talking import ask

CHAT = "{chat}"


def button(**fields: str) -> str:
    """A keyboard with one button, as JSON."""
    return json.dumps({"inline_keyboard": [[fields]]})


REFUSED = {
    "unknown method": ("sendMesage", {"chat_id": CHAT, "text": "x"}, 404, "Not Found: method not found"),
    "missing parameter": ("sendMessage", {"text": "x"}, 400, "chat_id is empty"),
    "wrong type": (
        "sendMessage",
        {"chat_id": CHAT, "text": "x", "reply_markup": "[1]"},
        400,
        "can't parse reply keyboard markup",
    ),
    "empty text": ("sendMessage", {"chat_id": CHAT, "text": " \n"}, 400, "message text is empty"),
    "text too long": ("sendMessage", {"chat_id": CHAT, "text": "🕷" * 2048 + "x"}, 400, "message is too long"),
    "caption too long": (
        "sendPhoto",
        {"chat_id": CHAT, "photo": "AC", "caption": "x" * 1025},
        400,
        "message caption is too long",
    ),
    "callback data too long": (
        "sendMessage",
        {"chat_id": CHAT, "text": "x", "reply_markup": button(text="x", callback_data="é" * 32 + "x")},
        400,
        "BUTTON_DATA_INVALID",
    ),
    "button without a kind": (
        "sendMessage",
        {"chat_id": CHAT, "text": "x", "reply_markup": button(text="x")},
        400,
        "Text buttons are unallowed in the inline keyboard",
    ),
    "bad HTML": (
        "sendMessage",
        {"chat_id": CHAT, "text": "é <p>x</p>", "parse_mode": "HTML"},
        400,
        'can\'t parse entities: Unsupported start tag "p" at byte offset 3',
    ),
    "parse mode not known to the fake": (
        "sendMessage",
        {"chat_id": CHAT, "text": "x", "parse_mode": "Markdown"},
        400,
        "unsupported parse_mode",
    ),
    "missing file": ("sendPhoto", {"chat_id": CHAT, "photo": "attach://b"}, 400, "there is no photo in the request"),
    "unknown action": (
        "sendChatAction",
        {"chat_id": CHAT, "action": "dance"},
        400,
        "wrong parameter action in request",
    ),
    "callback answer too long": (
        "answerCallbackQuery",
        {"callback_query_id": "1", "text": "x" * 201},
        400,
        "MESSAGE_TOO_LONG",
    ),
    "bad command": (
        "setMyCommands",
        {"commands": json.dumps([{"command": "Due", "description": "x"}])},
        400,
        "BOT_COMMAND_INVALID",
    ),
    "too many commands": (
        "setMyCommands",
        {"commands": json.dumps([{"command": f"c{n}", "description": "x"} for n in range(101)])},
        400,
        "BOT_COMMANDS_TOO_MUCH",
    ),
    "bad webhook address": ("setWebhook", {"url": "example.org"}, 400, "bad webhook"),
    "bad secret token": (
        "setWebhook",
        {"url": "https://example.org/", "secret_token": "a b"},
        400,
        "secret token contains unallowed characters",
    ),
}

LET_PASS = {
    "unknown parameter": {"chat_id": CHAT, "text": "x", "colour": "red"},
    "bad HTML": {"chat_id": CHAT, "text": "roaches & crickets > 3", "parse_mode": "HTML"},
    "start parameter": {"chat_id": CHAT, "text": "https://t.me/rackside_test_bot?start=a+b"},
}


def filled(fields: dict[str, str], chat: int) -> dict[str, str]:
    """Fields with the chat's id where they ask for it."""
    return {name: value.replace(CHAT, str(chat)) for name, value in fields.items()}


@pytest.mark.parametrize("rule", REFUSED)
def test_a_broken_rule_is_refused_and_recorded(bot_api: BotApi, rule: str) -> None:
    """The service's own words come back, nothing is shown, and the violation names rule and method."""
    ann = bot_api.user("Ann")
    method, fields, code, words = REFUSED[rule]
    answer = ask(bot_api, method, **filled(fields, ann.id))
    assert answer["error_code"] == code
    assert words in answer["description"]
    assert answer["description"].startswith("Bad Request: " if code == 400 else "Not Found")
    assert [(violation["rule"], violation["method"]) for violation in bot_api.violations] == [(rule, method)]
    assert ann.chat.messages == []


@pytest.mark.parametrize("rule", LET_PASS)
def test_what_the_service_lets_pass_is_recorded_all_the_same(bot_api: BotApi, rule: str) -> None:
    """Some faults the service does not mind; the message is shown, and the violation recorded."""
    ann = bot_api.user("Ann")
    assert ask(bot_api, "sendMessage", **filled(LET_PASS[rule], ann.id))["ok"]
    assert [violation["rule"] for violation in bot_api.violations] == [rule]
    assert len(ann.chat.from_bot) == 1


@pytest.mark.parametrize(
    ("markup", "words"),
    [
        ("a < b", 'Unsupported start tag "" at byte offset 2'),
        ("<b>x", 'Can\'t find end tag corresponding to start tag "b"'),
        ("x</b>", "Unexpected end tag at byte offset 1"),
        ("<b><i>x</b></i>", 'Unmatched end tag at byte offset 7, expected "</i>", found "</b>"'),
        ("x <b", "Unclosed start tag at byte offset 2"),
        ("<b>x</b", "Unclosed end tag at byte offset 4"),
        ("<span>x</span>", 'Tag "span" must have class "tg-spoiler" at byte offset 0'),
    ],
)
def test_html_that_cannot_be_read_is_refused_with_its_place(bot_api: BotApi, markup: str, words: str) -> None:
    """What is wrong in HTML is told with its byte offset."""
    ann = bot_api.user("Ann")
    answer = ask(bot_api, "sendMessage", chat_id=ann.id, text=markup, parse_mode="HTML")
    assert answer["description"] == f"Bad Request: can't parse entities: {words}"


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"])))
def test_escaped_text_comes_through_whole(text: str) -> None:
    """Whatever is escaped is shown as it was written, without entities and without a rule broken."""
    assert from_html(html.escape(text)) == (text.strip(), [], [])


def test_lengths_at_the_limit_are_no_violation(bot_api: BotApi) -> None:
    """4096 units of text, counted without tags, and 64 bytes of data are let pass."""
    ann = bot_api.user("Ann")
    keyboard = button(text="x", callback_data="é" * 32)
    text = "<b>" + "🕷" * 2048 + "</b>"
    assert ask(bot_api, "sendMessage", chat_id=ann.id, text=text, parse_mode="HTML", reply_markup=keyboard)["ok"]
    assert bot_api.violations == []


def test_a_file_too_big_is_refused(bot_api: BotApi) -> None:
    """A photo of more than 10 MB is refused before anybody looks into it."""
    ann = bot_api.user("Ann")
    answer = httpx.post(
        f"{bot_api.base_url}{bot_api.token}/sendPhoto",
        data={"chat_id": str(ann.id)},
        files={"photo": ("b.jpg", bytes(10 * 1024 * 1024 + 1))},
    )
    assert answer.json()["description"] == "Bad Request: file is too big"
    assert [violation["rule"] for violation in bot_api.violations] == ["file too big"]


def test_a_file_may_come_in_pieces_of_any_length(bot_api: BotApi) -> None:
    """How the wire cuts a request is no part of it (RFC 9112, section 6.3): a few bytes alone, then many at once."""
    ann = bot_api.user("Ann")
    address = f"{bot_api.base_url}{bot_api.token}/sendDocument"
    files = {"document": ("b.bin", bytes(40_000))}
    form = httpx.Request("POST", address, data={"chat_id": str(ann.id)}, files=files)
    body = form.read()

    def pieces() -> Iterator[bytes]:
        file = body.index(bytes(40_000))
        for start, end in pairwise((0, file + 1000, file + 1010, len(body))):
            yield body[start:end]
            time.sleep(0.2)  # so that each is read before the next is there

    answer = httpx.post(address, headers=form.headers, content=pieces())
    assert answer.json()["result"]["document"]["file_size"] == 40_000
    assert bot_api.violations == []


def test_a_request_may_come_as_json_and_in_any_case(bot_api: BotApi) -> None:
    """JSON does as well as a form, and the case of a method's name does not matter, as with the service."""
    ann = bot_api.user("Ann")
    answer = httpx.post(f"{bot_api.base_url}{bot_api.token}/sendmessage", json={"chat_id": ann.id, "text": "fed B"})
    assert answer.json()["result"]["text"] == "fed B"
    assert bot_api.requests[0]["method"] == "sendMessage"
    assert bot_api.violations == []


def test_the_largest_upload_is_fifty_megabytes(bot_api: BotApi) -> None:
    """A request beyond 50 MB is answered 413."""
    answer = httpx.post(
        f"{bot_api.base_url}{bot_api.token}/sendDocument",
        files={"document": ("b.bin", bytes(50 * 1024 * 1024 + 1))},
        timeout=20,
    )
    assert answer.json() == {"ok": False, "error_code": 413, "description": "Request Entity Too Large"}
    assert [violation["rule"] for violation in bot_api.violations] == ["file too big"]


def test_kinds_of_updates_must_exist(bot_api: BotApi) -> None:
    """A kind of update that the API does not know is let pass and recorded."""
    assert ask(bot_api, "getUpdates", allowed_updates='["message", "mesage"]')["ok"]
    assert [violation["detail"] for violation in bot_api.violations] == ["mesage"]


def test_no_link_to_the_bot_is_mistaken(bot_api: BotApi) -> None:
    """A start parameter that fits is no violation, in text, in a link and on a button."""
    ann = bot_api.user("Ann")
    link = f"https://t.me/{bot_api.username}?start=A_b-9"
    markup = f'{link} <a href="{link}">B</a>'
    assert ask(
        bot_api, "sendMessage", chat_id=ann.id, text=markup, parse_mode="HTML", reply_markup=button(text="B", url=link)
    )["ok"]
    assert ask(bot_api, "sendMessage", chat_id=ann.id, text="x", reply_markup=button(text="B", url=link + "!"))["ok"]
    assert [violation["detail"] for violation in bot_api.violations] == ["A_b-9!"]
    assert ann.chat.from_bot[0].buttons[0].url == link
