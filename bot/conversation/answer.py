"""What one turn comes to: the reply, and what later turns need to know of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from bot.conversation.pending import to_json
from bot.conversation.reply import Reply, to_body
from bot.language.meaning import Ask, Meaning


@dataclass(frozen=True, slots=True)
class Answer:
    """A reply with what is kept beside it in the outbox.

    `about` is the inbox id of the message whose entries the reply tells of; `focus` are the roster names it talks of;
    `did` says what else it changed, so that "undo" can find it: {"setup": true}, {"taught": phrase, "was": …}, {"undid": id};
    `more` is the question that gives the next page of it, `because` the one that tells what it rests on; `question` is the id of the open question that it puts, whose
    answers its choices are. `asked` is the kind of act that a question was of.
    """

    reply: Reply
    about: int | None = None
    focus: tuple[str, ...] = ()
    did: Mapping[str, Any] = field(default_factory=dict)
    more: Ask | None = None
    question: int | None = None
    because: Ask | None = None
    asked: str | None = None

    def body(self) -> dict[str, Any]:
        """All of it as plain JSON, as the outbox keeps it."""
        kept: dict[str, Any] = {"about": self.about, "focus": list(self.focus), "did": dict(self.did)}
        if self.more is not None:
            kept["more"] = to_json(Meaning("ask", ask=self.more))
        if self.because is not None:
            kept["because"] = to_json(Meaning("ask", ask=self.because))
        if self.asked is not None:
            kept["asked"] = self.asked
        if self.question is not None:
            kept["question"] = self.question
        return to_body(self.reply) | kept

    def headed(self, line: str) -> Answer:
        """The same with a line before its text."""
        return replace(self, reply=replace(self.reply, text=f"{line}\n{self.reply.text}"))

    def followed(self, other: Reply) -> Answer:
        """The same with another reply after it: its text, and its table where this one has none."""
        own = self.reply
        joined = replace(
            own,
            text=f"{own.text}\n{other.text}",
            choices=own.choices or other.choices,
            header=own.header or other.header,
            rows=own.rows or other.rows,
            files=own.files or other.files,
        )
        return replace(self, reply=joined)

    @property
    def silent(self) -> bool:
        """Whether there is nothing to be said."""
        return not self.reply.text and not self.reply.files


def said(*lines: str, about: int | None = None, focus: tuple[str, ...] = (), **did: object) -> Answer:
    """A plain answer of a few lines."""
    return Answer(Reply("\n".join(lines)), about, focus, did)


SILENT = Answer(Reply(""))
"""Nothing is said, as what was heard was meant for others."""
