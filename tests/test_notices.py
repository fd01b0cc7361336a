"""What the bot says of itself goes to those who run it, and to nobody else."""

from __future__ import annotations

from bot.household import Household
from bot.notices import tell_owners
from storage import households
from tests.front import ANA, Front


def test_owners_are_told_in_their_own_chats(front: Front) -> None:
    """Not the keepers, not the terminal, and not the owner of another collection on the same bot."""
    front.desk.app.add_collection("elsewhere")
    other = Household(front.desk.app, "elsewhere").collection.id
    with front.desk.app.store.write() as session:
        households.add_member(session, other, "telegram", "777", "Olga", "owner", front.clock.now())
    tell_owners(front.household, "The daily copy could not be made.")
    assert [(one.chat, one.reply.text) for one in front.out()] == [(ANA, "The daily copy could not be made.")]


def test_the_words_of_an_owner_are_understood_as_before(front: Front) -> None:
    """A notice is no question, and nothing that an undo or an answer could be about."""
    front.say("fed the Marigolds 2 roaches")
    tell_owners(front.household, "The daily copy could not be made.")
    front.out()
    assert "roach" in front.say("undo")
