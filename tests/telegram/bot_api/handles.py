"""People and chats as a test holds them."""

from __future__ import annotations

import base64
import re
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from tests.telegram.bot_api.formatted import START_PARAMETER
from tests.telegram.bot_api.shown import Button, Shown
from tests.telegram.bot_api.world import BOT_NAME

Call = Callable[..., Any]

LINK = re.compile(rf"https://t\.me/{BOT_NAME}(?:\?start=(.*))?")


@dataclass(frozen=True, slots=True)
class Chat:
    """A chat: private, group or supergroup."""

    call: Call
    id: int

    @property
    def messages(self) -> list[Shown]:
        """What it shows now, oldest first, edits applied."""
        return [Shown(message) for message in self.call("messages", chat_id=self.id)]

    @property
    def count(self) -> int:
        """How many messages it shows; cheap to ask often."""
        return int(self.call("shown", chat_id=self.id))

    @property
    def from_bot(self) -> list[Shown]:
        """What the bot sent that it shows now."""
        return [message for message in self.messages if message.by_bot]

    @property
    def texts(self) -> list[str]:
        """The texts of what the bot sent."""
        return [message.text for message in self.from_bot]

    @property
    def actions(self) -> list[str]:
        """Actions such as "typing" that the bot showed, in order."""
        return list(self.call("actions", chat_id=self.id))

    def message(self, number: int) -> Shown:
        """The message of that id."""
        return next(message for message in self.messages if message.id == number)

    def flood(self, seconds: float) -> None:
        """Answer what is sent here with 429 for so long; a send before the time told is a violation."""
        self.call("flood", chat_id=self.id, seconds=seconds)


@dataclass(frozen=True, slots=True)
class Said:
    """What somebody wrote: chat and message id, and the id of the update, None where the bot does not hear it."""

    chat: Chat
    id: int
    update: int | None


@dataclass(frozen=True, slots=True)
class Press:
    """A press of a button."""

    call: Call
    query: str

    @property
    def answer(self) -> dict[str, Any] | None:
        """What the bot answered: text (may be empty) and alert; None as long as it did not."""
        answer: dict[str, Any] | None = self.call("query", query=self.query)["answer"]
        return answer


