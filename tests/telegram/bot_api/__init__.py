"""A fake Telegram Bot API server over real HTTP, for tests.

`with Serving() as api:` runs it in a thread, `with process(folder) as api:` as a process of its own; `api` is the same
`BotApi` for both. People write with `api.user("Ann").say("fed B")`; what the bot does is seen in `person.chat.messages`,
`api.requests` and `api.violations`. Every request of the bot and every answer of the fake is held against the published Bot
API (schema.json; make_schema.py says whence it comes).

What differs from the service: updates are kept as long as the server lives, a webhook may be plain HTTP to any port, webhooks
are posted to one at a time and soon again after a failure, of parse modes only HTML is known, and answers to a webhook that
carry a method are not carried out.
"""

from __future__ import annotations

from tests.telegram.bot_api.client import BotApi
from tests.telegram.bot_api.handles import Chat, Group, Person, Press, Said
from tests.telegram.bot_api.running import Serving, process
from tests.telegram.bot_api.shown import Button, Shown

__all__ = ["BotApi", "Button", "Chat", "Group", "Person", "Press", "Said", "Serving", "Shown", "process"]
