"""A history is paged, newest first, and follows groups through their moves."""

from __future__ import annotations

from bot.answers import answer, continued
from bot.answers.history import PAGE
from bot.language.meaning import Ask
from tests.answers.conftest import TODAY, Keeper, day


def test_rows_and_text_say_the_same(keeper: Keeper) -> None:
    """Each row has day, who and what, and stands in the text too."""
    keeper.write(day(5, 1), "feeding", ["group B"], prey="roach", quantity=[3, 3])
    keeper.write(day(5, 2), "misting", ["tub 4"], amount="light")
    reply = keeper.ask("history", "tub 4", since=day(5, 1))
    assert reply.header == ("Day", "Who", "What")
    assert reply.rows == (
        ("Sat 2 May, 5 days ago", "tub 4", "light misting"),
        ("Fri 1 May, 6 days ago", "group B", "fed 3 roaches"),
    )
    assert reply.text.splitlines() == [
        "Entries of tub 4 since Fri 1 May, 6 days ago, newest first:",
        "Sat 2 May, 5 days ago: tub 4: light misting",
        "Fri 1 May, 6 days ago: group B: fed 3 roaches",
    ]
    assert reply.choices == ()


def pages(keeper: Keeper, ask: Ask | None) -> list[tuple[tuple[str, ...], ...]]:
    found = []
    while ask is not None:
        found.append(answer(ask, keeper.view).rows)
        ask = continued(ask, keeper.view)
    return found


def test_pages_hold_everything_once(keeper: Keeper) -> None:
    """Going on to the end shows each entry once, newest first, and a day is never torn apart."""
    for number in range(40):
        keeper.write(day(4, 1 + number // 2), "note", ["tub 4"], words=f"note {number}")
    ask = Ask("history", kind="note", subjects=("tub 4",))
    shown = pages(keeper, ask)
    notes = [row[2] for page in shown for row in page]
    assert notes == [f"note: “note {number}”" for number in reversed(range(40))]
    assert all(len(page) <= PAGE for page in shown)
    first = answer(ask, keeper.view)
    assert first.choices == ("more",)
    assert "There is more, up to Mon 13 Apr, 24 days ago" in first.text


def test_a_full_day_is_one_page(keeper: Keeper) -> None:
    """More entries on one day than fit on a page are shown together, and the page after goes on before it."""
    for number in range(PAGE + 5):
        keeper.write(day(5, 2), "note", ["tub 4"], words=f"note {number}")
    keeper.write(day(5, 1), "note", ["tub 4"], words="the day before")
    ask = Ask("history", kind="note", subjects=("tub 4",))
    assert [len(page) for page in pages(keeper, ask)] == [PAGE + 5, 1]
    late = Ask("history", kind="note", subjects=("tub 4",), since=day(5, 2))
    assert [len(page) for page in pages(keeper, late)] == [PAGE + 5]


def test_history_follows_the_group(keeper: Keeper) -> None:
    """A group brings its history along; the tub it left keeps what happened there."""
    keeper.write(day(4, 1), "misting", ["tub 4"])
    keeper.write(day(4, 2), "feeding", ["group B"])
    keeper.write(day(4, 10), "move", ["group B"], to="glass cube", to_enclosure_id=keeper.places["glass cube"])
    keeper.write(day(4, 12), "misting", ["glass cube"])
    keeper.write(day(4, 13), "misting", ["tub 4"])
    group = [row[2] for row in keeper.ask("history", "group B").rows]
    assert group == ["misted", "moved to glass cube", "fed", "misted", "placed in tub 4"]
    left = [row[0] for row in keeper.ask("history", "tub 4").rows]
    assert [said.split(",")[0] for said in left] == ["Mon 13 Apr", "Fri 10 Apr", "Thu 2 Apr", "Wed 1 Apr", "Mon 5 Jan"]


def test_nothing_in_the_span_tells_the_last(keeper: Keeper) -> None:
    """An empty span is told with the last entry there is."""
    keeper.write(day(4, 1), "feeding", ["Duchess"])
    assert keeper.text("history", "Duchess", since=day(5, 1)) == (
        "No entry of Duchess is written since Fri 1 May, 6 days ago. The last is Wed 1 Apr, 36 days ago: Duchess, fed."
    )
    assert keeper.text("history", "Duchess", kind="moult") == "No moult of Duchess is written so far."


def test_whole_collection(keeper: Keeper) -> None:
    """Without subjects the newest entries of all places are shown, however long ago they are."""
    keeper.write(day(5, 1), "moult", ["Ada"])
    keeper.write(day(1, 20), "moult", ["Duchess"])
    assert [row[1] for row in keeper.ask("history", kind="moult").rows] == ["Ada", "Duchess"]
    said = keeper.text("history", kind="moult", since=day(5, 4))
    assert "The last is Fri 1 May, 6 days ago: Ada, moulted." in said


def test_undone_entries_are_gone(keeper: Keeper) -> None:
    """What was taken back is not shown."""
    from storage import journal  # noqa: PLC0415 - only this test takes back

    entry = keeper.write(TODAY, "moult", ["Ada"])
    journal.retract(keeper.session, [entry], keeper.member_id, None, keeper.now)
    assert "No moult of Ada is written" in keeper.text("history", "Ada", kind="moult")


def test_a_span_upside_down_holds_nothing(keeper: Keeper) -> None:
    """A question whose end lies before its beginning finds nothing and says so."""
    assert "No entry of Ada is written" in keeper.text("history", "Ada", since=TODAY, until=day(5, 1))
