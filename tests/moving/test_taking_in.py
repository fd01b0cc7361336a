"""Talk of long ago taken in: it means what it meant then, changes nothing of today's talk, and nobody is told."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import func, select

from bot.app import SetClock
from bot.conversation.scene import load_names
from bot.household import Household
from bot.moving.told import Told
from bot.roster_file import load_roster
from storage import households, journal, outbox, questions
from storage.preferences import PreferenceRow, preference
from storage.tables import Inbox, Push, Question
from tests.moving.incoming import LATER, ROSTER, chat, diary, message, standing, summary, taken

pytestmark = pytest.mark.both_databases


@pytest.fixture
def house(household: Household, clock: SetClock) -> Household:
    """The household with the animals of the samples too."""
    clock.moment = datetime(2026, 5, 1, 9, 0, tzinfo=UTC)
    household.bring_in(load_roster(ROSTER))
    return household


def words(house: Household, kind: str | None = None) -> list[str]:
    return sorted(said for _on, is_kind, _who, _fields, said in standing(house.app.store) if kind in (None, is_kind))


def days(house: Household, kind: str) -> list[str]:
    return sorted(on for on, is_kind, *_rest in standing(house.app.store) if is_kind == kind)


def sorts(house: Household, *told: Told, now: datetime = LATER, again: bool = False) -> list[str]:
    return [one.sort for one in taken(house, chat(*told), now, again=again)]


def test_last_night_means_the_night_before_it_was_said(house: Household) -> None:
    """Days in words count from the moment of the message, not from the day of the import."""
    assert sorts(house, message("2026-02-03T19:40", "fed Ambers 4 crickets last night", "1")) == ["understood"]
    assert days(house, "feeding") == ["2026-02-02"]


def test_bringing_in_twice_adds_nothing(house: Household) -> None:
    """Not a row of any table changes: entries, notes, messages, members, questions."""
    told = [
        message("2026-02-03T19:40", "fed Ambers 4 crickets", "1"),
        message("2026-02-03T19:41", "fed Quill 2 roaches", "2"),
        message("2026-02-04T19:40", "see you at eight", "3"),
        message("2026-02-04T19:41", "when did Basalt last eat", "4"),
    ]
    assert sorts(house, *told) == ["understood", "asked", "talk", "talk"]
    before = summary(house.app.store)
    assert sorts(house, *told) == ["here"] * 4
    assert summary(house.app.store) == before


def test_what_would_be_asked_is_a_note_of_its_day_and_no_question_is_left(house: Household) -> None:
    """An unknown name, a day that the calendar does not have, and words that name nobody."""
    told = [
        message("2026-02-03T19:41", "fed Quill 2 roaches", "1"),
        message("2026-02-05T19:41", "fed Basalt on the 31st of February", "2"),
        message("2026-02-06T19:41", "fed 2 crickets", "3"),
    ]
    assert [one.sort for one in taken(house, chat(*told))] == ["asked"] * 3
    assert words(house) == ["fed 2 crickets", "fed Basalt on the 31st of February", "fed Quill 2 roaches"]
    assert days(house, "note") == ["2026-02-03", "2026-02-05", "2026-02-06"]
    with house.app.store.read() as session:
        assert session.scalar(select(func.count()).select_from(Question).where(Question.how.is_(None))) == 0


def test_the_next_words_may_answer_what_would_have_been_asked(house: Household) -> None:
    """A name right after "fed 2 crickets" is whom it was for; hours later, or a bare number, it is not."""
    outcomes = taken(
        house, chat(message("2026-02-03T19:41", "fed 2 crickets", "1"), message("2026-02-03T19:42", "Basalt", "2"))
    )
    assert [one.sort for one in outcomes] == ["asked", "understood"]
    assert outcomes[1].answers == outcomes[0].told.key
    assert (days(house, "feeding"), words(house, "note")) == (["2026-02-03"], [])
    late = [message("2026-02-04T09:41", "fed 2 crickets", "3"), message("2026-02-04T12:42", "Basalt", "4")]
    numbered = [message("2026-02-05T09:41", "fed 3 crickets", "5"), message("2026-02-05T09:42", "2", "6")]
    assert "understood" not in sorts(house, *late, *numbered)
    assert days(house, "feeding") == ["2026-02-03"]
    assert "fed 3 crickets" in words(house, "note")


def test_a_question_of_today_is_not_answered_by_talk_of_then(house: Household, clock: SetClock) -> None:
    """The owner's open question stays open, and the owner's "undo" takes back what the owner said, not what was brought in."""
    house.say("misted the moss jar")
    house.say("fed 2 crickets")
    assert house.asks_back
    sorts(house, message("2026-02-03T19:41", "Basalt", "1"), message("2026-02-03T19:45", "undo", "2"))
    assert house.asks_back
    clock.moment = LATER
    house.say("never mind")
    assert "misted the moss jar" in words(house, "misting")
    sorts(house, message("2026-02-03T20:41", "fed Basalt 1 cricket", "3"))
    clock.moment = LATER + timedelta(minutes=1)
    house.say("undo")
    assert words(house, "feeding") == ["fed Basalt 1 cricket"]


def test_they_are_those_of_the_talk_itself(house: Household) -> None:
    """A pronoun leans on the message before it in the file, also where that was a question, and never on today's talk."""
    house.say("fed Basalt 1 cricket")
    assert sorts(house, message("2026-02-03T19:41", "fed them 3 crickets", "1")) == ["asked"]
    told = [
        message("2026-02-04T19:41", "when did the Ambers last eat", "2"),
        message("2026-02-04T19:42", "fed them 3 crickets", "3"),
    ]
    assert sorts(house, *told) == ["talk", "understood"]
    [who] = [who for on, kind, who, *_rest in standing(house.app.store) if (on, kind) == ("2026-02-04", "feeding")]
    assert who == ("Ambers",)


