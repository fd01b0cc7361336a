"""Messages of long ago taken in: each goes through the conversation at its own moment, and nobody is told anything.

One message is one transaction: the inbox row, the entries, and what the bot would have said, which counts as sent. So a process that
dies leaves whole messages alone, and the next run goes on where it stopped. What would have been asked becomes a note of its
day, unless the next words of the same person answer it; no question stays open in the end. Each file has a teller of its own for
each sender, a member who has left, so that nothing of it mixes with the talk of today: neither an "undo", nor a question, nor
who "they" are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.app import App
from bot.conversation import doubts
from bot.conversation.answer import Answer
from bot.conversation.doubts import Doubt
from bot.conversation.posting import Where, post
from bot.conversation.recent import FRESH
from bot.conversation.scene import Scene, load_names
from bot.conversation.writing import write_note
from bot.moving.hearing import Hearing, Outcome
from bot.moving.listening import Listening
from bot.moving.told import Told
from storage import households, inbox, journal, outbox, questions
from storage.faults import StorageFault
from storage.inbox import InboxRow, Incoming

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

CHANNEL = "import"


@dataclass(frozen=True, slots=True)
class Teller:
    """In whose name messages are taken in, and how: `records` as in `Contents`, `again` to read anew what became a note."""

    app: App
    collection_id: int
    member_id: int
    chat: str
    records: bool
    again: bool = False

    def take(self, told: Told) -> Outcome:
        """Take one message in, or find it here. Raises StorageFault where the database cannot be used."""
        with self.app.store.write() as session:
            households.hold(session, self.collection_id)
            known = inbox.revisions(session, self.collection_id, CHANNEL, self.chat, told.key)
            if not known:
                row = self._received(session, told)
                return self._dealt_with(session, told, row, row.id)
            if known[-1].text != told.text:
                return self._revised(session, told, known)
            if self.again and _is_note(session, known):
                return self._reread(session, told, known)
            return Outcome(told, "here")

    def finish(self) -> None:
        """Close the question that the last message left open; its words become a note."""
        with self.app.store.write() as session:
            households.hold(session, self.collection_id)
            asked = questions.open_question(session, self.member_id)
            if asked is not None:
                doubt = doubts.doubt_of(asked)
                row = inbox.row(session, doubt.origin.message_id)
                if row is not None:
                    _let_go(self._scene(session, row)[0], doubt)

    def _revised(self, session: Session, told: Told, known: Sequence[InboxRow]) -> Outcome:
        """Words that were changed since the last import: what they told is corrected."""
        row = self._received(session, told, len(known))
        return self._dealt_with(session, told, row, known[0].id)

    def _reread(self, session: Session, told: Told, known: Sequence[InboxRow]) -> Outcome:
        """The same words read anew, perhaps with more on the roster; all of it dropped where they would be a note again."""
        tried = session.begin_nested()
        outcome = self._revised(session, told, known)
        if outcome.sort in {"understood", "changed"}:
            tried.commit()
            return outcome
        tried.rollback()
        return replace(outcome, sort="here") if outcome.sort in {"note", "talk"} else outcome

    def _received(self, session: Session, told: Told, revision: int = 0) -> InboxRow:
        message = Incoming(
            collection_id=self.collection_id,
            member_id=self.member_id,
            channel=CHANNEL,
            chat=self.chat,
            key=told.key,
            revision=revision,
            edits=told.key if revision else None,
            text=told.text,
            sent_at=told.moment(ZoneInfo(households.collection(session, self.collection_id).zone)),
            reply_to=told.reply_to,
        )
        inbox_id = inbox.receive(session, message)
        found = None if inbox_id is None else inbox.row(session, inbox_id)
        if found is None:
            raise StorageFault("Somebody else is bringing in the same file; wait until that is done.")
        return found

    def _dealt_with(self, session: Session, told: Told, row: InboxRow, origin: int) -> Outcome:
        scene, listening = self._scene(session, row)
        hearing = Hearing(scene, listening, told, origin, self.records, waits=not self.records and not self.again)
        outcome, answer = self._answering(hearing) or hearing.hear()
        if answer is not None:
            posted = post(session, Where(self.collection_id, CHANNEL, self.chat, row), answer.body())
            if posted is not None:
                outbox.mark_sent(session, posted)
        inbox.mark_done(session, row.id)
        return outcome

    def _answering(self, hearing: Hearing) -> tuple[Outcome, Answer | None] | None:
        """The message as the answer to what the one before left open; None, with that closed, where it is none."""
        scene, session = hearing.scene, hearing.scene.session
        doubt = doubts.open_doubt(scene)
        if doubt is None:
            return None
        if _may_answer(scene, doubt):
            tried = session.begin_nested()
            outcome, answer = hearing.hear()
            settled = questions.question(session, doubt.row.id)
            if settled is not None and settled.how == "answered" and doubts.open_doubt(scene) is None:
                tried.commit()
                return _answered(scene, doubt, outcome), answer
            tried.rollback()
        _let_go(scene, doubt)
        return None

    def _scene(self, session: Session, row: InboxRow) -> tuple[Scene, Listening]:
        collection = households.collection(session, self.collection_id)
        today = self.app.clock.now().astimezone(ZoneInfo(collection.zone)).date()
        member = households.member(session, self.member_id)
        names = load_names(session, collection.id)
        listening = Listening(self.app.language, today)
        return Scene(session, listening, collection, member, row, names), listening


def _may_answer(scene: Scene, doubt: Doubt) -> bool:
    """Whether a message may be the answer to a question that nobody put: soon after it, and no number of a choice."""
    is_choice = bool(doubt.meaning.choices) and scene.message.text.strip(" .)").isdecimal()
    return scene.now - doubt.row.asked_at <= FRESH and not is_choice


def _answered(scene: Scene, doubt: Doubt, outcome: Outcome) -> Outcome:
    """The outcome of an answer: what was written by the message that it answers."""
    first = inbox.row(scene.session, doubt.origin.message_id)
    rows = journal.entries_of_message(scene.session, doubt.origin.message_id)
    kinds = tuple("plan" if row.mood == "plan" else row.kind for row in rows)
    return replace(outcome, sort="understood", kinds=kinds, answers="" if first is None else first.key)


def _let_go(scene: Scene, doubt: Doubt) -> None:
    """Close a question; the words that it was about become a note of their day."""
    doubts.settle(scene, doubt, "imported")
    if doubt.meaning.entries or doubt.meaning.plans or not doubt.meaning.ask:
        write_note(scene, doubt.origin.words, doubt.origin.message_id, doubt.row.asked_at.astimezone(scene.zone).date())


def _is_note(session: Session, known: Sequence[InboxRow]) -> bool:
    """Whether all that stands of a message is a note of its words."""
    rows = journal.entries_of_message(session, known[0].id)
    return len(rows) == 1 and rows[0].kind == "note" and rows[0].words == known[-1].text
