"""Pictures in answers: what is drawn is what the journal and the answers in words say."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from itertools import pairwise
from pathlib import Path

import pytest

from bot.answers import View, answer
from bot.answers.drawing import Stretch, stretch_of
from bot.answers.drawing_air import values_of
from bot.answers.drawing_food import became
from bot.answers.drawing_heads import steps_of
from bot.answers.headcount import say_heads
from bot.answers.heads import count_of, events_of
from bot.answers.pictures import WHOSE, drawing_of
from bot.answers.readings import book_of, readings_of
from bot.care.headcount import course, headcount
from bot.language.meaning import Ask
from bot.pictures.shelf import FOLDER, KEPT_FOR, keep
from storage.roster import OccupantRow
from tests.answers.conftest import TODAY, Keeper, day

PNG = b"\x89PNG\r\n\x1a\n"


def occupant(view: View, name: str) -> OccupantRow:
    target = view.target(name)
    assert target is not None
    assert target.occupant is not None
    return target.occupant


def tell_heads(keeper: Keeper) -> None:
    keeper.write(day(1, 20), "death", ["group B"], number=[1, 1])
    keeper.write(day(2, 2), "count", ["group B"], count=[40, 42])
    keeper.write(day(3, 1), "departure", ["group B"], number=[3, 4])
    keeper.write(day(3, 1), "arrival", ["group B"], number=[2, 2])
    keeper.write(day(4, 9), "count", ["tub 4"], count=[12, None])
    keeper.write(day(5, 1), "death", ["group B"], number=[1, 1])


def said(keeper: Keeper, of: str, *subjects: str, **parts: object) -> str:
    """The caption of a picture, or the sentence in its stead."""
    found = drawing_of(Ask("picture", subjects=subjects, fields={"of": of}, **parts), keeper.view)  # type: ignore[arg-type]
    return found if isinstance(found, str) else found.caption


def test_the_band_is_the_count_of_each_day(keeper: Keeper) -> None:
    """On every day from the first to today the step that holds is the range of the events up to that day."""
    tell_heads(keeper)
    events = events_of(keeper.view, occupant(keeper.view, "group B"))
    stretch = Stretch(day(1, 25), TODAY, asked=True)
    steps = steps_of(list(zip(events, course(events), strict=True)), stretch)
    assert [step.on for step in steps] == [day(1, 25), day(2, 2), day(3, 1), day(4, 9), day(5, 1)]
    for number in range((TODAY - stretch.since).days + 1):
        on = stretch.since + timedelta(days=number)
        count = headcount(event for event in events if event.on <= on)
        step = [step for step in steps if step.on <= on][-1]
        assert (step.low, step.high) == (count.low, count.high)


def test_title_and_answer_tell_one_number(keeper: Keeper) -> None:
    """The title holds the range that "how many" tells, and the basis what it rests on."""
    tell_heads(keeper)
    count = count_of(keeper.view, occupant(keeper.view, "group B"))
    title, basis, grounds = said(keeper, "heads", "group B").splitlines()
    assert title == f"group B: {say_heads(count)}, 1 died since Mon 2 Feb"
    assert grounds in keeper.text("headcount", "group B")
    assert basis == "2 counts and 4 changes since Mon 5 Jan (all there is)."


def test_a_group_that_lost_none_is_said_to(keeper: Keeper) -> None:
    """Since the count that the range starts from."""
    keeper.write(day(2, 2), "count", ["group B"], count=[40, 40])
    assert said(keeper, "heads", "group B").startswith("group B: 40, none lost since Mon 2 Feb\n1 count ")
    keeper.write(day(3, 2), "departure", ["group B"], number=[4, 4])
    assert said(keeper, "heads", "group B").startswith("group B: 36, none died and 4 left since Mon 2 Feb\n")


@pytest.mark.parametrize(
    ("fields", "what"),
    [
        ({"outcome": "ate"}, "taken"),
        ({"outcome": "refused"}, "refused"),
        ({"outcome": "partly", "quantity": [8, 8], "uneaten": [2, 2]}, "partly"),
        ({"outcome": "partly"}, "partly"),
        ({"outcome": "partly", "quantity": [8, 8], "uneaten": [8, 8]}, "refused"),
        ({"uneaten": [1, 2]}, "partly"),
        ({"quantity": [8, 8]}, "given"),
    ],
)
def test_a_feeding_is_marked_as_it_was_told(keeper: Keeper, fields: dict[str, object], what: str) -> None:
    """Whether food was taken is never made up: without a word of it the feeding is marked as given."""
    keeper.write(day(5, 1), "feeding", ["Duchess"], **fields)
    target = keeper.view.target("Duchess")
    assert target is not None
    assert [became(entry) for entry in keeper.view.history(target, ("feeding",))] == [what]


def test_the_calendar_counts_what_it_shows(keeper: Keeper) -> None:
    """Sixteen weeks, the rest being said to be older."""
    for number in range(0, 200, 10):
        outcome = {"outcome": "refused"} if number == 20 else {}
        keeper.write(TODAY - timedelta(days=number), "feeding", ["Duchess"], **outcome)  # type: ignore[arg-type]
    title, basis = said(keeper, "food", "Duchess").splitlines()
    assert title == "Duchess: offered food 11 times, 1 refused"
    assert basis.startswith("11 feedings in the 16 weeks up to Thu 7 May; last Thu 7 May, today: fed")
    assert "no feeding is written from" in said(keeper, "food", "Duchess", since=day(5, 3), until=day(5, 4))


def test_the_air_is_that_of_the_readings(keeper: Keeper) -> None:
    """Every reading of the days shown, in order, with its middle; the title says how many lie in the keeper's own band."""
    keeper.write(day(3, 1), "rule", ["tub 4"], mood="plan", humidity_pct=[60, 80])
    for number in range(12):
        keeper.write(day(4, 1 + number), "reading", ["tub 4"], at=time(9), humidity_pct=[52 + 2 * number] * 2)
    target = keeper.view.target("tub 4")
    assert target is not None
    found = readings_of(keeper.view, book_of(keeper.view), target)
    rows = values_of(found, "humidity_pct")
    assert [row.value for row in rows] == [52.0 + 2 * number for number in range(12)]
    assert all(one.moment < other.moment for one, other in pairwise(rows))
    lines = said(keeper, "air", "tub 4").splitlines()
    assert lines[0] == "tub 4: humidity in the band 8 of 12 times, rising"
    assert lines[1].startswith("12 humidity readings since Wed 1 Apr (all there is); wanted 60 to 80 %")
    assert lines[2] in keeper.text("climate", "tub 4")
    keeper.write(day(5, 1), "reading", ["tub 4"], at=time(9), temperature_c=[31, 31])
    assert said(keeper, "air", "tub 4").startswith("tub 4: humidity in the band 8 of 12 times, rising; 31 °C")


