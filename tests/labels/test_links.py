"""Links open the chat with the bot and carry a code that Telegram lets through."""

from __future__ import annotations

from urllib.parse import parse_qs, urlsplit

import pytest

from bot.labels.label import LabelFault
from bot.labels.links import link


def test_a_link_names_the_bot_and_carries_the_code() -> None:
    """Read back as an address, host, path and the one parameter are those given."""
    made = urlsplit(link("rackside_demo_bot", "e_Az09-_"))
    assert (made.scheme, made.netloc, made.path) == ("https", "t.me", "/rackside_demo_bot")
    assert parse_qs(made.query) == {"start": ["e_Az09-_"]}


@pytest.mark.parametrize("code", ["", "a" * 65, "a b", "a+b", "é", "a\n", "a=b", "٣"])
def test_a_code_that_would_not_pass_is_refused(code: str) -> None:
    """Empty, over 64 characters, or with any other character: a ValueError with a sentence."""
    with pytest.raises(LabelFault, match="1 to 64 of A-Z"):
        link("rackside_demo_bot", code)


@pytest.mark.parametrize(
    "name", ["", "@rackside_bot", "bot", "9rackside_bot", "a" * 33, "rack/side_bot", "räckside_bot"]
)
def test_a_name_that_no_bot_has_is_refused(name: str) -> None:
    """With the @, too short, too long, or with other characters."""
    with pytest.raises(ValueError, match="no name of a bot"):
        link(name, "code")
