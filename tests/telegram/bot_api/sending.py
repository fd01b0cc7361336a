"""The methods by which the bot sends and edits messages."""

from __future__ import annotations

from typing import Any

from tests.telegram.bot_api.chats import Chat, Message
from tests.telegram.bot_api.checking import Upload, formatted, keyboard
from tests.telegram.bot_api.refusal import bad_request
from tests.telegram.bot_api.world import World

LONGEST_TEXT = 4096
LONGEST_CAPTION = 1024
ACTIONS = [
    "typing",
    "upload_photo",
    "record_video",
    "upload_video",
    "record_voice",
    "upload_voice",
    "upload_document",
    "choose_sticker",
    "find_location",
    "record_video_note",
    "upload_video_note",
]
CONTENT = ("text", "entities", "reply_markup")
NOT_MODIFIED = (
    "message is not modified: specified new message content and reply markup are exactly the same as a current content "
    "and reply markup of the message"
)


def open_to_bot(world: World, parameters: dict[str, Any]) -> Chat:
    """The chat of a request, in which the bot may write."""
    chat = world.found(parameters["chat_id"])
    refusal = chat.refusal()
    if refusal:
        raise refusal
    return chat


def deliver(world: World, parameters: dict[str, Any], content: dict[str, Any]) -> Message:
    """Show what the bot sends in its chat."""
    chat = open_to_bot(world, parameters)
    thread = chat.thread(parameters.get("message_thread_id"))
    answering = parameters.get("reply_parameters") or {}
    answered = answering.get("message_id")
    if answered is not None and answered not in chat.messages:
        if not answering.get("allow_sending_without_reply"):
            raise bad_request("message to be replied not found")
        answered = None
    if thread is None:
        thread = chat.topic_of(chat.messages.get(answered) if answered is not None else None)
    world.pacing.hold(chat.id)
    world.pacing.send(chat.id, group=chat.kind != "private")
    return chat.add(chat.place(content, thread, answered), world.bot, world.now())


def send_message(world: World, parameters: dict[str, Any]) -> Message:
    """Method sendMessage."""
    content = formatted(world, parameters, "text", LONGEST_TEXT) | keyboard(world, parameters)
    return deliver(world, parameters, content)


def uploaded(parameters: dict[str, Any], key: str) -> Upload | str:
    """The file that a request sends under `key`: what came with it, or the id of one that the service has."""
    given = parameters[key]
    if isinstance(given, Upload):
        return given
    if str(given).startswith("attach://"):
        found: Upload | None = parameters["files"].get(given.removeprefix("attach://"))
        if found is None:
            raise bad_request(f"there is no {key} in the request", breaks="missing file")
        return found
    return str(given)


def send_photo(world: World, parameters: dict[str, Any]) -> Message:
    """Method sendPhoto."""
    content = formatted(world, parameters, "caption", LONGEST_CAPTION) | keyboard(world, parameters)
    file = uploaded(parameters, "photo")
    open_to_bot(world, parameters)
    if isinstance(file, Upload):
        sizes = world.files.photo(file.content)
    elif world.files.again(file) and file in world.files.sizes:
        sizes = world.files.sizes[file]
    else:
        raise bad_request("can't use file of type Document as Photo")
    return deliver(world, parameters, {"photo": sizes, **content})


def send_document(world: World, parameters: dict[str, Any]) -> Message:
    """Method sendDocument."""
    content = formatted(world, parameters, "caption", LONGEST_CAPTION) | keyboard(world, parameters)
    file = uploaded(parameters, "document")
    open_to_bot(world, parameters)
    if isinstance(file, Upload):
        told = document(world, file.content, file.name, file.mime)
    elif world.files.again(file).folder == "documents":
        told = world.files.again(file).told
    else:
        raise bad_request("can't use file of type Photo as Document")
    return deliver(world, parameters, {"document": told, **content})


def document(world: World, content: bytes, name: str, mime: str) -> dict[str, Any]:
    """Keep a document; gives its Document object."""
    suffix = f".{name.rpartition('.')[2]}" if "." in name else ""
    return world.files.keep("documents", content, suffix, file_name=name, mime_type=mime)


def editable(world: World, parameters: dict[str, Any]) -> tuple[Chat, Message]:
    """The message of the bot that a request wants to edit, and its chat."""
    number = parameters.get("message_id")
    if parameters.get("chat_id") is None or number is None:
        raise bad_request("message identifier is not specified", breaks="missing parameter")
    chat = open_to_bot(world, parameters)
    message = chat.messages.get(number)
    if message is None:
        raise bad_request("message to edit not found")
    if message["from"]["id"] != world.bot["id"]:
        raise bad_request("message can't be edited")
    world.pacing.hold(chat.id)
    return chat, message


def edit(world: World, chat: Chat, message: Message, content: dict[str, Any]) -> Message:
    """Put new content into a message of the bot."""
    kept = {
        key: message[key]
        for key in message
        if key not in CONTENT or (key in ("text", "entities") and "text" not in content)
    }
    edited = {**kept, **content}
    if all(edited.get(key) == message.get(key) for key in CONTENT):
        raise bad_request(NOT_MODIFIED)
    return chat.replace(message["message_id"], {**edited, "edit_date": world.now()})


def edit_message_text(world: World, parameters: dict[str, Any]) -> Message:
    """Method editMessageText."""
    content = formatted(world, parameters, "text", LONGEST_TEXT) | keyboard(world, parameters)
    chat, message = editable(world, parameters)
    if "text" not in message:
        raise bad_request("there is no text in the message to edit")
    return edit(world, chat, message, content)


def edit_message_reply_markup(world: World, parameters: dict[str, Any]) -> Message:
    """Method editMessageReplyMarkup."""
    content = keyboard(world, parameters)
    chat, message = editable(world, parameters)
    return edit(world, chat, message, content)


def send_chat_action(world: World, parameters: dict[str, Any]) -> bool:
    """Method sendChatAction."""
    if parameters["action"] not in ACTIONS:
        raise bad_request("wrong parameter action in request", breaks="unknown action")
    chat = open_to_bot(world, parameters)
    chat.thread(parameters.get("message_thread_id"))
    chat.actions.append(parameters["action"])
    return True