def test_undo_and_corrections_of_then_are_done(house: Household) -> None:
    """They are about what was said just before in the file."""
    told = [
        message("2026-02-03T19:41", "fed Ambers 4 crickets", "1"),
        message("2026-02-03T19:42", "no, Basalt not Ambers", "2"),
        message("2026-02-03T19:43", "misted the moss jar", "3"),
        message("2026-02-03T19:44", "undo", "4"),
    ]
    assert sorts(house, *told) == ["understood", "understood", "understood", "changed"]
    [(_on, kind, who, *_rest)] = standing(house.app.store)
    assert (kind, who) == ("feeding", ("Basalt",))


def test_nobody_is_told_and_no_push_is_made_for_the_past(house: Household, clock: SetClock) -> None:
    """Nothing waits to be sent, no push is laid out for a day before the import, the teller is nobody who is here."""
    house.app.sweep()
    told = [
        message("2026-02-03T19:41", "remind me to mist the moss jar on friday at 9am", "1"),
        message("2026-02-03T19:42", "moved Basalt to the moss jar", "2"),
        message("2026-02-03T19:43", "counted the Ambers: 15", "3"),
        message("2026-02-03T19:44", "feed the Lanterns every 5 days", "4"),
    ]
    sorts(house, *told)
    with house.app.store.read() as session:
        assert outbox.waiting(session) == []
        assert [row.name for row in households.members(session, house.collection.id)] == ["owner"]
        assert questions.open_questions(session, house.owner.id) == []
    clock.moment = LATER + timedelta(days=1)
    house.app.sweep()
    with house.app.store.read() as session:
        slots = list(session.scalars(select(Push.slot).where(Push.state != "answered")))
        texts = [row.body["text"] for row in outbox.waiting(session)]
    assert all(slot >= "2026-05" for slot in slots)
    assert not any("friday" in text.lower() or "Reminder" in text for text in texts)


def test_a_task_for_a_day_that_is_past_is_a_note_and_a_rule_holds_on(house: Household) -> None:
    """Nobody wants to be reminded of a Monday in February; what comes round is laid down as it was said."""
    assert sorts(
        house,
        message("2026-02-03T19:41", "remind me to mist the moss jar on monday", "1"),
        message("2026-02-03T19:42", "feed the Lanterns every 5 days", "2"),
        message("2026-05-31T19:42", "remind me to mist the moss jar on friday", "3"),
    ) == ["note", "understood", "understood"]
    assert words(house, "note") == ["remind me to mist the moss jar on monday"]
    assert words(house, "plan feeding") == ["feed the Lanterns every 5 days"]
    assert days(house, "plan misting") == ["2026-06-05"]


def test_settings_and_lists_of_then_are_left_alone(house: Household) -> None:
    """The zone, the units and the pushes of today stay; that all was done then says nothing without the list."""
    zone, units = house.collection.zone, house.collection.units
    outcomes = taken(
        house,
        chat(
            message("2026-02-03T19:41", "my time zone is Asia/Tokyo", "1"),
            message("2026-02-03T19:42", "use imperial units", "2"),
            message("2026-02-03T19:43", "morning list at 5:30", "3"),
            message("2026-02-03T19:44", "all done", "4"),
        ),
    )
    assert [one.sort for one in outcomes] == ["talk", "talk", "talk", "asked"]
    assert (house.collection.zone, house.collection.units) == (zone, units)
    with house.app.store.read() as session:
        assert preference(session, house.owner.id) == PreferenceRow()
    assert words(house) == ["all done"]


