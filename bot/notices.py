"""What the bot has to say of itself, and not of an animal, to those who run it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.app import CONSOLE, OWNER
from bot.conversation.posting import Where, bare, post
from bot.conversation.reply import Reply
from storage import households

if TYPE_CHECKING:
    from bot.household import Household


def tell_owners(household: Household, text: str) -> None:
    """Put a message in the outbox for each owner of the collection who can be written to unasked. Raises StorageFault."""
    kept = household.collection
    with household.app.store.write() as session:
        for member in households.members(session, kept.id):
            if member.role == OWNER and member.channel != CONSOLE:
                body = {**bare(Reply(text)), "push": True, "to": member.address}
                post(session, Where(kept.id, member.channel, member.home), body)
