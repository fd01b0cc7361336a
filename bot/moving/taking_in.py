"""Messages of long ago taken in: each goes through the conversation at its own moment, and nobody is told anything.

One message is one transaction: the inbox row, the entries, and what the bot would have said, which counts as sent. So a process that
dies leaves whole messages alone, and the next run goes on where it stopped. What would have been asked becomes a note of its
day; no question stays open. Each file has a teller of its own, a member who has left, so that nothing of it mixes with the talk
of today: neither an "undo", nor a question, nor who "they" are.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from bot.app import App
from bot.conversation import doubts
from bot.conversation.answer import Answer
from bot.conversation.echo import say_rows, shown
from bot.conversation.limits import has_words
from bot.conversation.posting import Where, post
from bot.conversation.scene import Scene, load_names
from bot.conversation.turn import turn
from bot.conversation.writing import Origin, add, write_note
from bot.conversation.zones import units_named, zone_named
from bot.errors import RacksideError
from bot.moving.listening import STANDING, Listening
from bot.moving.told import Told
from storage import households, inbox, journal, outbox, questions
from storage.faults import NameTaken, StorageFault
from storage.inbox import InboxRow, Incoming
from storage.journal import EntryRow, NewEntry, Subject

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

CHANNEL = "import"
ALL_DONE = "What was done? The list of that day is not at hand."

_log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one message.

    sort        what it means
    here        it was here already, and was left as it is
    understood  entries or plans were written (`kinds`), perhaps as a correction of what an earlier import made of it
    changed     the roster, the words taught, or an earlier entry
    note        its words were kept as a note, since the reader made a note of them or nothing at all
    talk        nothing in it to be written: a question, small talk, a setting of the bot
    asked       it would have been asked about; its words are a note
    refused     it could not be written as it stands; its words are a note unless they only correct
    failed      our fault: the words are a note

    `said` is the question, the refusal, or what was changed or laid down, in a sentence.
    """

    told: Told
    sort: str
    kinds: tuple[str, ...] = ()
    said: str = ""


class _Doubtful(Exception):
    """The reading names others than the table does; the message is what would be asked."""


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
            known = inbox.revisions(session, CHANNEL, self.chat, told.key)
            if not known:
                return self._new(session, told)
            if known[-1].text != told.text:
                return self._revised(session, told, known)
            if self.again and _is_note(session, known):
                return self._reread(session, told, known)
            return Outcome(told, "here")

    def _new(self, session: Session, told: Told) -> Outcome:
        row = self._received(session, told)
        return self._dealt_with(session, told, row, row.id)

    def _revised(self, session: Session, told: Told, known: Sequence[InboxRow]) -> Outcome:
        """Words that were changed since the last import: what they told is corrected."""
        row = self._received(session, told, len(known))
        return self._dealt_with(session, told, row, known[0].id)

    def _reread(self, session: Session, told: Told, known: Sequence[InboxRow]) -> Outcome:
        """The same words read anew, perhaps with more on the roster; all of it dropped where they would be a note again."""
        kept = session.begin_nested()
        outcome = self._revised(session, told, known)
        if outcome.sort in {"understood", "changed"}:
            kept.commit()
            return outcome
        kept.rollback()
        return replace(outcome, sort="here") if outcome.sort in {"note", "talk"} else outcome

    def _received(self, session: Session, told: Told, revision: int = 0) -> InboxRow:
        zone = ZoneInfo(households.collection(session, self.collection_id).zone)
        message = Incoming(
            collection_id=self.collection_id,
            member_id=self.member_id,
            channel=CHANNEL,
            chat=self.chat,
            key=told.key,
            revision=revision,
            edits=told.key if revision else None,
            text=told.text,
            sent_at=told.moment(zone),
            reply_to=told.reply_to,
        )
        inbox_id = inbox.receive(session, message)
        found = None if inbox_id is None else inbox.row(session, inbox_id)
        if found is None:
            raise StorageFault("Somebody else is bringing in the same file; wait until that is done.")
        return found

    def _dealt_with(self, session: Session, told: Told, row: InboxRow, origin: int) -> Outcome:
        outcome, answer = self._heard(session, told, row, origin)
        if answer is not None:
            where = Where(self.collection_id, CHANNEL, self.chat, row)
            posted = post(session, where, answer.body())
            if posted is not None:
                outbox.mark_sent(session, posted)
        inbox.mark_done(session, row.id)
        return outcome

    def _heard(self, session: Session, told: Told, row: InboxRow, origin: int) -> tuple[Outcome, Answer | None]:
        """Have the conversation deal with a message; what it does is kept or dropped as a whole."""
        scene = self._scene(session, row)
        try:
            with session.begin_nested():
                if told.note:
                    return self._noted(scene, told, origin), None
                if zone_named(told.text) or units_named(told.text):
                    return Outcome(told, "talk"), None
                _refuse_all_done(told.text)
                meant = _meant(scene, told)
                answer = turn(scene)
                _check(scene, origin, meant, told)
                return self._outcome(scene, told, origin, answer), answer
        except _Doubtful as doubt:
            return self._kept(scene, told, origin, "asked", str(doubt)), None
        except (RacksideError, NameTaken) as fault:
            return self._kept(scene, told, origin, "refused", str(fault)), None
        except StorageFault:
            raise
        except Exception:  # noqa: BLE001 - whatever is wrong with one message or with us, the others are still to come
            _log.exception("message %s could not be brought in", told.where)
            return self._kept(scene, told, origin, "failed", "Something went wrong with it."), None

    def _scene(self, session: Session, row: InboxRow) -> Scene:
        collection = households.collection(session, self.collection_id)
        today = self.app.clock.now().astimezone(ZoneInfo(collection.zone)).date()
        member = households.member(session, self.member_id)
        names = load_names(session, collection.id)
        return Scene(session, Listening(self.app.language, today), collection, member, row, names)

    def _outcome(self, scene: Scene, told: Told, origin: int, answer: Answer) -> Outcome:
        asides = _settled(scene, answer)
        rows = shown(journal.entries_of_message(scene.session, origin))
        if asides and not rows:
            return self._kept(scene, told, origin, "asked", asides[0])
        if rows:
            return _written(scene, told, rows, asides)
        if answer.did or journal.entries_of_message(scene.session, scene.message.id, current=False):
            return Outcome(told, "changed", said=answer.reply.text)
        asked = isinstance(scene.language, Listening) and scene.language.asked
        if self.records and not asked and has_words(told.text):
            return self._kept(scene, told, origin, "note", "")
        return Outcome(told, "talk")

    def _kept(self, scene: Scene, told: Told, origin: int, sort: str, said: str) -> Outcome:
        """The words kept as a note of their day, once; not those of a correction, which tell of nothing by themselves."""
        if (
            has_words(told.text)
            and not journal.entries_of_message(scene.session, origin)
            and not _corrects(scene, told)
        ):
            write_note(scene, told.text, origin)
        return Outcome(told, sort, said=said)

    def _noted(self, scene: Scene, told: Told, origin: int) -> Outcome:
        """Words that a table has as a remark on an animal."""
        meant = _meant(scene, told)
        who = tuple(subject for subject in map(scene.names.subject, meant) if subject is not None)
        zone = scene.collection.zone
        note = NewEntry("note", "log", scene.today, None, None, zone, {}, who, told.text)
        if not journal.entries_of_message(scene.session, origin):
            add(scene, [note], Origin(origin, told.text))
        return Outcome(told, "note")


