"""What people do: they write, edit, press buttons, block the bot, found groups and move them."""

from __future__ import annotations

import base64
import secrets
from typing import Any

from tests.telegram.bot_api.chats import Chat, Message
from tests.telegram.bot_api.formatted import entities_of, length
from tests.telegram.bot_api.members import change_standing
from tests.telegram.bot_api.sending import LONGEST_CAPTION, LONGEST_TEXT, document
from tests.telegram.bot_api.world import World


def make_user(world: World, name: str, username: str | None, language: str | None, *, stranger: bool) -> int:
    """A new person with a private chat; gives the id of both. A stranger never wrote to the bot."""
    number = next(world.ids)
    names = {"first_name": name, **({"username": username} if username else {})}
    world.people[number] = {"id": number, "is_bot": False, **names, **({"language_code": language} if language else {})}
    standing = "stranger" if stranger else "member"
    world.chats[number] = Chat({"id": number, "type": "private", **names}, world.numbers, {number}, standing)
    return number


def make_group(world: World, kind: str, title: str, members: list[int], *, forum: bool, announce: bool) -> int:
    """A new group or supergroup with the bot in it, founded by the first member; gives its id."""
    chat = world.open_chat(kind, set(members), title=title, **({"is_forum": True} if forum else {}))
    if announce:
        founder = world.people[members[0]]
        chat.standing = "left"
        change_standing(world, chat, "member", founder)
        served(world, chat, founder, {"new_chat_members": [world.bot]})
    return chat.id


def make_topic(world: World, chat_id: int, by: int, name: str) -> int:
    """A new topic in a supergroup; gives its thread id."""
    chat = world.found(chat_id)
    content = {"forum_topic_created": {"name": name, "icon_color": 7322096}, "is_topic_message": True}
    message = chat.add(content, world.people[by], world.now())
    message["message_thread_id"] = message["message_id"]
    chat.topics[message["message_id"]] = message
    told(world, chat, "message", message)
    return int(message["message_id"])


def told(world: World, chat: Chat, kind: str, message: Message) -> int | None:
    """Tell the bot of a message where it hears it; gives the update's id."""
    return world.tell(kind, message) if world.hears(chat, message) else None


def served(world: World, chat: Chat, by: dict[str, Any], content: dict[str, Any]) -> int | None:
    """A message of the service, such as that somebody joined."""
    return told(world, chat, "message", chat.add(content, by, world.now()))


def say(world: World, chat_id: int, user: int, content: dict[str, Any], **where: int | None) -> dict[str, Any]:
    """A person writes in a chat. `where` may hold `reply_to` (message id) and `thread` (topic).

    Gives the message's id and that of the update, None where the bot does not hear of it.
    """
    chat = world.found(chat_id)
    if chat.kind == "private" and chat.standing == "kicked":
        change_standing(world, chat, "member", world.people[user])
    elif chat.kind == "private":
        chat.standing = "member"
    reply_to = where.get("reply_to")
    thread = where.get("thread") or chat.topic_of(chat.messages.get(reply_to) if reply_to is not None else None)
    placed = chat.place(spelled(content), chat.thread(thread), reply_to)
    message = chat.add(placed, world.people[user], world.now())
    return {"message": message["message_id"], "update": told(world, chat, "message", message)}


def spelled(content: dict[str, Any]) -> dict[str, Any]:
    """Content with the entities that the service finds in its text or caption; too long a text cannot be written."""
    found = dict(content)
    for key, entities_key, longest in (
        ("text", "entities", LONGEST_TEXT),
        ("caption", "caption_entities", LONGEST_CAPTION),
    ):
        if key not in content:
            continue
        text = content[key].strip()  # as the apps do
        if not 0 < length(text) <= longest:
            raise ValueError(f"nobody can write a {key} of more than {longest} characters, or of none")
        entities = entities_of(text)
        found |= {key: text, **({entities_key: entities} if entities else {})}
    return found


def keep_photo(world: World, content: str) -> dict[str, Any]:
    """Content of a message with a photo; `content` is the file in base64."""
    return {"photo": world.files.photo(base64.b64decode(content))}


def keep_document(world: World, content: str, name: str, mime: str) -> dict[str, Any]:
    """Content of a message with a document."""
    return {"document": document(world, base64.b64decode(content), name, mime)}


def keep_voice(world: World, content: str, seconds: int) -> dict[str, Any]:
    """Content of a message with a voice note."""
    kept = world.files.keep("voice", base64.b64decode(content), ".oga", duration=seconds, mime_type="audio/ogg")
    return {"voice": kept}


def keep_sticker(world: World, emoji: str) -> dict[str, Any]:
    """Content of a message with a sticker."""
    shape = {"type": "regular", "width": 512, "height": 512, "is_animated": False, "is_video": False, "emoji": emoji}
    return {"sticker": world.files.keep("stickers", emoji.encode(), ".webp", **shape)}


def origin(world: World, user: int | None, name: str | None) -> dict[str, Any]:
    """The field of a forwarded message that says from whom it came; a `name` alone is of somebody who hides the account."""
    date = world.now() - 60
    if user is not None:
        return {"forward_origin": {"type": "user", "date": date, "sender_user": world.people[user]}}
    return {"forward_origin": {"type": "hidden_user", "date": date, "sender_user_name": name}}


def edit(world: World, chat_id: int, number: int, text: str) -> int | None:
    """A person changes the text or caption of a message; gives the update's id."""
    chat = world.found(chat_id)
    before = chat.messages[number]
    key = "text" if "text" in before else "caption"
    kept = {name: before[name] for name in before if name not in ("entities", "caption_entities")}
    edited = {**kept, **spelled({key: text}), "edit_date": world.now()}
    return told(world, chat, "edited_message", chat.replace(number, edited))


def delete(world: World, chat_id: int, number: int) -> None:
    """A person deletes a message; bots are not told."""
    world.found(chat_id).messages.pop(number)


def press(world: World, chat_id: int, user: int, number: int, data: str) -> str:
    """A person presses an inline button; gives the query's id."""
    message = world.found(chat_id).messages[number]
    query = str(secrets.randbelow(10**18) + 10**18)
    told_of = {
        "id": query,
        "from": world.people[user],
        "message": message,
        "chat_instance": str(chat_id * 7919),
        "data": data,
    }
    world.queries[query] = {"answer": None, "expired": False}
    world.tell("callback_query", told_of)
    return query


def migrate(world: World, chat_id: int, by: int) -> int:
    """A group becomes a supergroup; gives the new id."""
    old = world.found(chat_id)
    new = world.open_chat("supergroup", set(old.members), title=old.chat["title"])
    served(world, old, world.people[by], {"migrate_to_chat_id": new.id})
    old.became = new.id
    served(world, new, world.people[by], {"migrate_from_chat_id": old.id})
    return new.id
