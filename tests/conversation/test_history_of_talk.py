"""Whatever is logged, corrected and taken back in whatever order, the journal says what a simple model says."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass, field
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from storage import stays
from tests.conversation.room import UNDO, Room, change, fed, log, moved, open_room

NAMES = ("group B", "group D", "Saffron")
PLACES = ("tub 2", "tub 4", "tub 7", "pot 9")

STEPS = st.one_of(
    st.tuples(st.just("feed"), st.sampled_from(NAMES), st.integers(1, 9)),
    st.tuples(st.just("move"), st.sampled_from(NAMES), st.sampled_from(PLACES)),
    st.tuples(st.just("number"), st.integers(1, 9)),
    st.tuples(st.just("subject"), st.sampled_from(NAMES)),
    st.tuples(st.just("undo")),
)


@dataclass
class Model:
    """The acts that stand, each with the readings it has had, oldest first; the latest is what it says now."""

    acts: list[list[tuple[str, str, object]]] = field(default_factory=list)

    def take(self, step: tuple[object, ...]) -> None:
        match step:
            case ("feed", str(name), what):
                self.acts.append([("feed", name, what)])
            case ("move", str(name), place):
                self.acts.append([("move", name, (place, None))])
            case ("number", number) if self.acts:
                kind, name, what = self.acts[-1][-1]
                self._correct((kind, name, (what[0], number) if isinstance(what, tuple) else number))
            case ("subject", str(name)) if self.acts:
                kind, _name, what = self.acts[-1][-1]
                self._correct((kind, name, what))
            case ("undo",) if self.acts:
                self.acts[-1].pop()
                self.acts = [readings for readings in self.acts if readings]
            case _:
                pass

    def _correct(self, reading: tuple[str, str, object]) -> None:
        if reading != self.acts[-1][-1]:
            self.acts[-1].append(reading)

    def standing(self) -> list[tuple[str, str, object]]:
        return sorted((readings[-1] for readings in self.acts), key=repr)


def say(room: Room, step: tuple[object, ...]) -> None:
    match step:
        case ("feed", str(name), int(number)):
            room.say(f"fed {name} {number}", log(fed(name, quantity=[number, number])))
        case ("move", str(name), str(place)):
            room.say(f"moved {name} to {place}", log(moved(name, place)))
        case ("number", int(number)):
            room.say(f"make that {number}", change(quantity=[number, number]))
        case ("subject", str(name)):
            room.say(f"no, {name}", change(subjects=(name,)))
        case _:
            room.say("undo", UNDO)


def written(room: Room) -> list[tuple[str, str, object]]:
    found: list[tuple[str, str, object]] = []
    for kind, names, _on, fields in room.lines():
        if kind == "feeding":
            found.append(("feed", names[0], fields["quantity"][0]))
        else:
            found.append(("move", names[0], (fields["to"], fields.get("count", [None])[0])))
    return sorted(found, key=repr)


@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(STEPS, max_size=12))
def test_the_journal_says_what_a_simple_model_says(steps: list[tuple[object, ...]]) -> None:
    """After any sequence of logs, moves, corrections and undos the current entries equal the model's, and the stays their rebuild."""
    with tempfile.TemporaryDirectory() as folder:
        room, model = open_room(Path(folder)), Model()
        for step in steps:
            if step == ("undo",) and not model.acts:
                continue  # it would go on to the set-up, which the model knows nothing of
            say(room, step)
            model.take(step)
            assert written(room) == model.standing()
        homes = {name: room.home(name) for name in NAMES}
        assert homes == expected_homes(model)
        with room.app.store.write() as session:
            stays.rebuild(session, 1)
        assert {name: room.home(name) for name in NAMES} == homes
        room.app.store.close()


def expected_homes(model: Model) -> dict[str, str]:
    """Where everybody lives by the moves that stand, in the order of their telling."""
    homes = {"group B": "tub 4", "group D": "tub 2", "Saffron": "tub 7"}
    for readings in model.acts:
        kind, name, what = readings[-1]
        if kind == "move" and isinstance(what, tuple):
            homes[name] = str(what[0])
    return homes