def test_growth_shows_sizes_moults_and_the_window(keeper: Keeper) -> None:
    """From the first size to the last, and the window that the answer on size tells."""
    for on, size in ((day(1, 10), 20), (day(2, 20), 25), (day(4, 10), 31)):
        keeper.write(on, "measurement", ["Duchess"], measure="legspan", value=[size, size])
    for on in (day(2, 1), day(3, 20)):
        keeper.write(on, "moult", ["Duchess"])
    lines = said(keeper, "growth", "Duchess").splitlines()
    assert lines[0] == "Duchess: legspan 20 mm, now 31 mm, Fri 10 Apr"
    assert lines[1] == "3 sizes and 2 moults since Sat 10 Jan (all there is)."
    assert all(line in keeper.text("size", "Duchess") for line in lines[2:])
    assert lines[-1].startswith("Next moult likely")


def test_survival_is_that_of_the_answer(keeper: Keeper) -> None:
    """One brood by the lines of "how is it doing", two by the verdict of the comparison."""
    tell_heads(keeper)
    lines = said(keeper, "survival", "group B").splitlines()
    told = keeper.text("losses", "group B")
    assert all(line.removesuffix(" Heads are unaccounted for: the line runs midway.") in told for line in lines[1:])
    keeper.animal("group C", "glass cube", kind="group", count=30)
    both = said(keeper, "survival", "group B", "group C").splitlines()
    assert both[0].startswith("group B: ")
    assert both[-1] in keeper.text("compare", "group B", "group C")


