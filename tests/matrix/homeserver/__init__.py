"""A real homeserver on loopback for the tests, its users, and the people who talk through it.

`Homeserver` runs Synapse, from an environment of its own that `environment.synapse_python` makes once. `Account` is a
user as the server knows it, `Person` a keeper at a Matrix client, `Cast` the people of one test.
"""

from __future__ import annotations

from tests.matrix.homeserver.cast import Cast, Story
from tests.matrix.homeserver.heard import Heard
from tests.matrix.homeserver.person import Person, Refused
from tests.matrix.homeserver.server import Account, Homeserver

__all__ = ["Account", "Cast", "Heard", "Homeserver", "Person", "Refused", "Story"]