class Group(Chat):
    """A group or supergroup."""

    __slots__ = ()

    def topic(self, name: str, by: Person) -> int:
        """Open a topic; gives its thread id."""
        return int(self.call("topic", chat_id=self.id, by=by.id, name=name))

    def migrate(self, by: Person) -> Group:
        """Become a supergroup; gives that one. Sends to the old id are answered 400 with the new one."""
        return Group(self.call, self.call("migrate", chat_id=self.id, by=by.id))

    def remove_bot(self, by: Person) -> None:
        """Throw the bot out."""
        self.call("standing", chat_id=self.id, standing="kicked", by=by.id)

    def add_bot(self, by: Person) -> None:
        """Take the bot in again."""
        self.call("standing", chat_id=self.id, standing="member", by=by.id)


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who chats. Where no chat is named, it is the private one."""

    call: Call
    id: int
    name: str

    @property
    def chat(self) -> Chat:
        """The private chat with the bot."""
        return Chat(self.call, self.id)

    def say(
        self,
        text: str,
        chat: Chat | None = None,
        *,
        reply_to: Said | Shown | int | None = None,
        topic: int | None = None,
        forwarded_from: Person | str | None = None,
    ) -> Said:
        """Write a text; commands and mentions in it get their entities."""
        return self.post({"text": text, **self._origin(forwarded_from)}, chat, reply_to=reply_to, topic=topic)

    def start(self, parameter: str | None = None) -> Said:
        """Open the bot, by a link with a start parameter where one is given."""
        if parameter is not None and not START_PARAMETER.fullmatch(parameter):
            raise AssertionError(f"no link can carry {parameter!r}: 1 to 64 of A-Z a-z 0-9 _ -")
        return self.say("/start" if parameter is None else f"/start {parameter}")

    def open(self, link: str) -> Said:
        """Follow a link to the bot, such as one on a label, and press Start."""
        followed = LINK.fullmatch(link)
        if followed is None:
            raise AssertionError(f"{link!r} does not lead to the bot")
        return self.start(followed[1])

    def send_photo(
        self,
        content: bytes,
        caption: str | None = None,
        chat: Chat | None = None,
        *,
        reply_to: Said | Shown | int | None = None,
        topic: int | None = None,
        album: str | None = None,
    ) -> Said:
        """Send a photo (bytes of any picture); messages with the same `album` stand together."""
        kept = self.call("photo", content=base64.b64encode(content).decode())
        extra = {"caption": caption, "media_group_id": album}
        fields = {**kept, **{key: value for key, value in extra.items() if value is not None}}
        return self.post(fields, chat, reply_to=reply_to, topic=topic)

    def send_album(self, contents: list[bytes], caption: str | None = None, chat: Chat | None = None) -> list[Said]:
        """Send several photos as one album; the caption stands on the first."""
        album = str(10**16 + secrets.randbelow(10**16))
        return [
            self.send_photo(content, None if place else caption, chat, album=album)
            for place, content in enumerate(contents)
        ]

    def send_document(
        self,
        content: bytes,
        name: str = "notes.txt",
        mime: str = "text/plain",
        chat: Chat | None = None,
    ) -> Said:
        """Send a file."""
        encoded = base64.b64encode(content).decode()
        return self.post(self.call("document", content=encoded, name=name, mime=mime), chat)

    def send_voice(self, content: bytes = b"OggS", seconds: int = 3, chat: Chat | None = None) -> Said:
        """Send a voice note."""
        return self.post(self.call("voice", content=base64.b64encode(content).decode(), seconds=seconds), chat)

    def send_sticker(self, emoji: str = "🕷", chat: Chat | None = None) -> Said:
        """Send a sticker."""
        return self.post(self.call("sticker", emoji=emoji), chat)

    def post(
        self,
        content: dict[str, Any],
        chat: Chat | None = None,
        *,
        reply_to: Said | Shown | int | None = None,
        topic: int | None = None,
    ) -> Said:
        """Write a message with content of any kind, as fields of a Message."""
        place = chat or self.chat
        answered = reply_to if isinstance(reply_to, int) or reply_to is None else reply_to.id
        said = self.call("say", chat_id=place.id, user=self.id, content=content, reply_to=answered, thread=topic)
        return Said(place, said["message"], said["update"])

    def edit(self, said: Said, text: str) -> int | None:
        """Change what was written; gives the update's id."""
        update: int | None = self.call("edit", chat_id=said.chat.id, number=said.id, text=text)
        return update

    def delete(self, said: Said) -> None:
        """Delete what was written; the bot is not told."""
        self.call("delete", chat_id=said.chat.id, number=said.id)

    def press(self, message: Shown, button: Button | str) -> Press:
        """Press an inline button of a message of the bot, by the button or its label.

        A `Button` kept from before may be gone by now: that is a press of an old button.
        """
        pressed = button
        if isinstance(pressed, str):
            pressed = next(one for one in message.buttons if one.text == button)
        if pressed.data is None:
            raise AssertionError(f"{pressed.text} sends nothing")
        where = {"chat_id": message.chat_id, "user": self.id, "number": message.id}
        return Press(self.call, self.call("press", **where, data=pressed.data))

    def block(self) -> None:
        """Block the bot: it is told, and its sends are answered 403."""
        self.call("standing", chat_id=self.id, standing="kicked", by=self.id)

    def unblock(self) -> None:
        """Let the bot write again."""
        self.call("standing", chat_id=self.id, standing="member", by=self.id)

    def _origin(self, source: Person | str | None) -> dict[str, Any]:
        """The field of a message forwarded from a person, or from one who shows a name alone."""
        if source is None:
            return {}
        user, name = (source.id, None) if isinstance(source, Person) else (None, source)
        return dict(self.call("origin", user=user, name=name))
