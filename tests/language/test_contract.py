"""A Meaning as the JSON of the parse contract."""

from __future__ import annotations

import json
from datetime import date, time

from bot.language.contract import ask_to_contract, entry_to_contract, plain, plan_to_contract, to_contract
from bot.language.meaning import Amend, Ask, Choice, Entry, Evidence, Meaning, Plan, Setup

DAY = date(2026, 3, 12)
FED = Entry("feeding", ("group B",), DAY, time(9, 5), "morning", {"prey": "roach", "quantity": [3, 3]}, words="fed B")


def test_an_entry() -> None:
    """An entry shows kind, subjects, ISO day, HH:MM, part and its own fields, and not the words."""
    assert entry_to_contract(FED) == {
        "kind": "feeding",
        "subjects": ["group B"],
        "on": "2026-03-12",
        "at": "09:05",
        "part": "morning",
        "prey": "roach",
        "quantity": [3, 3],
    }


def test_what_is_not_known_is_left_out() -> None:
    """Fields without a value do not appear."""
    assert entry_to_contract(Entry("note", ("group B",), None)) == {"kind": "note", "subjects": ["group B"]}
    assert plan_to_contract(Plan("misting", ("group B",), every_days=3.5)) == {
        "kind": "misting",
        "subjects": ["group B"],
        "every_days": 3.5,
    }
    assert ask_to_contract(Ask("due")) == {"about": "due"}
    assert ask_to_contract(Ask("who", "feeding", days=14)) == {"about": "who", "kind": "feeding", "days": 14}


def test_a_log_that_asks_and_plans() -> None:
    """A log carries its ask and plans beside the entries."""
    shown = to_contract(
        Meaning(
            "log",
            entries=(FED,),
            plans=(Plan("check", ("group B",), DAY),),
            ask=Ask("last", "feeding", ("group B",), DAY, DAY),
        )
    )
    assert shown["intent"] == "log"
    assert [entry["kind"] for entry in shown["entries"]] == ["feeding"]
    assert shown["plans"] == [{"kind": "check", "subjects": ["group B"], "on": "2026-03-12"}]
    assert shown["ask"] == {
        "about": "last",
        "kind": "feeding",
        "subjects": ["group B"],
        "since": "2026-03-12",
        "until": "2026-03-12",
    }


def test_an_unclear_meaning_shows_no_entries() -> None:
    """What is in doubt shows the question, what is missing and the choices, and nothing that could be taken for written."""
    doubt = Meaning(
        "unclear",
        entries=(FED,),
        missing=("subjects",),
        question="Which?",
        choices=(Choice("group B", {"subjects": ("group B",)}),),
    )
    assert to_contract(doubt) == {
        "intent": "unclear",
        "missing": ["subjects"],
        "question": "Which?",
        "choices": ["group B"],
    }
    assert "choices" not in to_contract(Meaning("unclear", missing=("on",), question="When?"))


def test_an_amend() -> None:
    """A change shows its fields as JSON values; taking back shows none."""
    assert to_contract(Meaning("amend", amend=Amend("retract"))) == {"intent": "amend", "amend": {"action": "retract"}}
    changed = Amend("change", {"on": DAY, "at": time(20, 0), "subjects": ("group D",), "quantity": [4, 4]})
    assert to_contract(Meaning("amend", amend=changed))["amend"] == {
        "action": "change",
        "changes": {"on": "2026-03-12", "at": "20:00", "subjects": ["group D"], "quantity": [4, 4]},
    }


def test_a_set_up() -> None:
    """The contract knows no set-up: it is chat, and says beside it what is set up."""
    assert to_contract(Meaning("setup", setup=Setup("size", {"name": "tub 4", "size_cm": (30.0, 20.0, 15.0)}))) == {
        "intent": "chat",
        "setup": {"action": "size", "name": "tub 4", "size_cm": [30.0, 20.0, 15.0]},
    }


def test_chat() -> None:
    """Small talk carries nothing."""
    assert to_contract(Meaning("chat")) == {"intent": "chat"}


def test_the_explanation() -> None:
    """Explained, a meaning adds its score, evidence and runners-up."""
    whole = Meaning(
        "log",
        entries=(FED,),
        score=0.87654,
        evidence=(Evidence("entries.0.prey", "roaches", 8, 15),),
        runners_up=(Meaning("chat"),),
    )
    assert to_contract(whole, explain=True)["explain"] == {
        "score": 0.877,
        "words": [{"field": "entries.0.prey", "words": "roaches", "start": 8, "end": 15}],
        "runners_up": [{"intent": "chat"}],
    }


def test_plain_values_are_json() -> None:
    """Dates, times and tuples become text and lists, and everything else stays."""
    values = {"day": DAY, "clock": time(7, 3), "names": ("a", "b"), "pair": [1, None], "word": "x", "flag": True}
    assert json.loads(json.dumps(plain(values))) == {
        "day": "2026-03-12",
        "clock": "07:03",
        "names": ["a", "b"],
        "pair": [1, None],
        "word": "x",
        "flag": True,
    }
