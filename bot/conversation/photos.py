"""A message that came with a photo: what the photo shows, and with which entry it is kept.

A photo hangs on the message whose entries tell what it shows: its own caption, the message that it answers, the answer to "Who is
on the photo?". Nothing that was said is lost: a caption of which nothing was made is kept as a note.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta

from bot.conversation import doubts
from bot.conversation.acting import echo
from bot.conversation.answer import SILENT, Answer, said
from bot.conversation.carried import Hear
from bot.conversation.doubts import PHOTO_ALONE, Doubt
from bot.conversation.echo import say_rows, shown
from bot.conversation.heads import heads
from bot.conversation.limits import LONGEST_TEXT, has_words, readable, shorten
from bot.conversation.recent import before_label, context
from bot.conversation.reply import Reply
from bot.conversation.scene import Scene
from bot.conversation.smalltalk import chat
from bot.conversation.writing import VIEWER, Origin, refuse_viewers, write_entry
from bot.errors import RacksideError
from bot.language.meaning import Entry, Meaning
from storage import inbox, journal, photos
from storage.faults import NameTaken
from storage.inbox import InboxRow
from storage.photos import PhotoRow

WHO = "Who is on the photo?"
TOGETHER = timedelta(minutes=15)
"""Photos that come one by one within this time are asked about once."""

_REFUSED = "You may ask here but not write, so the photo was not kept."


def take(scene: Scene, origin: Origin, target: int | None, hear: Hear) -> Answer:
    """Deal with a message that came with a photo."""
    worded = has_words(readable(scene.message.text))
    if scene.member.role == VIEWER:
        return _refused(scene, origin, target, hear if worded else None)
    return _with_words(scene, origin, target, hear) if worded else _without_words(scene, origin, target)


def with_line(scene: Scene, message_id: int, answer: Answer) -> Answer:
    """The answer with a line that says what becomes of the photo of a message, if something was written by that message."""
    of_it = photos.of_message(scene.session, message_id)
    if _told_in(scene, message_id) is None:
        return answer
    return answer.followed(Reply(_state(of_it)))


def forget(scene: Scene, message: InboxRow) -> None:
    """Keep no photo of a message that was deleted."""
    _leave(scene, photos.of_message(scene.session, message.id))


def _with_words(scene: Scene, origin: Origin, target: int | None, hear: Hear) -> Answer:
    _drop_question_of_album(scene)
    answer = _named(scene, origin)
    if answer is None:
        answer = _guarded(scene, lambda: hear(scene, origin, target))
    asks = answer.question is not None and answer.about == origin.message_id
    about = origin.message_id if asks else _told_in(scene, answer.about, origin.message_id)
    shows = _together(scene, origin)
    if about is not None:
        _show(scene, shows, about)
        line = "The photo will be kept with it." if asks else _state(shows)
        return answer.followed(Reply(line))
    if answer.silent:
        return _leave(scene, shows)
    _show(scene, shows, origin.message_id)
    return _note_of_caption(scene, origin, answer, shows)


def _without_words(scene: Scene, origin: Origin, target: int | None) -> Answer:
    shows = _together(scene, origin)
    first = _album_told(scene)
    if first is not None:
        kept = photos.of_message(scene.session, first.id)
        _show(scene, shows, kept[0].about_id if kept else first.id)
        return SILENT
    hung = None if target is None else _hang_on(scene, shows, target)
    if hung is not None:
        return hung
    place = before_label(scene)
    if place:
        return _noted(scene, origin, PHOTO_ALONE, place).followed(Reply(_state(shows)))
    if scene.message.overheard:
        return _leave(scene, shows)
    return _ask_who(scene, origin, shows)


def _named(scene: Scene, origin: Origin) -> Answer | None:
    """A caption that says no more than who is on the photo, as a note of them; None for any other."""
    text = readable(scene.message.text).strip()
    if len(text) > LONGEST_TEXT or doubts.open_doubt(scene) is not None:
        return None
    meaning = scene.language.read(text, scene.local_now, scene.roster, context(scene, None))
    if meaning.intent not in ("unclear", "chat"):
        return None
    shown_by = scene.language.complete(_who(scene, text), text, scene.local_now, scene.roster)
    if shown_by is None or not all(entry.subjects for entry in shown_by.entries):
        return None
    return _noted(scene, origin, text, shown_by.entries[0].subjects)


def _note_of_caption(scene: Scene, origin: Origin, answer: Answer, shows: Sequence[PhotoRow]) -> Answer:
    """Keep a caption by which nothing was written: of small talk it is asked who is on the photo, all else is a note."""
    text = readable(scene.message.text).strip()
    place = before_label(scene)
    if answer.reply.text == chat(text) and place:
        return _noted(scene, origin, text, place).followed(Reply(_state(shows)))
    if answer.reply.text == chat(text):
        return doubts.ask(scene, _who(scene, text), Origin(origin.message_id, text))
    scene = scene.refreshed()
    names = tuple(name for name in answer.focus if scene.names.subject(name) is not None)
    about = names if len(names) == 1 else ()
    write_entry(scene, Entry("note", about, scene.today, words=text), origin)
    of = f" of {about[0]}" if about else ""
    return answer.followed(Reply(_state(shows, f"your words, as a note{of}")))


def _hang_on(scene: Scene, shows: Sequence[PhotoRow], target: int) -> Answer | None:
    """Keep a photo with what an earlier message told, which it answers; None if that told nothing."""
    about = _told_in(scene, target)
    if about is not None:
        _show(scene, shows, about)
        rows = shown([head.row for head in heads(scene.session, target)])
        head = "Photo kept with" if _is_kept(shows) else "The photo is being fetched and will be kept with"
        return said(*say_rows(scene, rows, head, head), about=target)
    doubt = doubts.open_doubt(scene)
    return _with_doubt(scene, shows, doubt) if doubt is not None and doubt.origin.message_id == target else None


def _with_doubt(scene: Scene, shows: Sequence[PhotoRow], doubt: Doubt) -> Answer:
    """Keep a photo with what is still in doubt, and put the question again."""
    _show(scene, shows, doubt.origin.message_id)
    words = f"The photo will be kept with “{shorten(doubt.origin.words, 60)}”."
    return doubts.still_open(
        doubt, said("That photo goes with the one before." if doubts.is_of_photo(scene, doubt) else words)
    )


def _ask_who(scene: Scene, origin: Origin, shows: Sequence[PhotoRow]) -> Answer:
    """Ask who is on a photo that came alone; one that comes soon after something still in doubt goes with that."""
    doubt = doubts.open_doubt(scene)
    if doubt is None:
        return doubts.ask(scene, _who(scene, PHOTO_ALONE), Origin(origin.message_id, PHOTO_ALONE))
    if doubt.meaning.entries and scene.now - doubt.row.asked_at <= TOGETHER:
        return _with_doubt(scene, shows, doubt)
    kept = doubts.keep_as_note(scene, doubt, "passed over")
    return doubts.ask(scene, _who(scene, PHOTO_ALONE), Origin(origin.message_id, PHOTO_ALONE)).headed(kept)


def _who(scene: Scene, words: str) -> Meaning:
    """The question who is on a photo, with the note that it will be."""
    note = Entry("note", (), scene.today, words=words)
    return Meaning("unclear", entries=(note,), missing=("subjects",), question=WHO)


def _noted(scene: Scene, origin: Origin, words: str, names: tuple[str, ...]) -> Answer:
    """A note of these names, said back."""
    refuse_viewers(scene)
    written = write_entry(scene, Entry("note", names, scene.today, words=words), origin)
    return echo(scene, written, origin.message_id)


def _refused(scene: Scene, origin: Origin, target: int | None, hear: Hear | None) -> Answer:
    """A viewer's photo is not kept; a viewer's words are heard."""
    _leave(scene, photos.of_message(scene.session, origin.message_id))
    if hear is None:
        follows = any(row.id < scene.message.id for row in _album(scene))
        return SILENT if follows or scene.message.overheard else said(_REFUSED)
    heard = _guarded(scene, lambda: hear(scene, origin, target))
    return heard if heard.silent else heard.followed(Reply(_REFUSED))


def _guarded(scene: Scene, deal: Callable[[], Answer]) -> Answer:
    """An answer to words, or the sentence why they cannot be followed: the photo is to be dealt with all the same."""
    try:
        with scene.session.begin_nested():
            return deal()
    except (RacksideError, NameTaken) as fault:
        return said(str(fault))


def _album(scene: Scene) -> list[InboxRow]:
    """The member's other messages of the same album."""
    message = scene.message
    if message.album is None:
        return []
    rows = inbox.of_album(scene.session, message.member_id, message.channel, message.chat, message.album)
    return [row for row in rows if row.key != message.key]


