"""The methods by which the bot asks, answers presses, and sets itself up."""

from __future__ import annotations

import json
import re
from typing import Any

from tests.telegram.bot_api import schema
from tests.telegram.bot_api.formatted import length
from tests.telegram.bot_api.members import change_standing
from tests.telegram.bot_api.refusal import bad_request, conflict
from tests.telegram.bot_api.world import Webhook, World

COMMAND = re.compile(r"[a-z0-9_]{1,32}")
SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")
LONGEST_NOTE = 200
EXPIRED = "query is too old and response timeout expired or query ID is invalid"
GIFTS = ("unlimited_gifts", "limited_gifts", "unique_gifts", "premium_subscription", "gifts_from_channels")
RIGHTS = [
    "can_send_messages",
    "can_send_audios",
    "can_send_documents",
    "can_send_photos",
    "can_send_videos",
    "can_send_video_notes",
    "can_send_voice_notes",
    "can_send_polls",
    "can_send_other_messages",
    "can_add_web_page_previews",
    "can_change_info",
    "can_invite_users",
    "can_pin_messages",
    "can_manage_topics",
]


def get_me(world: World, _: dict[str, Any]) -> dict[str, Any]:
    """Method getMe."""
    flags = {
        "can_join_groups": True,
        "can_read_all_group_messages": not world.privacy,
        "supports_inline_queries": False,
    }
    return {**world.bot, **flags, "can_connect_to_business": False, "has_main_web_app": False}


async def get_updates(world: World, parameters: dict[str, Any]) -> list[dict[str, Any]]:
    """Method getUpdates."""
    if world.webhook.url:
        words = "can't use getUpdates method while webhook is active; use deleteWebhook to delete the webhook first"
        raise conflict(words)
    remember_kinds(world, parameters)
    wait = max(0, parameters.get("timeout", 0))
    return await world.updates.poll(parameters.get("offset", 0), parameters.get("limit", 100), wait)


def remember_kinds(world: World, parameters: dict[str, Any]) -> None:
    """Keep the kinds of update that a request wants; where it leaves them out, those wanted before remain."""
    if "allowed_updates" not in parameters:
        return
    world.updates.allowed = list(parameters["allowed_updates"])
    unknown = set(world.updates.allowed) - set(schema.PUBLISHED["types"]["Update"])
    if unknown:  # the service passes over them
        world.break_rule("unknown kind of update", ", ".join(sorted(unknown)))


def set_webhook(world: World, parameters: dict[str, Any]) -> bool:
    """Method setWebhook. Plain HTTP to any port is let pass, as by a server of one's own started for local use."""
    url = parameters["url"]
    if url and not re.match(r"https?://[^/\s]+", url):
        raise bad_request("bad webhook: An HTTPS URL must be provided for webhook", breaks="bad webhook address")
    secret = parameters.get("secret_token", "")
    if secret and not SECRET.fullmatch(secret):
        raise bad_request("secret token contains unallowed characters", breaks="bad secret token")
    remember_kinds(world, parameters)
    return move_webhook(world, parameters, Webhook(url=url, secret=secret))


def move_webhook(world: World, parameters: dict[str, Any], webhook: Webhook) -> bool:
    """Change where updates are posted."""
    if parameters.get("drop_pending_updates"):
        world.updates.pending.clear()
    world.webhook = webhook
    world.updates.end_polls("setWebhook request")
    return True


def delete_webhook(world: World, parameters: dict[str, Any]) -> bool:
    """Method deleteWebhook."""
    return move_webhook(world, parameters, Webhook()) if world.webhook.url else drop(world, parameters)


def drop(world: World, parameters: dict[str, Any]) -> bool:
    """Forget what is pending where a request asks for it; without a webhook nothing else changes."""
    if parameters.get("drop_pending_updates"):
        world.updates.pending.clear()
    return True


def get_webhook_info(world: World, _: dict[str, Any]) -> dict[str, Any]:
    """Method getWebhookInfo."""
    hook = world.webhook
    told: dict[str, Any] = {
        "url": hook.url,
        "has_custom_certificate": False,
        "pending_update_count": len(world.updates.pending),
    }
    if hook.error:
        told |= {"last_error_date": hook.error_date, "last_error_message": hook.error}
    return told | ({"allowed_updates": world.updates.allowed} if world.updates.allowed else {})


def answer_callback_query(world: World, parameters: dict[str, Any]) -> bool:
    """Method answerCallbackQuery."""
    if length(parameters.get("text", "")) > LONGEST_NOTE:
        raise bad_request("MESSAGE_TOO_LONG", breaks="callback answer too long")
    query = world.queries.get(parameters["callback_query_id"])
    if query is None or query["expired"]:
        raise bad_request(EXPIRED)
    query["answer"] = {"text": parameters.get("text", ""), "alert": parameters.get("show_alert", False)}
    return True


def get_file(world: World, parameters: dict[str, Any]) -> dict[str, Any]:
    """Method getFile."""
    return world.files.offered(parameters["file_id"])


def scope_of(world: World, parameters: dict[str, Any]) -> str:
    """The key under which the commands of a request's scope and language are kept."""
    scope = parameters.get("scope") or {"type": "default"}
    if "chat_id" in scope:
        world.found(scope["chat_id"])
    return json.dumps([scope, parameters.get("language_code", "")], sort_keys=True)


def set_my_commands(world: World, parameters: dict[str, Any]) -> bool:
    """Method setMyCommands."""
    if len(parameters["commands"]) > 100:
        raise bad_request("BOT_COMMANDS_TOO_MUCH", breaks="too many commands")
    for command in parameters["commands"]:
        if not COMMAND.fullmatch(command["command"]):
            raise bad_request("BOT_COMMAND_INVALID", breaks="bad command")
        if not 1 <= length(command["description"]) <= 256:
            raise bad_request("BOT_COMMAND_DESCRIPTION_INVALID", breaks="bad command")
    world.commands[scope_of(world, parameters)] = parameters["commands"]
    return True


def get_my_commands(world: World, parameters: dict[str, Any]) -> list[dict[str, str]]:
    """Method getMyCommands."""
    return world.commands.get(scope_of(world, parameters), [])


def delete_my_commands(world: World, parameters: dict[str, Any]) -> bool:
    """Method deleteMyCommands."""
    world.commands.pop(scope_of(world, parameters), None)
    return True


def leave_chat(world: World, parameters: dict[str, Any]) -> bool:
    """Method leaveChat."""
    chat = world.found(parameters["chat_id"])
    if chat.kind == "private":
        raise bad_request("chat member status can't be changed in private chats")
    refusal = chat.refusal()
    if refusal:
        raise refusal
    change_standing(world, chat, "left", world.bot)
    return True


def get_chat(world: World, parameters: dict[str, Any]) -> dict[str, Any]:
    """Method getChat."""
    chat = world.found(parameters["chat_id"])
    told = {"accent_color_id": 0, "max_reaction_count": 11, "accepted_gift_types": dict.fromkeys(GIFTS, False)}
    if chat.kind == "private":
        return {**chat.chat, **told}
    if chat.standing != "member":
        raise chat.refusal() or bad_request("chat not found")
    return {**chat.chat, **told, "permissions": dict.fromkeys(RIGHTS, True)}