def test_what_is_most_useful_is_drawn(keeper: Keeper) -> None:
    """Of a group its heads, of an animal its growth or else its food; the others are named beside."""
    keeper.write(day(5, 1), "feeding", ["Duchess"])
    assert "offered food once" in keeper.text("picture", "Duchess")
    keeper.write(day(5, 2), "measurement", ["Duchess"], measure="weight", value=[31, 31])
    assert keeper.text("picture", "Duchess").startswith("Duchess: weight 31 g, Sat 2 May")
    assert keeper.text("picture", "tub 4").startswith("group B: 42")
    assert "Others: head count, feeding calendar" in keeper.text("picture", "group B")


@pytest.mark.parametrize(
    ("of", "subjects", "words"),
    [
        ("heads", (), WHOSE),
        ("heads", ("Duchess",), "Duchess is one animal"),
        ("food", ("Duchess",), "no feeding is written"),
        ("food", ("tub 1",), "say Ada or Dot"),
        ("growth", ("Duchess",), "No measurement of Duchess is written"),
        ("air", ("tub 4",), "No reading of tub 4 is written"),
        ("air", ("tub 4", "tub 1"), "say tub 4 or tub 1"),
        ("survival", ("Duchess",), "no group"),
        ("heads", ("glass cube",), "Nobody lives in glass cube"),
    ],
)
def test_where_there_is_nothing_to_draw_a_sentence_says_so(
    keeper: Keeper, of: str, subjects: tuple[str, ...], words: str
) -> None:
    """And no file goes with it."""
    reply = keeper.ask("picture", *subjects, fields={"of": of})
    assert words in reply.text
    assert reply.files == ()


def test_a_year_or_all_there_is(keeper: Keeper) -> None:
    """Without a time in the question a year is shown."""
    shown = stretch_of(Ask("picture"), keeper.view)
    assert (shown.since, shown.until) == (TODAY - timedelta(days=365), TODAY)
    assert shown.said(keeper.view, day(1, 5), older=True) == "in the last year"
    until = stretch_of(Ask("picture", until=day(4, 1)), keeper.view)
    assert (until.since, until.until) == (day(4, 1) - timedelta(days=365), day(4, 1))


@pytest.mark.parametrize("of", ["heads", "food", "growth", "air", "survival"])
def test_every_picture_is_a_file_of_the_data_folder(keeper: Keeper, tmp_path: Path, of: str) -> None:
    """Named by its content: light and dark are two, and the same one asked twice is one."""
    tell_heads(keeper)
    keeper.write(day(5, 1), "feeding", ["group B"], outcome="ate")
    keeper.write(day(5, 2), "measurement", ["group B"], measure="legspan", value=[12, 14])
    keeper.write(day(5, 2), "reading", ["tub 4"], humidity_pct=[60, 60], temperature_c=[25, 25])
    view = replace(keeper.view, folder=tmp_path)
    subject = "tub 4" if of == "air" else "group B"
    asks = [Ask("picture", subjects=(subject,), fields={"of": of, **theme}) for theme in ({}, {"theme": "dark"}, {})]
    files = [answer(ask, view).files[0] for ask in asks]
    assert files[0] == files[2] != files[1]
    assert files[0].name.startswith(f"{subject}, ")
    assert files[0].name.endswith(".png")
    assert len(list((tmp_path / FOLDER).iterdir())) == 2
    assert all((tmp_path / one.path).read_bytes().startswith(PNG) for one in files)


def test_old_pictures_are_thrown_away_and_photos_never(tmp_path: Path) -> None:
    """A picture goes thirty days after it was last drawn."""
    now = datetime(2026, 5, 7, 20, tzinfo=UTC)
    photo = tmp_path / "photos" / "ab" / "kept.jpg"
    photo.parent.mkdir(parents=True)
    photo.write_bytes(b"photo")
    first, again = keep(tmp_path, b"first", now), keep(tmp_path, b"again", now)
    keep(tmp_path, b"again", now + KEPT_FOR)
    last = keep(tmp_path, b"last", now + KEPT_FOR + timedelta(seconds=1))
    assert [(tmp_path / path).exists() for path in (first, again, last)] == [False, True, True]
    assert photo.read_bytes() == b"photo"


def test_a_folder_that_takes_no_file_loses_no_words(keeper: Keeper, tmp_path: Path) -> None:
    """The finding is said all the same."""
    (tmp_path / FOLDER).write_text("a file where the folder should be")
    reply = answer(Ask("picture", subjects=("group B",)), replace(keeper.view, folder=tmp_path))
    assert reply.files == ()
    assert "group B: 42" in reply.text
    assert "could not be saved" in reply.text