def _is_note(session: Session, known: Sequence[InboxRow]) -> bool:
    """Whether all that stands of a message is a note of its words."""
    rows = journal.entries_of_message(session, known[0].id)
    return len(rows) == 1 and rows[0].kind == "note" and rows[0].words == known[-1].text


def _settled(scene: Scene, answer: Answer) -> list[str]:
    """Close every question that the turn opened; what each would have asked."""
    asked = []
    for row in questions.open_questions(scene.session, scene.member.id):
        questions.settle(scene.session, row.id, scene.message.id, "imported")
        if "meaning" in row.pending:
            asked.append(doubts.doubt_of(row).meaning.question)
        else:
            asked.append(answer.reply.text.splitlines()[-1])  # beside what was written, and put last
    return asked


def _written(scene: Scene, told: Told, rows: Sequence[EntryRow], asides: Sequence[str]) -> Outcome:
    kinds = tuple("plan" if row.mood == "plan" else row.kind for row in rows)
    if set(kinds) == {"note"}:
        return Outcome(told, "note")
    laid_down = [row for row in rows if row.mood == "plan" or row.kind in STANDING]
    said = asides[0] if asides else " ".join(say_rows(scene.refreshed(), laid_down))
    return Outcome(told, "understood", kinds, said)


def _meant(scene: Scene, told: Told) -> tuple[str, ...]:
    """The names on the roster that a table's name stands for; none where it names nobody. Raises _Doubtful for one not known."""
    if told.about is None:
        return ()
    if scene.names.subject(told.about) is not None:
        return (told.about,)
    meaning = scene.language.read(f"fed {told.about}", scene.local_now, scene.roster)
    if meaning.intent != "log" or len(meaning.entries) != 1 or not meaning.entries[0].subjects:
        raise _Doubtful(f"There is no {told.about} on the roster. Which one was it?")
    return meaning.entries[0].subjects


def _check(scene: Scene, origin: int, meant: Sequence[str], told: Told) -> None:
    """Raise _Doubtful where what was written is of others than those meant."""
    if not meant:
        return
    names = scene.refreshed().names

    def places(subjects: Sequence[Subject | None]) -> set[object]:
        return {names.place_of(subject) or subject for subject in subjects if subject is not None}

    wanted = {names.subject(name) for name in meant}
    for row in shown(journal.entries_of_message(scene.session, origin)):
        found = set(row.subjects)
        if found and found != wanted and not (row.kind != "move" and places(list(found)) == places(list(wanted))):
            raise _Doubtful(f"Was that of {told.about}? I read it of others too.")


def _refuse_all_done(text: str) -> None:
    """Raise _Doubtful for words that say that all is done: what was due then is not known, and is not to be guessed."""
    from bot.reminders.answering import says_all_done  # noqa: PLC0415 - it loads the due engine, and only taking in needs it

    if says_all_done(text):
        raise _Doubtful(ALL_DONE)


def _corrects(scene: Scene, told: Told) -> bool:
    return scene.language.read(told.text, scene.local_now, scene.roster).amend is not None
