"""When the keeper is spared: times away, skips, reminders that wait."""

from __future__ import annotations

from datetime import date

import pytest

from tests.language.keeping import heard, plan


@pytest.mark.parametrize(
    ("text", "since", "until"),
    [
        ("away 3 to 10 June", "2026-06-03", "2026-06-10"),
        ("on holiday 3-10 June", "2026-06-03", "2026-06-10"),
        ("my holiday is 1-14 august", "2026-08-01", "2026-08-14"),
        ("I'm away from friday till the 20th", "2026-03-06", "2026-03-20"),
        ("we are on vacation next week", "2026-03-09", "2026-03-15"),
        ("I'll be away until the 20th", "2026-03-04", "2026-03-20"),
        ("I am away tomorrow", "2026-03-05", "2026-03-05"),
        ("I'm gone for 10 days", "2026-03-04", "2026-03-13"),
        ("going away on friday for a week", "2026-03-06", "2026-03-12"),
        ("I'm away from friday, back on the 20th", "2026-03-06", "2026-03-19"),
        ("no reminders while I'm away 3 to 10 June", "2026-06-03", "2026-06-10"),
    ],
)
def test_a_time_away_is_for_the_whole_collection(text: str, since: str, until: str) -> None:
    """Both days are included; a day of coming back is not."""
    found = plan(text)
    assert (found.kind, found.subjects, found.fields) == ("away", (), {"since": since, "until": until})


@pytest.mark.parametrize(
    "text",
    [
        "I was away last week",
        "am I away next week?",
        "we went away on friday",
        "I'm away",
        "Dapple is away from its hide",
    ],
)
def test_no_time_away_is_set_by_the_past_or_a_question(text: str) -> None:
    """Nor by words without a day, nor of an animal."""
    assert not heard(text).plans


@pytest.mark.parametrize(
    ("text", "name", "of", "on"),
    [
        ("skip B's feeding", "group B", "feeding", date(2026, 3, 4)),
        ("skip feeding B tonight", "group B", "feeding", date(2026, 3, 4)),
        ("skip B this once", "group B", None, date(2026, 3, 4)),
        ("let's skip the misting of Clotho this week", "Clotho", "misting", date(2026, 3, 4)),
        ("give Dapple's misting a miss today", "Dapple", "misting", date(2026, 3, 4)),
        ("please skip Dapple tomorrow", "Dapple", None, date(2026, 3, 5)),
        ("no need to mist Clotho this week", "Clotho", "misting", date(2026, 3, 4)),
    ],
)
def test_a_task_is_let_go_by_name(text: str, name: str, of: str | None, on: date) -> None:
    """A skip names a kind, or means what is due."""
    found = plan(text)
    assert (found.kind, found.subjects, found.of, found.on) == ("skip", (name,), of, on)


@pytest.mark.parametrize("text", ["skipped feeding B", "don't skip B", "forgot to mist Clotho"])
def test_what_was_left_undone_is_a_note(text: str) -> None:
    """A skip told as done, or denied, orders none."""
    assert [entry.kind for entry in heard(text).entries] == ["note"]


@pytest.mark.parametrize(
    ("text", "of", "on"),
    [
        ("no reminders for Dapple till April", None, date(2026, 4, 1)),
        ("no misting reminders for Dapple until 3 May", "misting", date(2026, 5, 3)),
        ("no feeding for Dapple until the 20th", "feeding", date(2026, 3, 20)),
        ("hold feeding for Dapple until friday", "feeding", date(2026, 3, 6)),
        ("snooze Dapple until friday", None, date(2026, 3, 6)),
        ("snooze Dapple", None, date(2026, 3, 5)),
        ("put off Dapple's feeding until friday", "feeding", date(2026, 3, 6)),
    ],
)
def test_reminders_wait_until_a_day(text: str, of: str | None, on: date) -> None:
    """What is snoozed or put off without a day waits until tomorrow."""
    found = plan(text)
    assert (found.kind, found.subjects, found.of, found.on) == ("stop", ("Dapple",), of, on)


@pytest.mark.parametrize("text", ["remind me about Dapple tomorrow", "ping me again about Dapple tomorrow please"])
def test_a_reminder_about_somebody_is_to_look_in(text: str) -> None:
    """Nothing is said of what to do there."""
    found = plan(text)
    assert (found.kind, found.subjects, found.on) == ("check", ("Dapple",), date(2026, 3, 5))