def test_what_cannot_be_written_keeps_its_words(house: Household) -> None:
    """A number that cannot be true is refused with its sentence, and the words are a note; a correction of nothing is none."""
    outcomes = taken(
        house,
        chat(message("2026-02-03T19:41", "undo", "1"), message("2026-02-03T19:42", "moss jar: 25C 178%", "2")),
    )
    assert [one.sort for one in outcomes] == ["refused", "refused"]
    assert "178" in outcomes[1].said
    assert words(house) == ["moss jar: 25C 178%"]


def test_changed_words_correct_what_they_told(house: Household) -> None:
    """A later export has the message edited: its entry is superseded, the first stays in the journal."""
    sorts(house, message("2026-02-03T19:41", "fed Ambers 4 crickets", "1"))
    assert sorts(house, message("2026-02-03T19:41", "fed Ambers 5 crickets", "1")) == ["understood"]
    [(_on, _kind, _who, fields, _words)] = standing(house.app.store)
    assert "[5, 5]" in fields
    with house.app.store.read() as session:
        first = session.scalar(select(Inbox.id).where(Inbox.channel == "import", Inbox.revision == 0))
        assert first is not None
        assert len(journal.entries_of_message(session, first, current=False)) == 2


def test_again_reads_anew_what_became_a_note(house: Household) -> None:
    """With Quill on the roster the note becomes the feeding it was, as a correction; all else stays, also when it is done again."""
    told = [message("2026-02-03T19:41", "fed Quill 2 roaches", "1"), message("2026-02-03T19:42", "Quill: odd", "2")]
    sorts(house, *told)
    house.say("add Quill, Heterothele villosella, in slate jar")
    assert sorts(house, *told, again=True) == ["understood", "here"]
    assert days(house, "feeding") == ["2026-02-03"]
    before = standing(house.app.store)
    assert sorts(house, *told, again=True) == ["here", "here"]
    assert standing(house.app.store) == before


def test_each_line_of_a_diary_stands_by_itself(house: Household) -> None:
    """What no reader makes anything of is a note of its day; a name on the next line answers nothing."""
    outcomes = taken(house, diary("2026-02-03 fed 2 crickets\nBasalt\nwhat a lovely evening\nwhen did Basalt last eat"))
    assert [one.sort for one in outcomes] == ["asked", "asked", "note", "talk"]
    assert words(house, "note") == ["Basalt", "fed 2 crickets", "what a lovely evening"]


def test_what_lies_ahead_is_not_taken_in(house: Household) -> None:
    """A line of today stands at this moment, one of tomorrow is unreadable."""
    contents = diary("2026-06-01 misted the moss jar\n2026-06-02 misted the moss jar")
    assert [one.told.at for one in taken(house, contents)] == [LATER]


def test_a_tables_row_is_of_whom_it_names_or_it_is_asked(house: Household) -> None:
    """The reading must be of the animal in the row's cell; a remark is a note of that animal."""
    told = [
        message("2026-02-03T19:41", "fed Ambers and Basalt", "1", about="Basalt"),
        message("2026-02-03T19:42", "fed the lamps 3 crickets", "2", about="the lamps"),
        message("2026-02-03T19:43", "old skin under the bark", "3", about="Basalt", note=True),
        message("2026-02-03T19:44", "gone", "4", about="Quill", note=True),
    ]
    assert sorts(house, *told) == ["asked", "understood", "note", "asked"]
    found = {said: who for _on, _kind, who, _fields, said in standing(house.app.store)}
    assert found == {
        "fed Ambers and Basalt": (),
        "fed the lamps 3 crickets": ("Lanterns",),
        "old skin under the bark": ("Basalt",),
        "gone": (),
    }


def test_the_roster_is_changed_as_it_was_said(house: Household) -> None:
    """A group added in the talk is on the roster, and later messages know it."""
    told = [
        message("2026-02-03T19:41", "add group Pearls, 18 Heterothele villosella, in bark jar", "1"),
        message("2026-02-04T19:41", "fed Pearls 6 crickets", "2"),
    ]
    assert sorts(house, *told) == ["changed", "understood"]
    with house.app.store.read() as session:
        assert load_names(session, house.collection.id).animal("Pearls") is not None
