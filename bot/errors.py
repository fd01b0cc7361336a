"""The exception tree: every error knows the sentence a keeper reads.

    Exception
    +-- RacksideError            the base: str(fault) is the sentence, ready to be sent as a reply
        +-- Refusal              what the message asks for cannot be done as it stands; nothing was written
        |   +-- ReadOnly         a viewer asked for something to be written
        +-- Stranger             the sender is not a member of any collection here
        +-- FormerMember         the sender was a member when writing, and is none any more
        +-- NoSuchCollection     none of the collections kept here has that name
        +-- bot.moving.faults.MovingFault      a file that cannot be written, or is no document to be brought in
    ValueError
    +-- bot.language.roster.RosterFault    a roster file that cannot be used
    +-- bot.settings.SettingsFault         a setting that cannot be used
    +-- bot.labels.label.LabelFault        a label or a link that cannot be made
    +-- bot.pictures.style.PictureFault    a picture of which there is nothing to draw
    storage.StorageFault         the data folder or database cannot be used, or a name is taken

Any other exception is a fault of ours: the message is set aside after three tries, and the keeper reads APOLOGY.
"""

from __future__ import annotations

from collections.abc import Sequence

APOLOGY = "Something went wrong with that message and I could not deal with it. Your words are kept as they came."


class RacksideError(Exception):
    """An error that a keeper is told of; the message is the sentence."""


class Refusal(RacksideError):
    """The message cannot be acted on as it stands; raising it takes back whatever the turn had begun to write."""


class ReadOnly(Refusal):
    """A member with the role viewer asked for something to be written."""

    def __init__(self) -> None:
        super().__init__("You may ask here but not write, so nothing was written. The owner can make you a keeper.")


class Stranger(RacksideError):
    """A message from an address that belongs to no member."""

    def __init__(self) -> None:
        super().__init__(
            "I do not know you yet, so I kept nothing of that. Ask the keeper of this collection to let you in."
        )


class FormerMember(RacksideError):
    """A message of somebody who was removed before it could be dealt with."""

    def __init__(self) -> None:
        super().__init__("You are no member of this collection any more, so nothing was written.")


class NoSuchCollection(RacksideError):
    """None of the collections kept here is called so."""

    def __init__(self, name: str, known: Sequence[str]) -> None:
        some = ", ".join(f"“{one}”" for one in known[:5])
        super().__init__(f"There is no collection “{name}” here; there is {some}{' and others' if known[5:] else ''}.")
