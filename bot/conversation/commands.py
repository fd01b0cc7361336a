"""Messages that begin with a slash: a second way to say what plain words say; and the codes of labels."""

from __future__ import annotations

import re
from dataclasses import replace

from bot.answers.help_text import answer as help_answer
from bot.answers.view import View
from bot.conversation import membership
from bot.conversation.answer import Answer, said
from bot.conversation.labels import code_in, stand_before
from bot.conversation.scene import Scene
from bot.conversation.smalltalk import NOTHING_WRITTEN
from bot.conversation.writing import VIEWER
from bot.language.meaning import Ask
from bot.reminders.profile import Profile, profile

_COMMAND = re.compile(r"/+(?P<word>[^\s/]*)\s*(?P<rest>.*)", re.DOTALL)

_PLAIN = {"help": "what can you do", "undo": "undo", "cancel": "never mind"}
"""What a command says in plain words, whatever stands after it."""

UNKNOWN = (
    "I know no such command, so nothing was written. There are /help, /settings, /due, /undo and /cancel; "
    "all else you say in plain words, with or without a slash: “fed group B 3 crickets”."
)


def obey(scene: Scene, text: str) -> Answer | str:
    """Deal with a command or the code of a label; or the plain words for which the text stands."""
    found = _COMMAND.fullmatch(text)
    if found is None:
        return stand_before(scene, code_in(text) or "")
    word, rest = found["word"].lower(), found["rest"].strip()
    if word in _PLAIN:
        return _PLAIN[word]
    if word == "start":
        return _start(scene, rest)
    if word == "settings":
        return _settings(scene)
    if word == "due":
        return f"what's due for {rest}" if rest else "what's due"
    return f"{found['word']} {rest}".strip() or said(UNKNOWN)


def told_of(answer: Answer) -> Answer:
    """The answer to the plain words of a command, or that there is no such command where nothing was made of them."""
    if answer.reply.text != NOTHING_WRITTEN:
        return answer
    return replace(answer, reply=replace(answer.reply, text=UNKNOWN))


def _start(scene: Scene, rest: str) -> Answer:
    code = code_in(rest)
    if code is not None:
        return stand_before(scene, code)
    hello = f"Hello {scene.member.name}."
    if scene.names.animals or scene.names.places:
        view = View.open(scene.session, scene.collection.id, scene.now)
        return said(hello, help_answer(Ask("help"), view).text)
    if scene.member.role == VIEWER:
        return said(f"{hello} Nothing is on the roster yet; once there is, you may ask about it.")
    return said(
        f"{hello} Nothing is on the roster yet. Begin with one like",
        "  add group B, 42 Neoholothele incei, in tub 4 on shelf 2",
        "and then say what you did: “fed B 3 crickets last night, 1 left over”. /help shows the rest.",
    )


def _settings(scene: Scene) -> Answer:
    """How things are set for this member, each with the words that change it."""
    own, kept = profile(scene.session, scene.member.id), scene.collection
    other = "imperial" if kept.units == "metric" else "metric"
    return said(
        f"Time zone: {kept.zone}, where it is {scene.local_now:%H:%M}. “my time zone is Europe/Lisbon” changes it.",
        f"Units: {kept.units}. “use {other} units” changes them.",
        *_pushes(own),
        f"You are {scene.member.name}, {membership.say_role(scene.member.role)}. Here are:",
        *membership.lines(scene),
        "An owner changes that by “make NAME a viewer” and “remove NAME”.",
    )


def _pushes(own: Profile) -> list[str]:
    """What is sent unasked, and when."""
    quiet = "none" if own.quiet is None else f"{own.quiet.start:%H:%M} to {own.quiet.end:%H:%M}"
    receives = {
        "morning": (f"Morning list: at {own.morning_at:%H:%M}", "morning list at 7:30", "morning list"),
        "look-in": (f"Look-in questions: at {own.look_in_at:%H:%M}", "look-ins at 21:00", "look-ins"),
        "plan": ("Plan reminders: at their time", "", "plan reminders"),
        "leftovers": ("Leftovers questions: in the morning", "", "leftovers questions"),
    }
    lines = []
    for what, (on, at, name) in receives.items():
        head = on.partition(":")[0]
        sets = f"“{at}” sets the time, " if at else ""
        sent = (
            f"{on}. {sets}“no {name}” ends that."
            if what in own.receives
            else f"{head}: not sent. “{name} again” changes that."
        )
        lines.append(sent)
    return [*lines, f"Quiet hours: {quiet}. “quiet hours 22 to 7” sets them, “no quiet hours” ends them."]
