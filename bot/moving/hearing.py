"""One message of long ago put to the conversation, and what became of it."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bot.conversation import doubts
from bot.conversation.answer import Answer
from bot.conversation.echo import say_rows, shown
from bot.conversation.limits import has_words
from bot.conversation.scene import Scene
from bot.conversation.turn import turn
from bot.conversation.writing import Origin, add, write_note
from bot.conversation.zones import units_named, zone_named
from bot.errors import RacksideError
from bot.moving.listening import Listening
from bot.moving.told import Told
from storage import journal, questions
from storage.faults import NameTaken, StorageFault
from storage.journal import EntryRow, NewEntry, Subject

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
    asked       it would have been asked about; its words are a note, unless the next message answers (`answers` there is its key)
    refused     it could not be written as it stands; its words are a note unless they only correct
    failed      our fault: the words are a note

    `said` is the question, the refusal, or what was changed or laid down, in a sentence.
    """

    told: Told
    sort: str
    kinds: tuple[str, ...] = ()
    said: str = ""
    answers: str = ""


class _Doubtful(Exception):
    """What was read is not to be trusted; the message is what would be asked."""


@dataclass(frozen=True, slots=True)
class Hearing:
    """A message in its scene, whose reader is `listening`. `origin` is the inbox id that its entries belong to, `records` as in `Contents`.

    Where `waits` is true a question about entries is left open, for the next message to answer.
    """

    scene: Scene
    listening: Listening
    told: Told
    origin: int
    records: bool
    waits: bool

    def hear(self) -> tuple[Outcome, Answer | None]:
        """Have the conversation deal with it; what that does is kept or dropped as a whole."""
        try:
            with self.scene.session.begin_nested():
                return self._heard()
        except _Doubtful as doubt:
            return self._kept("asked", str(doubt)), None
        except (RacksideError, NameTaken) as fault:
            return self._kept("refused", str(fault)), None
        except StorageFault:
            raise
        except Exception:  # noqa: BLE001 - whatever is wrong with one message or with us, the others are still to come
            _log.exception("%s could not be brought in", self.told.where)
            return self._kept("failed", "Something went wrong with it."), None

    def _heard(self) -> tuple[Outcome, Answer | None]:
        if self.told.note:
            return self._noted(), None
        if zone_named(self.told.text) or units_named(self.told.text):
            return Outcome(self.told, "talk"), None
        _refuse_all_done(self.told.text)
        meant = self._meant()
        answer = turn(self.scene)
        self._check(meant)
        return self._outcome(answer), self._with_focus(answer)

    def _with_focus(self, answer: Answer) -> Answer:
        """The answer as one about those who were asked about: "they" may be meant next."""
        asked = self.listening.asked
        return answer if asked is None else replace(answer, focus=asked.subjects)

    def _outcome(self, answer: Answer) -> Outcome:
        asked, stays_open = self._questions(answer)
        rows = shown(journal.entries_of_message(self.scene.session, self.origin))
        if rows:
            return self._written(rows, asked)
        if asked:
            return Outcome(self.told, "asked", said=asked) if stays_open else self._kept("asked", asked)
        if answer.did or journal.entries_of_message(self.scene.session, self.scene.message.id, current=False):
            return Outcome(self.told, "changed", said=answer.reply.text)
        if self.records and self.listening.asked is None:
            return self._kept("note", "")
        return Outcome(self.told, "talk")

    def _questions(self, answer: Answer) -> tuple[str, bool]:
        """What the turn asked, and whether that stays open; all other questions are closed."""
        asked, stays_open = "", False
        for row in questions.open_questions(self.scene.session, self.scene.member.id):
            if row.inbox_id != self.scene.message.id:
                continue
            meaning = doubts.doubt_of(row).meaning if "meaning" in row.pending else None
            # A question beside what was written is the last that is said.
            asked = answer.reply.text.splitlines()[-1] if meaning is None else meaning.question
            stays_open = self.waits and meaning is not None and not (meaning.amend or meaning.setup)
            if not stays_open:
                questions.settle(self.scene.session, row.id, self.scene.message.id, "imported")
        return asked, stays_open

    def _written(self, rows: Sequence[EntryRow], asked: str) -> Outcome:
        kinds = tuple("plan" if row.mood == "plan" else row.kind for row in rows)
        if set(kinds) == {"note"} and not asked:
            return Outcome(self.told, "note")
        plans = [row for row in rows if row.mood == "plan"]
        return Outcome(self.told, "understood", kinds, asked or " ".join(say_rows(self.scene.refreshed(), plans)))

    def _kept(self, sort: str, said: str) -> Outcome:
        """The words kept as a note of their day, once; not those of a correction, which tell of nothing by themselves."""
        scene, text = self.scene, self.told.text
        if (
            has_words(text)
            and not journal.entries_of_message(scene.session, self.origin)
            and not self.listening.corrects
        ):
            write_note(scene, text, self.origin)
        return Outcome(self.told, sort, said=said)

    def _noted(self) -> Outcome:
        """Words that a table has as a remark on an animal."""
        scene = self.scene
        who = tuple(subject for subject in map(scene.names.subject, self._meant()) if subject is not None)
        note = NewEntry("note", "log", scene.today, None, None, scene.collection.zone, {}, who, self.told.text)
        if not journal.entries_of_message(scene.session, self.origin):
            add(scene, [note], Origin(self.origin, self.told.text))
        return Outcome(self.told, "note")

    def _meant(self) -> tuple[str, ...]:
        """The roster's names for whom a table names; none where it names nobody. Raises _Doubtful for one not known."""
        scene, about = self.scene, self.told.about
        if about is None:
            return ()
        if scene.names.subject(about) is not None:
            return (about,)
        meaning = scene.language.read(f"fed {about}", scene.local_now, scene.roster)
        if meaning.intent != "log" or len(meaning.entries) != 1 or not meaning.entries[0].subjects:
            raise _Doubtful(f"There is no {about} on the roster. Which one was it?")
        return meaning.entries[0].subjects

    def _check(self, meant: Sequence[str]) -> None:
        """Raise _Doubtful where what was written is of others than those meant."""
        if not meant:
            return
        names = self.scene.refreshed().names

        def places(subjects: set[Subject | None]) -> set[object]:
            return {names.place_of(subject) or subject for subject in subjects if subject is not None}

        wanted = {names.subject(name) for name in meant}
        for row in shown(journal.entries_of_message(self.scene.session, self.origin)):
            found: set[Subject | None] = set(row.subjects)
            same = found == wanted or (row.kind != "move" and places(found) == places(wanted))
            if found and not same:
                raise _Doubtful(f"Was that of {self.told.about}? It reads as if it were of others.")


def _refuse_all_done(text: str) -> None:
    """Raise _Doubtful for words that say that all is done: what was due then is not known, and is not to be guessed."""
    from bot.reminders.answering import says_all_done  # noqa: PLC0415 - it loads the due engine, and only taking in needs it

    if says_all_done(text):
        raise _Doubtful(ALL_DONE)
