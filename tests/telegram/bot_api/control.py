"""The controls of a test, by name: what people do, faults, and views. Each takes and gives JSON."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from tests.telegram.bot_api import people
from tests.telegram.bot_api.members import change_standing
from tests.telegram.bot_api.refusal import Refusal
from tests.telegram.bot_api.world import World


def standing(world: World, chat_id: int, standing: str, by: int) -> int | None:
    """Somebody blocks the bot, lets it write again, throws it out of a group or takes it in."""
    return change_standing(world, world.found(chat_id), standing, world.people[by])


def inject(world: World, update: dict[str, Any]) -> int:
    """Lay out an update as it is, malformed or not; gives its id."""
    return world.updates.put(update)


def setting(world: World, **settings: Any) -> None:  # noqa: ANN401 - a flag or a moment, as World has them
    """Change `privacy` or the `fixed` moment."""
    for name, value in settings.items():
        setattr(world, name, value)


def limits(world: World, on: bool) -> None:  # noqa: FBT001 - comes by name from JSON
    """Hold the bot to the limits of the service, or not."""
    world.pacing.limited = on


def messages(world: World, chat_id: int) -> list[dict[str, Any]]:
    """What a chat shows."""
    return list(world.found(chat_id).messages.values())


def expire_queries(world: World) -> None:
    """Let all presses be too old to be answered."""
    for query in world.queries.values():
        query["expired"] = True


def counts(world: World) -> dict[str, int]:
    """How much there is of what views show."""
    views = {"requests": world.requests, "pending": world.updates.pending, "violations": world.violations}
    return {name: len(view) for name, view in views.items()}


ACTS: dict[str, Callable[..., Any]] = {
    "user": people.make_user,
    "group": people.make_group,
    "topic": people.make_topic,
    "say": people.say,
    "edit": people.edit,
    "delete": people.delete,
    "press": people.press,
    "photo": people.keep_photo,
    "document": people.keep_document,
    "voice": people.keep_voice,
    "sticker": people.keep_sticker,
    "origin": people.origin,
    "migrate": people.migrate,
    "standing": standing,
    "inject": inject,
    "setting": setting,
    "limits": limits,
    "messages": messages,
    "expire_queries": expire_queries,
    "actions": lambda world, chat_id: world.found(chat_id).actions,
    "flood": lambda world, chat_id, seconds: world.pacing.flood(chat_id, seconds),
    "fault": lambda world, **fault: world.faults.add(**fault),
    "restart_ids": lambda world: world.updates.restart_ids(),
    "pending": lambda world: world.updates.pending,
    "counts": counts,
    "shown": lambda world, chat_id: len(world.found(chat_id).messages),
    "requests": lambda world, since: world.requests[since:],
    "violations": lambda world: world.violations,
    "forget_violations": lambda world: world.violations.clear(),
    "query": lambda world, query: world.queries[query],
    "commands": lambda world: world.commands,
    "webhook": lambda world: {"url": world.webhook.url, "secret": world.webhook.secret},
    "file": lambda world, file_id: world.files.kept[file_id].content.hex(),
}


def controlled(world: World, act: str, arguments: dict[str, Any]) -> dict[str, Any]:
    """Do an act; gives its result, or what stood against it."""
    try:
        return {"result": ACTS[act](world, **arguments)}
    except (Refusal, ValueError, LookupError, TypeError) as error:
        return {"error": f"{act}: {type(error).__name__}: {error}"}
