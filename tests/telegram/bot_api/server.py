"""The fake service on the wire: the Bot API under /bot<token>/, downloads under /file/bot<token>/, controls under /control/."""

from __future__ import annotations

import asyncio
import contextlib
import inspect
import re
import time
from collections.abc import AsyncIterator, Callable
from typing import Any

from aiohttp import web

from tests.telegram.bot_api import asking, checking, delivery, schema, sending
from tests.telegram.bot_api.checking import Upload
from tests.telegram.bot_api.control import controlled
from tests.telegram.bot_api.refusal import Refusal
from tests.telegram.bot_api.world import World

LARGEST_UPLOAD = 50 * 1024 * 1024
TOKEN_FORM = re.compile(r"\d+:[A-Za-z0-9_-]{30,}")
WORLD = web.AppKey("world", World)

METHODS: dict[str, Callable[[World, dict[str, Any]], Any]] = {
    "getMe": asking.get_me,
    "getUpdates": asking.get_updates,
    "setWebhook": asking.set_webhook,
    "deleteWebhook": asking.delete_webhook,
    "getWebhookInfo": asking.get_webhook_info,
    "sendMessage": sending.send_message,
    "editMessageText": sending.edit_message_text,
    "editMessageReplyMarkup": sending.edit_message_reply_markup,
    "answerCallbackQuery": asking.answer_callback_query,
    "sendChatAction": sending.send_chat_action,
    "sendPhoto": sending.send_photo,
    "sendDocument": sending.send_document,
    "getFile": asking.get_file,
    "setMyCommands": asking.set_my_commands,
    "getMyCommands": asking.get_my_commands,
    "deleteMyCommands": asking.delete_my_commands,
    "leaveChat": asking.leave_chat,
    "getChat": asking.get_chat,
}
BY_LOWER_NAME = {name.lower(): name for name in METHODS}  # the service does not mind the case


async def given(request: web.Request) -> dict[str, Any]:
    """The parameters of a request as they came, in the address, a form, or JSON."""
    parameters: dict[str, Any] = dict(request.query)
    if request.content_type == "application/json":
        return parameters | dict(await request.json())
    for name, value in (await request.post()).items():
        parameters[name] = value
        if isinstance(value, web.FileField):
            parameters[name] = Upload(value.filename, value.file.read(), value.content_type)
    return parameters


def allowed(world: World, token: str) -> None:
    """Refuse a token that is not the bot's."""
    if not TOKEN_FORM.fullmatch(token):
        raise Refusal(404, "Not Found")
    if token != world.token:
        raise Refusal(401, "Unauthorized")


async def perform(world: World, method: str, parameters: dict[str, Any]) -> object:
    """Do what a method does; gives its result, held against the published API."""
    if method not in METHODS:
        raise Refusal(404, "Not Found: method not found", breaks="unknown method")
    result = METHODS[method](world, checking.read(world, method, parameters))
    result = await result if inspect.isawaitable(result) else result
    # Updates were checked when they were laid out; a malformed one put in by a test is meant to be wrong.
    wrong = None if method == "getUpdates" else schema.fault(result, schema.METHODS[method]["returns"])
    if wrong:
        world.break_rule("answer of the fake", wrong, method)
    return result


async def answer(world: World, method: str, parameters: dict[str, Any]) -> tuple[int, dict[str, Any]]:
    """HTTP status and body by which a request is answered."""
    fault = world.faults.take("fail", method)
    if fault:
        code = int(fault.amount)
        return code, Refusal(code, "Bad Gateway" if code == 502 else "Internal Server Error").answer()
    try:
        result = await perform(world, method, parameters)
    except Refusal as refusal:
        world.refused(refusal, method)
        return refusal.code, refusal.answer()
    return 200, {"ok": True, "result": result}


def noted(world: World, method: str, parameters: dict[str, Any]) -> dict[str, Any]:
    """Record a request; files stand by name and size."""
    shown = {
        name: {"file": value.name, "bytes": len(value.content)} if isinstance(value, Upload) else value
        for name, value in parameters.items()
    }
    fields = schema.METHODS.get(method, {}).get("parameters", {})
    decoded = {name: schema.decoded(fields.get(name, "String"), value) for name, value in shown.items()}
    record = {"method": method, "parameters": decoded, "moment": time.time(), "status": None}
    world.requests.append(record)
    return record


async def bot_request(request: web.Request) -> web.StreamResponse:
    """One request of the bot."""
    world = request.app[WORLD]
    try:
        allowed(world, request.match_info["token"])
    except Refusal as refusal:
        return web.json_response(refusal.answer(), status=refusal.code)
    asked = request.match_info["method"]
    method = BY_LOWER_NAME.get(asked.lower(), asked)
    try:
        parameters = await given(request)
    except web.HTTPRequestEntityTooLarge:
        large = world.refused(Refusal(413, "Request Entity Too Large", breaks="file too big"), method)
        return web.json_response(large.answer(), status=large.code)
    record = noted(world, method, parameters)
    await world.faults.delay(method)
    code, body = await answer(world, method, parameters)
    record["status"] = code
    if world.faults.take("drop", method) and request.transport:
        record["status"] = "dropped"
        request.transport.abort()
    return web.json_response(body, status=code)


async def download(request: web.Request) -> web.StreamResponse:
    """A file by the path that getFile gave."""
    world = request.app[WORLD]
    try:
        allowed(world, request.match_info["token"])
    except Refusal as refusal:
        return web.json_response(refusal.answer(), status=refusal.code)
    world.requests.append({"method": "download", "parameters": {}, "moment": time.time(), "status": 200})
    kept = world.files.paths.get(request.match_info["path"])
    if kept is None:
        return web.json_response(Refusal(404, "Not Found").answer(), status=404)
    return web.Response(body=kept.content, content_type="application/octet-stream")


async def control(request: web.Request) -> web.Response:
    """What a test lets happen."""
    return web.json_response(controlled(request.app[WORLD], request.match_info["act"], await request.json()))


async def posting(app: web.Application) -> AsyncIterator[None]:
    """Deliver to the webhook for as long as the server runs."""
    task = asyncio.create_task(delivery.deliver(app[WORLD]))
    yield
    task.cancel()
    with contextlib.suppress(asyncio.CancelledError):
        await task


def application(world: World) -> web.Application:
    """The server around a world."""
    app = web.Application(client_max_size=LARGEST_UPLOAD)
    app[WORLD] = world
    app.router.add_route("*", "/bot{token}/{method}", bot_request)
    app.router.add_get("/file/bot{token}/{path:.+}", download)
    app.router.add_post("/control/{act}", control)
    app.cleanup_ctx.append(posting)
    return app