def _album_told(scene: Scene) -> InboxRow | None:
    """The message of the album with which a photo without words goes: one that has words, else the first that was answered."""
    others = _album(scene)
    worded = [row for row in others if has_words(readable(row.text))]
    earlier = [row for row in others if row.id < scene.message.id]
    doubt = doubts.open_doubt(scene)
    asked = None if doubt is None else doubt.origin.message_id
    for row in [*worded, *earlier]:
        if row.state == "waiting" or row.id == asked or _told_in(scene, _about(scene, row)) is not None:
            return row
    return None


def _about(scene: Scene, row: InboxRow) -> int:
    """The message whose entries tell of the photo of a message."""
    kept = photos.of_message(scene.session, row.id)
    return kept[0].about_id if kept else row.id


def _together(scene: Scene, origin: Origin) -> list[PhotoRow]:
    """The photo of a message, and those of its album that came before it without words."""
    own = photos.of_message(scene.session, origin.message_id)
    if not has_words(readable(scene.message.text)):
        return own
    silent = [row for row in _album(scene) if not has_words(readable(row.text))]
    return own + [photo for row in silent for photo in photos.of_message(scene.session, row.id)]


def _drop_question_of_album(scene: Scene) -> None:
    """Close the question about a photo of the same album: the words that came now answer it."""
    doubt = doubts.open_doubt(scene)
    if doubt is not None and doubt.origin.message_id in [row.id for row in _album(scene)]:
        doubts.settle(scene, doubt, "answered")


def _told_in(scene: Scene, *message_ids: int | None) -> int | None:
    """The message to which a photo belongs that shows what one of these told: where its entries, as they stand, began."""
    for message_id in message_ids:
        standing = [] if message_id is None else heads(scene.session, message_id)
        if standing:
            return journal.entry(scene.session, standing[0].row.origin_id).message_id
    return None


def _show(scene: Scene, shows: Sequence[PhotoRow], about: int) -> None:
    for photo in shows:
        photos.show(scene.session, photo.id, about)


def _leave(scene: Scene, shows: Sequence[PhotoRow]) -> Answer:
    """Keep none of these photos, and say nothing."""
    for photo in shows:
        photos.lose(scene.session, photo.id)
    return SILENT


def _is_kept(shows: Sequence[PhotoRow]) -> bool:
    return bool(shows) and all(photo.state == "kept" for photo in shows)


def _state(shows: Sequence[PhotoRow], it: str = "it") -> str:
    """What becomes of photos, in a sentence."""
    lost = not shows or all(photo.state == "lost" for photo in shows)
    if lost:
        return "The photo could not be fetched, so it is not kept."
    return f"Photo kept with {it}." if _is_kept(shows) else f"The photo is being fetched and will be kept with {it}."
