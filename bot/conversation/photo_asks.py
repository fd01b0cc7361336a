"""Photos asked for: "show me the last photo of B", "last 3 pictures of tub 4"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bot.conversation.answer import Answer, said
from bot.conversation.doubts import PHOTO_ALONE
from bot.conversation.echo import say_row, shown
from bot.conversation.heads import heads
from bot.conversation.limits import shorten
from bot.conversation.photo_files import path_of
from bot.conversation.recent import before_label, context
from bot.conversation.reply import Attachment, Reply
from bot.conversation.scene import Scene
from bot.language.meaning import Entry, Meaning
from bot.wording import join_names, say_day
from storage import inbox, photos
from storage.journal import EntryRow, Subject
from storage.photos import PhotoRow

MOST = 10
"""Photos in one answer: as many as a message service takes together."""

_NUMBERS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_SHOW = r"(?:show|send|give|get|see)(?: me| us)?|let me see|(?:i (?:want|would like)|i'd like) to see|(?:do you|have you) (?:have|got)|got|is there|are there"
_ASKED = re.compile(
    rf"(?:please |can you |could you |would you )*(?P<show>{_SHOW})? ?(?:please )?(?:the |a |an |any |my |our |some )?"
    r"(?P<last>last|latest|newest|most recent|recent)? ?(?P<number>\d{1,3}|two|three|four|five|six)? ?"
    r"(?:photo|picture|pic)(?P<many>s)?(?: (?:of|from|for) (?P<whose>[^?!.]+?))?(?: please)?[?.! ]*",
    re.IGNORECASE,
)
_WHOSE_FIRST = re.compile(
    rf"(?:please |can you |could you )*(?P<show>{_SHOW})? ?(?P<whose>[^?!.]+?)(?:['\u2019]s?) "
    r"(?P<last>last|latest|newest|most recent|recent) (?P<number>\d{1,3}|two|three|four|five|six)? ?"
    r"(?:photo|picture|pic)(?P<many>s)?(?: please)?[?.! ]*",
    re.IGNORECASE,
)
_PRONOUN = re.compile(r"(?:it|them|her|him|this|that|these|those|this one|that one|here)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Wanted:
    """Photos asked for: of which roster names (none: of anybody), and how many."""

    names: tuple[str, ...]
    number: int


def asked(scene: Scene, text: str) -> Answer | None:
    """The photos that a text asks for, or that there is none; None for a text that asks for none."""
    found = _ASKED.fullmatch(text) or _WHOSE_FIRST.fullmatch(text)
    if found is None or not (found["show"] or found["last"] or found["whose"]):
        return None
    number = _number(found)
    if found["whose"] is None:
        if scene.message.overheard:
            return None
        return _shown(scene, Wanted(before_label(scene), number))
    names = _names(scene, found["whose"].strip())
    if names:
        answer = _shown(scene, Wanted(names, number))
        none_kept = not answer.reply.files and _may_be_drawn(found)
        return None if none_kept or _drawn(scene, text) else answer
    if scene.message.overheard or not found["show"] or _tells_more(scene, found["whose"]):
        return None
    return said(f"I do not know who “{found['whose'].strip()}” is: say the name as it is on the roster.")


def _drawn(scene: Scene, text: str) -> bool:
    """Whether a text says what is to be drawn, and so means no photo: "picture of B's head count"."""
    ask = scene.language.read(text, scene.local_now, scene.roster).ask
    return ask is not None and ask.about == "picture" and "of" in ask.fields


def _may_be_drawn(found: re.Match[str]) -> bool:
    """Whether a text may as well mean one drawn from the records: "picture of B", "show me a picture of B"."""
    asked_of_kept = found["last"] or found["many"] or re.search(r"photo|have|got|there", found[0], re.IGNORECASE)
    return not asked_of_kept


def _number(found: re.Match[str]) -> int:
    given = (found["number"] or "").lower()
    if given:
        return max(1, min(_NUMBERS.get(given) or int(given), MOST))
    return 3 if found["many"] else 1


def _names(scene: Scene, whose: str) -> tuple[str, ...]:
    """The roster names that words stand for, taken as an answer to the question who is meant."""
    if _PRONOUN.fullmatch(whose):
        return context(scene, None).focus
    note = Entry("note", (), scene.today)
    pending = Meaning("unclear", entries=(note,), missing=("subjects",))
    answered = scene.language.complete(pending, whose, scene.local_now, scene.roster)
    return answered.entries[0].subjects if answered is not None and answered.entries else ()


def _tells_more(scene: Scene, whose: str) -> bool:
    """Whether words tell or ask something by themselves, so that the text is about more than photos."""
    return scene.language.read(whose, scene.local_now, scene.roster).intent not in ("chat", "unclear")


def _shown(scene: Scene, wanted: Wanted) -> Answer:
    kept = photos.latest(scene.session, scene.collection.id, _subjects(scene, wanted.names), wanted.number)
    of = f" of {join_names(wanted.names)}" if wanted.names else ""
    if not kept:
        return said(f"No photo{of} is kept. Send one with a name in its caption, or in reply to what it shows.")
    files = tuple(Attachment(path_of(one.digest or "", one.media_type)) for one in kept)
    lines = [_line(scene, one, wanted.names) for one in kept]
    if len(lines) > 1:
        lines = [f"{place}. {line}" for place, line in enumerate(lines, 1)]
    return Answer(Reply("\n".join(lines), files=files), focus=wanted.names)


def _subjects(scene: Scene, names: Sequence[str]) -> list[Subject]:
    """These animals with the places where they live, these places with who lives there; everybody for no names."""
    if not names:
        everybody = [Subject(occupant_id=row.id) for row in scene.names.rows.occupants]
        return everybody + [Subject(enclosure_id=row.id) for row in scene.names.rows.enclosures]
    found: list[Subject] = []
    for subject in filter(None, map(scene.names.subject, names)):
        place = scene.names.place_of(subject)
        found.append(subject)
        if subject.enclosure_id is not None:
            found += [Subject(occupant_id=row.id) for row in scene.names.living_in(subject.enclosure_id)]
        elif place is not None:
            found.append(Subject(enclosure_id=place))
    return list(dict.fromkeys(found))


def _line(scene: Scene, photo: PhotoRow, names: Sequence[str]) -> str:
    """Whose photo it is, from when, and what was told with it."""
    message = inbox.row(scene.session, photo.inbox_id)
    rows = shown([head.row for head in heads(scene.session, photo.about_id)])
    named = dict.fromkeys(scene.names.name(subject) for row in rows for subject in row.subjects)
    told = [_told(scene, row) for row in rows if row.kind != "note" or row.words != PHOTO_ALONE]
    sent = "" if message is None else f", {say_day(message.sent_at.astimezone(scene.zone).date(), scene.today)}"
    head = f"{join_names(list(named) or list(names))}{sent}"
    return f"{head}. Told with it: {'; '.join(told)}." if told else f"{head}."


def _told(scene: Scene, row: EntryRow) -> str:
    return f"“{shorten(row.words)}”" if row.kind == "note" else say_row(scene, row)
