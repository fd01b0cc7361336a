"""Every function of storage that takes a session, and how it is asked for one collection.

`READS` are compared: what they give with another collection there and without. `CHANGES` are done, and the other collection must be
as before. What looks over all collections by design stands in `across`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from storage import (
    asides,
    belonging,
    changes,
    entries,
    households,
    inbox,
    invites,
    journal,
    labels,
    latest,
    lineage,
    moving_in,
    moving_out,
    outbox,
    photos,
    plans,
    preferences,
    pushes,
    questions,
    roster,
    roster_edits,
    stays,
    vocabulary,
    walks,
)
from storage.inbox import Incoming
from storage.journal import NewEntry, Subject
from storage.latest import Mark
from storage.moving_form import SECTIONS
from storage.moving_names import Names
from storage.moving_values import Arriving
from storage.preferences import PreferenceRow
from storage.pushes import NewPush
from storage.scopes import Scope
from tests.isolation.acts import CHANNEL, GROUP
from tests.isolation.kept import Kept

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Asked = Callable[["Session", Kept], Any]

LONG_AGO, TODAY, ZONE = date(2020, 1, 1), date(2026, 3, 3), "Europe/Lisbon"
HOUR = timedelta(hours=1)


def _key_of(session: Session, kept: Kept) -> tuple[str, str]:
    """Chat and key of its first message."""
    row = inbox.row(session, kept.first("inbox"))
    assert row is not None
    return row.chat, row.key


def _push(kept: Kept, **more: Any) -> NewPush:  # noqa: ANN401 - parts of a push
    of = {"purpose": "morning", "subject": "", "slot": "2026-03-04", "planned_at": kept.now}
    return NewPush(kept.collection_id, kept.owner, **(of | more))


def _told(session: Session, kept: Kept) -> list[int]:
    """The messages by which it wrote something, in order."""
    rows = entries.rows(session, kept.ids["entries"])
    return list(dict.fromkeys(row.message_id for row in rows if row.message_id is not None))


def _everybody(kept: Kept) -> tuple[Subject, ...]:
    return tuple(Subject(occupant_id=one) for one in kept.ids["occupants"])


def _each(table: str, ask: Callable[[Session, int], Any]) -> Asked:
    """The same of every row that a collection has in a table."""
    return lambda session, kept: [ask(session, one) for one in kept.ids[table]]


def _digests(session: Session, kept: Kept) -> list[str]:
    """The files of its photos."""
    return [str(one.digest) for one in photos.latest(session, kept.collection_id, _everybody(kept), 9)]


def _named(session: Session, kept: Kept) -> list[Any]:
    """The names of its rows in its document, and the rows found by them."""
    names = Names(session, kept.collection_id)
    told = [
        (one, names.name(one.name, own)) for one in SECTIONS for own in kept.ids.get(str(one.model.__tablename__), [])
    ]
    return [(name, names.find(section, name)) for section, name in told]


READS: Mapping[str, Asked] = {
    "moving_names.Names": _named,
    "asides.notes_with": lambda s, k: asides.notes_with(s, k.collection_id, ("meter", "salt", "stock")),
    "changes.changes": lambda s, k: changes.changes(s, k.collection_id),
    "entries.rows": lambda s, k: entries.rows(s, k.ids["entries"]),
    "households.collection": lambda s, k: households.collection(s, k.collection_id),
    "households.everyone": lambda s, k: households.everyone(s, k.collection_id),
    "households.member": lambda s, k: households.member(s, k.owner),
    "households.member_by_address": lambda s, k: households.member_by_address(s, CHANNEL, k.who.address()),
    "households.members": lambda s, k: households.members(s, k.collection_id),
    "households.uid": lambda s, k: households.uid(s, k.collection_id),
    "inbox.before": lambda s, k: [inbox.before(s, row) for one in k.ids["inbox"] if (row := inbox.row(s, one))],
    "inbox.find": lambda s, k: inbox.find(s, k.collection_id, CHANNEL, *_key_of(s, k)),
    "inbox.of_album": lambda s, k: inbox.of_album(s, k.owner, CHANNEL, k.who.address(), "x"),
    "inbox.revisions": lambda s, k: inbox.revisions(s, k.collection_id, CHANNEL, *_key_of(s, k)),
    "inbox.row": _each("inbox", inbox.row),
    "inbox.set_aside_rows": lambda s, k: inbox.set_aside_rows(s, k.collection_id),
    "inbox.still_waits": lambda s, k: [inbox.still_waits(s, one) for one in k.ids["inbox"]],
    "invites.open_invites": lambda s, k: invites.open_invites(s, k.collection_id, k.now),
    "journal.between": lambda s, k: journal.between(s, k.collection_id, None, None, ("log", "plan")),
    "journal.entries_of_message": lambda s, k: [journal.entries_of_message(s, one, current=False) for one in _told(s, k)],
    "journal.entry": _each("entries", journal.entry),
    "journal.last_message_with_entries": lambda s, k: journal.last_message_with_entries(s, k.owner),
    "journal.undated": lambda s, k: journal.undated(s, k.collection_id),
    "labels.stands_before": lambda s, k: labels.stands_before(s, k.owner, k.now - timedelta(days=90)),
    "latest.latest": lambda s, k: latest.latest(s, Scope(k.collection_id), LONG_AGO, 3, (Mark("cleaning", '"scope"', LONG_AGO),)),
    "lineage.children": _each("occupants", lineage.children),
    "lineage.parents": _each("occupants", lineage.parents),
    "moving_in.lost_photos": lambda s, k: moving_in.lost_photos(s, k.collection_id),
    "moving_in.is_empty": lambda s, k: moving_in.is_empty(s, k.collection_id),
    "moving_out.collection_row": lambda s, k: moving_out.collection_row(s, k.collection_id),
    "moving_out.label_rows": lambda s, k: moving_out.label_rows(s, Names(s, k.collection_id)),
    "moving_out.preference_rows": lambda s, k: moving_out.preference_rows(s, Names(s, k.collection_id)),
    "moving_out.rows_of": lambda s, k: [list(moving_out.rows_of(s, one, Names(s, k.collection_id))) for one in SECTIONS],
    "moving_out.stay_rows": lambda s, k: moving_out.stay_rows(s, Names(s, k.collection_id)),
    "moving_out.waiting": lambda s, k: moving_out.waiting(s, k.collection_id),
    "outbox.answers_to": _each("inbox", outbox.answers_to),
    "outbox.by_service_id": lambda s, k: [outbox.by_service_id(s, k.collection_id, CHANNEL, chat, key) for chat in (GROUP, k.who.address()) for key in ("2", "4", k.who.shown[-1][1])],
    "outbox.given_up": lambda s, k: outbox.given_up(s, k.collection_id),
    "outbox.is_anothers": lambda s, k: [outbox.is_anothers(s, one, "me", k.now) for one in k.ids["outbox"]],
    "outbox.is_held": lambda s, k: [outbox.is_held(s, one, "me", k.now) for one in k.ids["outbox"]],
    "outbox.row": _each("outbox", outbox.row),
    "outbox.was_replaced": _each("outbox", outbox.was_replaced),
    "photos.counted": lambda s, k: photos.counted(s, k.collection_id),
    "photos.latest": lambda s, k: photos.latest(s, k.collection_id, _everybody(k), 9),
    "photos.of_message": _each("inbox", photos.of_message),
    "photos.photo": _each("photos", photos.photo),
    "plans.plans": lambda s, k: plans.plans(s, k.collection_id, LONG_AGO),
    "preferences.preference": lambda s, k: preferences.preference(s, k.owner),
    "pushes.by_ids": lambda s, k: pushes.by_ids(s, k.ids["pushes"]),
    "pushes.find": lambda s, k: pushes.find(s, _push(k)),
    "pushes.of_member": lambda s, k: pushes.of_member(s, k.owner),
    "pushes.slots": lambda s, k: pushes.slots(s, _push(k), "2026"),
    "pushes.swept": lambda s, k: pushes.swept(s, k.owner),
    "pushes.taken_off": lambda s, k: pushes.taken_off(s, k.owner),
    "questions.open_question": lambda s, k: questions.open_question(s, k.owner),
    "questions.open_questions": lambda s, k: questions.open_questions(s, k.owner),
    "questions.question": _each("questions", questions.question),
    "roster.load": lambda s, k: roster.load(s, k.collection_id, include_closed=True),
    "stays.occupants_in": _each("enclosures", stays.occupants_in),
    "stays.stays": _each("occupants", stays.stays),
    "stays.stays_in": _each("enclosures", stays.stays_in),
    "vocabulary.vocabulary": lambda s, k: vocabulary.vocabulary(s, k.collection_id),
    "walks.history": lambda s, k: [walks.history(s, occupant_id=one.occupant_id, limit=99, moods=("log", "plan")) for one in _everybody(k)],
    "walks.last_of_kind": _each("enclosures", lambda s, one: walks.last_of_kind(s, enclosure_id=one, limit=9)),
}  # fmt: skip
"""What is asked of one collection, or by an id that is its own."""

NOTHING_TOLD = frozenset(
    {
        "moving_in.is_empty",
        "inbox.still_waits",
        "outbox.is_anothers",
        "outbox.is_held",
        "moving_out.waiting",
        "outbox.was_replaced",
    }
)
"""Questions whose answer may be the same in two collections: yes, no, or how many."""


def _entry(kept: Kept) -> NewEntry:
    of = (Subject(occupant_id=kept.first("occupants")),)
    return NewEntry("note", "log", TODAY, None, None, ZONE, {}, of, "a word more")


def _with_subjects(session: Session, kept: Kept) -> None:
    """An entry about nobody, and then whom it is about."""
    bare = replace(_entry(kept), subjects=())
    made = journal.append(session, kept.collection_id, kept.owner, None, kept.now, [bare])
    journal.append_subjects(session, [_entry(kept)], made, [{"moment": None, "origin_id": None}])


def _message(kept: Kept) -> Incoming:
    of = {"collection_id": kept.collection_id, "member_id": kept.owner, "channel": CHANNEL, "chat": GROUP}
    return Incoming(**of, key="new", text="hello", sent_at=kept.now)


def _document(session: Session, kept: Kept) -> dict[str, Any]:
    """The collection's own document."""
    names = Names(session, kept.collection_id)
    sections = {one.name: list(moving_out.rows_of(session, one, names)) for one in SECTIONS}
    others = {
        "collection": moving_out.collection_row(session, kept.collection_id),
        "preferences": list(moving_out.preference_rows(session, names)),
        "labels": list(moving_out.label_rows(session, names)),
        "stays": list(moving_out.stay_rows(session, names)),
    }
    return sections | others


