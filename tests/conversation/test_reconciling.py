"""A head count is held against the book aloud; nothing said is lost, and nobody is taken for dead."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage import questions
from tests.conversation.chatting import Chat
from tests.reminders.house import House

LATER = "recount later"


@pytest.fixture
def house(tmp_path: Path) -> House:
    """Group B with 42 heads since 2 March, group D with 20."""
    return House(tmp_path / "data")


def book(house: House, group: str = "B") -> str:
    """The range that the head count answer begins with."""
    return house.say(f"how many in {group}").text.split(". ")[0]


def test_more_than_the_book_is_said_with_what_it_cannot_explain(house: House) -> None:
    """The range of the book, how many too many, since when nothing was lost, and one question."""
    house.say("about 40 in B")
    house.say("lost 1 in B")
    house.wait("04-01 19:00")
    reply = house.say("counted B: 46")
    assert reply.text.splitlines() == [
        "Written: group B: counted 46, Wed 1 Apr 2026.",
        "group B: counted 46; the book said 35 to 43: 3 more than it can explain, nothing lost since Mon 2 Mar.",
        "Was the last count short?",
    ]
    assert reply.choices == ("set to 46", LATER)
    assert house.told()[-1] == ("count", "counted B: 46")


@pytest.mark.parametrize("answer", ["set to 46", "1", "y", "Yes.", "set", "keep it"])
def test_set_lets_the_count_stand(house: House, answer: str) -> None:
    """The book goes by it, as it did when it was written."""
    house.say("counted 46 in B")
    assert house.say(answer).text == "group B: the book is at 46 now."
    assert book(house) == "group B: 46"


@pytest.mark.parametrize("answer", [LATER, "2", "later", "recount at the next move", "no"])
def test_recount_later_keeps_the_words_and_leaves_the_book(house: House, answer: str) -> None:
    """The count becomes a note of its day, and undo brings it back."""
    house.say("counted 46 in B yesterday")
    said = house.say(answer).text
    assert (
        "Kept as a note, and the book stands as before: group B: note: “counted 46 in B yesterday”, Sun 1 Mar" in said
    )
    assert "at the next move; no digging" in said
    assert house.told() == [("note", "counted 46 in B yesterday")]
    assert book(house) == "group B: 42"
    assert "As before: group B: counted 46" in house.say("undo").text
    assert house.told() == [("count", "counted 46 in B yesterday")]


def test_fewer_than_the_book_are_unaccounted_for_and_not_dead(house: House) -> None:
    """No death is written; what to look at is said, and to count again at the next move."""
    house.wait("04-01 19:00")
    reply = house.say("counted 37 in B")
    assert "group B: counted 37; the book said 42: 5 unaccounted for, not taken as dead." in reply.text
    assert "Count again at the next move, no digging." in reply.text
    for where in ("hides", "lid", "exuviae in the substrate"):
        assert where in reply.text
    assert "Less prey" not in reply.text
    assert {kind for kind, _words in house.told()} == {"count"}
    assert "no death told" in house.say("survival of B").text


def test_a_falling_take_of_prey_is_a_first_sign(house: House) -> None:
    """Only where the last feedings show it, with the shares and the number of feedings."""
    for day in ("03-03", "03-08", "03-13", "03-18", "03-23"):
        house.wait(f"{day} 20:00")
        house.say("fed B 10 roaches, all eaten")
    for day in ("04-28", "05-03", "05-08", "05-12"):
        house.wait(f"{day} 20:00")
        house.say("fed B 10 roaches, 7 left over")
    assert (
        "Less prey is taken lately, a first sign of losses: 30 % of it in 4 feedings, before 100 % in 5."
        in house.say("counted 30 in B").text
    )


def test_a_count_that_agrees_says_so_in_few_words(house: House) -> None:
    """Without a question."""
    house.say("about 40 in B")
    reply = house.say("counted 41 in B")
    assert reply.text.splitlines()[1:] == ["That fits the book (36 to 44)."]
    assert reply.choices == ()


def test_about_widens_and_at_least_lifts_the_floor_alone(house: House) -> None:
    """About 40 is 36 to 44; at least 12 changes nothing there, at least 40 the lower end only."""
    assert house.say("about 40 in B").choices == ()
    assert book(house) == "group B: 36 to 44"
    assert house.say("saw at least 12 in B").choices == ()
    assert book(house) == "group B: 36 to 44"
    house.say("saw at least 40 in B")
    assert book(house) == "group B: 40 to 44"


def test_time_alone_changes_nothing(house: House) -> None:
    """Two months without a word leave the range as it was."""
    house.say("about 40 in B")
    house.wait("05-05 19:00")
    assert book(house) == "group B: 36 to 44"


def test_more_seen_than_can_be_is_asked_about(house: House) -> None:
    """A floor above the book is no agreement."""
    reply = house.say("saw at least 50 in B")
    assert "counted at least 50; the book said 42: 8 more than it can explain" in reply.text
    assert reply.choices == ("set to at least 50", LATER)


def test_a_question_nobody_answers_leaves_the_count_and_bothers_nobody(house: House) -> None:
    """The next message is dealt with as ever; the choice still holds in its own words, a bare number does not."""
    house.say("counted 46 in B")
    assert house.say("fed B 3 roaches").text.startswith("Written: group B: fed 3 roaches")
    assert "Still open" not in house.say("when did B last eat").text
    assert book(house) == "group B: 46"
    assert "stands as before" in house.say(LATER).text
    assert book(house) == "group B: 42"


def test_an_answer_in_other_words_is_no_answer_later(house: House) -> None:
    """A bare "no" or "2" only means the question right after it."""
    house.say("counted 46 in B")
    house.say("fed B 3 roaches")
    house.say("no")
    house.say("2")
    assert book(house) == "group B: 46"


def test_undo_takes_the_count_back_while_it_is_asked_about(house: House) -> None:
    """And the question has nothing left to settle."""
    house.say("counted 46 in B")
    assert house.say("undo").text.startswith("Taken back: group B: counted 46")
    assert book(house) == "group B: 42"
    assert "does not stand any more" in house.say(LATER).text


def test_a_corrected_count_is_held_against_the_book_anew(house: House) -> None:
    """Against the book before it, and not against its own first wording."""
    house.say("counted 46 in B")
    reply = house.say("no, 44")
    assert "group B: counted 44; the book said 42: 2 more than it can explain" in reply.text
    assert reply.choices == ("set to 44", LATER)


def test_two_groups_in_one_message_are_one_question(house: House) -> None:
    """Each has its line; the answer is for those that do not agree."""
    reply = house.say("counted 46 in B and 12 in D")
    assert "group B: counted 46" in reply.text
    assert "group D: counted 12; the book said 20: 8 unaccounted for" in reply.text
    assert reply.text.endswith("Set the book to these counts?")
    assert reply.choices == ("set to the counts", LATER)
    house.say(LATER)
    assert (book(house), book(house, "D")) == ("group B: 42", "group D: 20")


def test_of_two_groups_the_one_that_agrees_is_named(house: House) -> None:
    """And only the other is asked about."""
    reply = house.say("counted 42 in B and 22 in D")
    assert "group B fits the book (42)." in reply.text
    assert reply.choices == ("set to 22", LATER)


def test_young_that_hatched_may_be_among_them(house: House) -> None:
    """They are kept apart in the book, so they are asked about."""
    house.say("a sac hatched in B, 30 slings")
    house.wait("03-10 19:00")
    assert "Or are young of Mon 2 Mar among them?" in house.say("counted 60 in B").text


def test_only_one_such_question_is_open(house: House) -> None:
    """The count before it stands."""
    house.say("counted 46 in B")
    house.say("counted 50 in B")
    house.say(LATER)
    assert book(house) == "group B: 46"
    with house.app.store.read() as session:
        assert questions.open_questions(session, 1) == []


def test_the_morning_list_is_answered_beside_it(house: House) -> None:
    """The question about a count never stands in the way of another."""
    house.say("remind me to mist B tomorrow")
    house.say("counted 46 in B")
    house.wait("03-03 19:00")
    assert house.say("done").text == "Written: group B: misted, Tue 3 Mar 2026."


def test_choices_are_tapped(chat: Chat) -> None:
    """The button of a message settles its own question, and only once."""
    chat.hear("counted 60 golds")
    [row] = chat.say("counted 70 golds")
    assert row.body["choices"] == ["set to 70", LATER]
    assert "stands as before" in chat.press(row, LATER)
    assert "closed" in chat.press(row, "set to 70")


def test_a_viewer_sets_nothing(house: House) -> None:
    """Who may only ask is told so."""
    house.join("Vic", "viewer")
    assert "counted" not in house.say("counted 46 in B", "Vic").text
    assert house.told() == []


def test_a_count_told_of_two_groups_is_held_against_both(house: House) -> None:
    """Each by its own book."""
    reply = house.say("counted B and D: 20 each")
    assert "group B: counted 20; the book said 42: 22 unaccounted for" in reply.text
    assert "group D fits the book (20)." in reply.text


def test_the_head_count_tells_what_the_book_had(house: House) -> None:
    """Also after the question, so that nobody is lost without a word."""
    house.say("counted 37 in B")
    house.say("1")
    assert house.say("how many in B").text.endswith("The book had 42: 5 unaccounted for, not taken as dead.")
    house.say("counted 40 in B")
    assert house.say("how many in B").text.endswith("The book had 37: 3 more than it can explain.")
