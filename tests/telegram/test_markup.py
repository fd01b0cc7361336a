"""How parcels look."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bot.channels.port import Button, Parcel
from bot.channels.telegram.markup import html_for, html_of, keyboard, label
from bot.conversation.reply import Attachment, Reply
from tests.telegram.bot_api.formatted import from_html


def rows_of(*labels: str) -> list[list[str]]:
    made = keyboard([Button(words, f"t:{place}") for place, words in enumerate(labels)])
    assert made is not None
    return [[button.text for button in row] for row in made.inline_keyboard]


@given(st.text(alphabet=st.characters(exclude_categories=("Cs", "Cc")) | st.sampled_from("<>&\"'"), min_size=1))
def test_any_words_come_out_as_they_went_in(text: str) -> None:
    """The service reads from our HTML the words that were meant, whatever signs are in them."""
    plain, _, bare = from_html(html_of(Reply(text)))
    assert (plain, bare) == (text.strip(), [])


def test_the_heading_of_a_table_is_bold() -> None:
    """The first line of a table stands out, escaped like the rest."""
    table = Reply("Feedings <B>:\n3 Mar: 3", header=("day", "what"), rows=(("3 Mar", "3"),))
    assert html_of(table) == "<b>Feedings &lt;B&gt;:</b>\n3 Mar: 3"
    assert html_of(Reply("a\nb")) == "a\nb"


def test_short_choices_stand_three_in_a_row() -> None:
    """Up to three short buttons share a row; one long label gives each its own."""
    assert rows_of("yes", "no", "later", "never") == [["yes", "no", "later"], ["never"]]
    assert rows_of("yes", "the second sand tray") == [["yes"], ["the second sand tray"]]
    assert keyboard(()) is None


def test_a_long_label_is_cut() -> None:
    """A button shows at most 40 characters."""
    assert label("x" * 40) == "x" * 40
    assert label("x" * 41) == "x" * 39 + "…"


def test_in_a_group_whoever_is_meant_is_named_unseen() -> None:
    """A push in a group rings with the one whom it is for; in private it needs no name, and a name of no number is none."""
    push = Parcel(1, "-500", Reply("water & feed"), rings=True, mentions="7001")
    assert html_for(push) == '<a href="tg://user?id=7001">\N{WORD JOINER}</a>water &amp; feed'
    assert html_for(Parcel(1, "7001", Reply("water"), rings=True, mentions="7001")) == "water"
    assert html_for(Parcel(1, "-500", Reply("water"), mentions="@ann")) == "water"
    full = Parcel(1, "-500", Reply("x" * 4096), mentions="7001")
    assert html_for(full) == "x" * 4096
    caption = Reply("x" * 1024, files=(Attachment("chart.png"),))
    assert html_for(Parcel(1, "-500", caption, mentions="7001")) == "x" * 1024