CHANGES: Mapping[str, Asked] = {
    "moving_values.Arriving": lambda s, k: Arriving(s, k.collection_id, Names(s, k.collection_id), k.now),
    "belonging.check_new": lambda s, k: belonging.check_new(s, k.collection_id, [_entry(k)], k.ids["entries"]),
    "belonging.check_old": lambda s, k: belonging.check_old(s, k.owner, k.ids["entries"]),
    "changes.record": lambda s, k: changes.record(s, k.collection_id, None, "rename"),
    "households.add_member": lambda s, k: households.add_member(s, k.collection_id, CHANNEL, "9", "Nia", "viewer", k.now),
    "households.create_collection": lambda s, _k: households.create_collection(s, "The rack", ZONE),
    "households.hold": lambda s, k: households.hold(s, k.collection_id),
    "households.leave": lambda s, k: households.leave(s, k.owner, k.now),
    "households.set_chat": lambda s, k: households.set_chat(s, k.owner, GROUP),
    "households.set_role": lambda s, k: households.set_role(s, k.owner, "viewer"),
    "households.set_units": lambda s, k: households.set_units(s, k.collection_id, "imperial"),
    "households.set_zone": lambda s, k: households.set_zone(s, k.collection_id, ZONE),
    "inbox.mark_done": _each("inbox", inbox.mark_done),
    "inbox.mark_failed": lambda s, k: inbox.mark_failed(s, k.first("inbox"), "x"),
    "inbox.receive": lambda s, k: inbox.receive(s, _message(k)),
    "inbox.set_aside": _each("inbox", inbox.set_aside),
    "invites.invite": lambda s, k: invites.invite(s, k.collection_id, "viewer", "a code", k.now + HOUR),
    "invites.use": lambda s, k: invites.use(s, k.first("invites"), k.owner),
    "journal.append": lambda s, k: journal.append(s, k.collection_id, k.owner, None, k.now, [_entry(k)]),
    "journal.append_subjects": _with_subjects,
    "journal.retract": lambda s, k: journal.retract(s, k.ids["entries"], k.owner, None, k.now),
    "labels.label_of": lambda s, k: [labels.label_of(s, k.collection_id, one, lambda one=one: f"c{one}") for one in k.ids["enclosures"]],
    "labels.stand_before": lambda s, k: labels.stand_before(s, k.owner, k.first("enclosures"), k.now + HOUR),
    "labels.walk_away": lambda s, k: labels.walk_away(s, k.owner),
    "lineage.add_lineage": lambda s, k: lineage.add_lineage(s, *k.ids["occupants"][:2], "join", None, None),
    "moving_in.bring_in": lambda s, k: moving_in.bring_in(s, k.collection_id, _document(s, k), k.now),
    "moving_in.mark_photos": lambda s, k: moving_in.mark_photos(s, k.collection_id, _digests(s, k), "lost"),
    "outbox.give_up": lambda s, k: [outbox.give_up(s, one, "x") for one in k.ids["outbox"]],
    "outbox.give_up_chat": lambda s, k: [outbox.give_up_chat(s, k.collection_id, CHANNEL, chat, "x") for chat in (GROUP, "100", "200", "202")],
    "outbox.mark_sent": _each("outbox", outbox.mark_sent),
    "outbox.put": lambda s, k: outbox.put(s, k.collection_id, CHANNEL, GROUP, None, {"text": "hello"}),
    "outbox.put_off": lambda s, k: outbox.put_off(s, k.first("outbox"), k.now),
    "photos.keep": lambda s, k: [photos.keep(s, one, "d", "image/png", 1) for one in k.ids["photos"]],
    "photos.lose": _each("photos", photos.lose),
    "photos.put_off": lambda s, k: [photos.put_off(s, one, k.now) for one in k.ids["photos"]],
    "photos.show": lambda s, k: [photos.show(s, one, k.first("inbox")) for one in k.ids["photos"]],
    "photos.want": lambda s, k: photos.want(s, k.collection_id, k.first("inbox"), CHANNEL, {"file": "same"}),
    "preferences.prefer": lambda s, k: preferences.prefer(s, k.owner, PreferenceRow()),
    "pushes.claim": lambda s, k: pushes.claim(s, k.owner, "me", k.now + timedelta(days=90), HOUR),
    "pushes.keep_swept": lambda s, k: pushes.keep_swept(s, dict.fromkeys(k.ids["members"], ZONE), k.now + HOUR),
    "pushes.mark_sent": lambda s, k: pushes.mark_sent(s, k.ids["pushes"], None, k.now),
    "pushes.plan": lambda s, k: pushes.plan(s, [_push(k, slot="2026-05-01")]),
    "pushes.settle": lambda s, k: pushes.settle(s, k.ids["pushes"], "skipped"),
    "pushes.snooze": lambda s, k: pushes.snooze(s, k.ids["pushes"], k.now + HOUR),
    "questions.ask": lambda s, k: questions.ask(s, k.collection_id, k.owner, None, {}, k.now),
    "questions.keep_pending": lambda s, k: questions.keep_pending(s, k.first("questions"), {}),
    "questions.settle": lambda s, k: [questions.settle(s, one, None, "dropped") for one in k.ids["questions"]],
    "roster_edits.add_alias": lambda s, k: roster_edits.add_alias(s, occupant_id=k.first("occupants"), alias="the lot"),
    "roster_edits.add_enclosure": lambda s, k: roster_edits.add_enclosure(s, k.collection_id, "tub 77"),
    "roster_edits.add_occupant": lambda s, k: roster_edits.add_occupant(s, k.collection_id, "group Q", "group"),
    "roster_edits.add_tags": lambda s, k: roster_edits.add_tags(s, k.first("enclosures"), ["low"]),
    "roster_edits.close_enclosure": lambda s, k: [roster_edits.close_enclosure(s, one, TODAY) for one in k.ids["enclosures"]],
    "roster_edits.end_occupant": lambda s, k: [roster_edits.end_occupant(s, one, TODAY) for one in k.ids["occupants"]],
    "roster_edits.rename_enclosure": lambda s, k: roster_edits.rename_enclosure(s, k.first("enclosures"), "tub 78"),
    "roster_edits.rename_occupant": lambda s, k: roster_edits.rename_occupant(s, k.first("occupants"), "group R"),
    "roster_edits.set_size": lambda s, k: roster_edits.set_size(s, k.first("enclosures"), (1, 2, 3)),
    "roster_edits.set_species": lambda s, k: roster_edits.set_species(s, k.first("occupants"), "Damon medius"),
    "stays.follow": lambda s, k: stays.follow(s, k.ids["entries"]),
    "stays.rebuild": lambda s, k: stays.rebuild(s, k.collection_id),
    "stays.refresh": _each("occupants", stays.refresh),
    "vocabulary.forget": lambda s, k: vocabulary.forget(s, k.collection_id, "RR"),
    "vocabulary.teach": lambda s, k: vocabulary.teach(s, k.collection_id, "RR", "waxworm"),
}  # fmt: skip
"""What is done to one collection, or by an id that is its own."""
